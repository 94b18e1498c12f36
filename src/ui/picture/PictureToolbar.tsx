import { ChevronLeft, ChevronRight, Plus } from 'lucide-react';
import type { KeyboardEvent } from 'react';
import { goToViewpoint, stepViewpoint } from '../state/actions.ts';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';

const PANES = [
  ['picture', 'Picture'],
  ['plan', 'Plan'],
  ['both', 'Both'],
] as const;

/** View, panes, add, read, tags, clipped, false colour. Each key of the picture has its twin here. */
export function PictureToolbar() {
  const app = useApp();
  const viewpoints = useEditorState((s) => s.document.viewpoints);
  const viewpointId = useEditorState((s) => s.session.viewpointId);
  const session = useEditorState((s) => s.session);
  const s = useScreen((x) => ({ pane: x.pane, mode: x.mode, crosshair: x.crosshair !== undefined, folded: x.marginFolded }));
  const arrows = (event: KeyboardEvent<HTMLElement>) => {
    if (event.target instanceof HTMLSelectElement) return;
    const by = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
    if (by === 0) return;
    const items = [...event.currentTarget.querySelectorAll<HTMLElement>('button, select')].filter((e) => e.offsetParent !== null);
    items[(items.indexOf(document.activeElement as HTMLElement) + by + items.length) % items.length]?.focus();
    event.preventDefault();
  };
  return (
    <div className="picture-tools" role="toolbar" aria-label="Picture tools" onKeyDown={arrows}>
      <div className="tool-group">
        <label className="spoken" htmlFor="view-choice">
          View
        </label>
        <select
          id="view-choice"
          value={viewpointId ?? ''}
          onChange={(event) => {
            const found = viewpoints.find((v) => v.id === event.target.value);
            if (found) goToViewpoint(app, found);
          }}
        >
          {viewpointId === undefined && <option value="">Free view</option>}
          {viewpoints.map((v) => (
            <option key={v.id} value={v.id}>
              {v.name}
            </option>
          ))}
        </select>
        <button type="button" className="icon roomy-only" aria-label="Previous view" onClick={() => stepViewpoint(app, -1)}>
          <ChevronLeft size={20} aria-hidden="true" />
        </button>
        <button type="button" className="icon" aria-label="Next view" onClick={() => stepViewpoint(app, 1)}>
          <ChevronRight size={20} aria-hidden="true" />
        </button>
      </div>
      <div className="tool-group roomy-only">
        {PANES.map(([id, words]) => (
          <button key={id} type="button" aria-pressed={s.pane === id} onClick={() => app.set({ pane: id })}>
            {words}
          </button>
        ))}
      </div>
      <div className="tool-group narrow-only">
        <button
          type="button"
          aria-pressed={s.pane === 'plan'}
          onClick={() => app.set({ pane: s.pane === 'plan' ? 'picture' : 'plan' })}
        >
          Plan
        </button>
      </div>
      <div className="tool-group acts">
        <button
          type="button"
          aria-pressed={s.mode !== 'rest'}
          onClick={() => app.set({ mode: s.mode === 'rest' ? 'add' : 'rest', pane: s.pane === 'plan' ? 'picture' : s.pane })}
        >
          <Plus size={20} aria-hidden="true" /> Add light
        </button>
        <button
          type="button"
          aria-pressed={s.crosshair}
          onClick={() => app.set({ crosshair: s.crosshair ? undefined : { xPx: -1, yPx: -1 } })}
        >
          Read
        </button>
        <button
          type="button"
          className="lists-button"
          aria-pressed={!s.folded}
          onClick={() => app.set({ marginFolded: !s.folded })}
        >
          Lists
        </button>
      </div>
      <div className="tool-group wide-tools">
        <select
          aria-label="Tags"
          value={session.tags}
          onChange={(event) => app.editor.session({ tags: event.target.value as typeof session.tags })}
        >
          <option value="off">Tags: off</option>
          <option value="selected">Tags: selected</option>
          <option value="all">Tags: all</option>
        </select>
        <select
          aria-label="False colour"
          value={session.falseColour}
          onChange={(event) => app.editor.session({ falseColour: event.target.value as typeof session.falseColour })}
        >
          <option value="off">False colour: off</option>
          <option value="lux">False colour: lux</option>
          <option value="luminance">False colour: luminance</option>
        </select>
        <button
          type="button"
          aria-pressed={session.markClipped}
          onClick={() => app.editor.session({ markClipped: !session.markClipped })}
        >
          Clipped
        </button>
      </div>
    </div>
  );
}
