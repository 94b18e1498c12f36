import { useEffect, useRef, useState } from 'react';
import { stepViewpoint } from '../state/actions.ts';
import { captionOf } from '../state/caption.ts';
import { hoursOf } from '../state/shown.ts';
import { walkToNext } from '../state/walk.ts';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { atSun } from '../strip/evening.ts';

const SHOWN_MS = 4000;

/**
 * Fills the screen with the picture (the desk's own, its chrome hidden) and one caption line. Controls appear on a move,
 * press or Tab; Escape returns to where one was.
 */
export default function ShowToClient() {
  const app = useApp();
  const ref = useRef<HTMLDivElement>(null);
  const session = useEditorState((s) => s.session);
  const site = useEditorState((s) => s.document.site);
  const compare = useScreen((s) => s.compare);
  useScreen((s) => s.held);
  const byHours = useScreen((s) => s.byHours);
  const property = useEditorState((s) => s.document);
  const hours = hoursOf(property, session.conditions);
  const [controls, setControls] = useState(true);

  useEffect(() => {
    const root = document.documentElement;
    const opener = document.activeElement instanceof HTMLElement ? document.activeElement : undefined;
    const before = app.screen.getState();
    const { falseColour, markClipped, tags } = app.editor.store.getState().session;
    root.dataset.client = 'true';
    app.set({ pane: 'picture', mode: 'rest', crosshair: undefined, openCell: undefined });
    app.editor.session({ falseColour: 'off', markClipped: false, tags: 'off', selection: { kind: 'none' } });
    ref.current?.focus();
    let timer: ReturnType<typeof setTimeout>;
    const show = () => {
      setControls(true);
      clearTimeout(timer);
      timer = setTimeout(
        () => setControls((ref.current?.contains(document.activeElement) ?? false) && document.activeElement !== ref.current),
        SHOWN_MS,
      );
    };
    const key = (event: KeyboardEvent) => {
      show();
      if (event.key === 'Escape') {
        event.preventDefault();
        event.stopPropagation();
        app.set({ overlay: 'none' });
      } else if (event.key.toLowerCase() === 'h') app.set({ held: true });
      else if (event.key.toLowerCase() === 'b') app.editor.session({ after: !app.editor.store.getState().session.after });
    };
    const keyUp = (event: KeyboardEvent) => {
      if (event.key.toLowerCase() === 'h') app.set({ held: false });
    };
    show();
    window.addEventListener('pointermove', show);
    window.addEventListener('pointerdown', show);
    window.addEventListener('keydown', key, true);
    window.addEventListener('keyup', keyUp, true);
    return () => {
      clearTimeout(timer);
      window.removeEventListener('pointermove', show);
      window.removeEventListener('pointerdown', show);
      window.removeEventListener('keydown', key, true);
      window.removeEventListener('keyup', keyUp, true);
      delete root.dataset.client;
      app.set({ pane: before.pane, compare: before.compare, held: false, byHours: false });
      app.editor.session({ falseColour, markClipped, tags });
      opener?.focus();
    };
  }, [app]);

  return (
    <div ref={ref} className="client" role="dialog" aria-label="Show to client" tabIndex={-1}>
      <div className="client-controls" data-shown={controls}>
        <button type="button" onClick={() => app.editor.session({ after: !session.after })}>
          {session.after ? 'Show Before' : 'Show After'}
        </button>
        <button
          type="button"
          aria-pressed={compare === 'wipe'}
          onClick={() => app.set({ compare: compare === 'wipe' ? 'off' : 'wipe' })}
        >
          Wipe
        </button>
        <button
          type="button"
          aria-pressed={compare === 'side'}
          onClick={() => app.set({ compare: compare === 'side' ? 'off' : 'side' })}
        >
          Side by side
        </button>
        <button type="button" onClick={() => stepViewpoint(app, 1)}>
          Next view
        </button>
        <button type="button" onClick={() => walkToNext(app)}>
          Walk to next view
        </button>
        <label className="client-dusk">
          Dusk to night
          <input
            type="range"
            min={-2}
            max={18}
            step={0.5}
            value={-session.conditions.sunAltitudeDeg}
            aria-valuetext={`sun ${session.conditions.sunAltitudeDeg} degrees`}
            onChange={(event) => app.editor.session({ conditions: atSun(session.conditions, site, -Number(event.target.value)) })}
          />
        </label>
        {hours && (
          <button type="button" aria-pressed={byHours} onClick={() => app.set({ byHours: !byHours })}>
            Lamps at their hours
          </button>
        )}
        <button type="button" onClick={() => app.set({ overlay: 'none' })}>
          Back to the desk
        </button>
      </div>
      <p className="client-caption">{captionOf(app)}</p>
    </div>
  );
}
