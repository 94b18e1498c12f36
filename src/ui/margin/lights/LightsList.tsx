import { type KeyboardEvent, lazy, Suspense, useRef } from 'react';
import { lightLabel } from '../../../editor/index.ts';
import type { FixtureRecord } from '../../../scene/index.ts';
import { removeSelected, selectLights } from '../../state/actions.ts';
import { useApp, useEditorState, useScheme, useScreen } from '../../state/context.tsx';
import { volts } from '../../state/format.ts';
import { lampOf, lampWords, numberText, stateWords } from '../../state/lights.ts';
import { EMPTY, MOUNT_WORD } from '../../state/words.ts';
import { ReadPlace } from './ReadPlace.tsx';

/** Fields are fetched with the first light chosen. */
const LightDetail = lazy(() => import('./LightDetail.tsx').then((m) => ({ default: m.LightDetail })));
const ManyLights = lazy(() => import('./ManyLights.tsx').then((m) => ({ default: m.ManyLights })));

/** All lights of the scheme, then the chosen one with its fields. Picture and list selection are one. */
export function LightsList() {
  const app = useApp();
  const ref = useRef<HTMLDivElement>(null);
  const document = useEditorState((s) => s.document);
  const selection = useEditorState((s) => s.session.selection);
  const scheme = useScheme();
  const lights = scheme?.fixtures ?? [];
  const chosen = selection.kind === 'lights' ? selection.ids : [];
  const one = chosen.length === 1 ? [...lights, ...document.existing].find((f) => f.id === chosen[0]) : undefined;
  const existing = one !== undefined && document.existing.includes(one);

  const onKeyDown = (event: KeyboardEvent) => {
    const rows = [...(ref.current?.querySelectorAll<HTMLElement>('[role="option"]') ?? [])];
    const at = rows.indexOf(event.target as HTMLElement);
    if (at < 0) return;
    const id = rows[at]?.dataset.id ?? '';
    const steps: Record<string, number> = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: rows.length - 1 };
    const to = steps[event.key];
    if (to !== undefined) rows[Math.max(0, Math.min(rows.length - 1, to))]?.focus();
    else if (event.key === 'Enter') selectLights(app, [id]);
    else if (event.key === ' ') selectLights(app, chosen.includes(id) ? chosen.filter((x) => x !== id) : [...chosen, id]);
    else if (event.key === 'Delete') {
      selectLights(app, chosen.includes(id) ? [...chosen] : [id]);
      removeSelected(app);
      rows[at + 1]?.focus();
    } else return;
    event.preventDefault();
  };
  const firstStop = chosen[0] ?? lights[0]?.id;
  return (
    <>
      <div className="list-head">
        <span>
          {lights.length} {lights.length === 1 ? 'light' : 'lights'} in {scheme?.name ?? 'no scheme'}
        </span>
        <button type="button" onClick={() => app.set({ mode: 'addByList', pane: 'picture' })}>
          Add light
        </button>
      </div>
      {lights.length === 0 && <p>{EMPTY.lights}</p>}
      <Suspense fallback={null}>
        {one && <LightDetail key={one.id} fixture={one} existing={existing} />}
        {chosen.length > 1 && <ManyLights ids={chosen} />}
      </Suspense>
      <div ref={ref} role="listbox" aria-label="Lights" aria-multiselectable="true" className="rows" onKeyDown={onKeyDown}>
        {lights.map((fixture) => (
          <Row key={fixture.id} fixture={fixture} selected={chosen.includes(fixture.id)} first={fixture.id === firstStop} />
        ))}
      </div>
      {document.existing.length > 0 && (
        <>
          <h3>Existing, on in Before too</h3>
          <div role="listbox" aria-label="Existing lights" className="rows">
            {document.existing.map((fixture) => (
              <Row key={fixture.id} fixture={fixture} selected={chosen.includes(fixture.id)} first />
            ))}
          </div>
        </>
      )}
      <ReadPlace />
    </>
  );
}

function Row({ fixture, selected, first }: { fixture: FixtureRecord; selected: boolean; first: boolean }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const power = useScreen((s) => s.judged?.power.fixtures.find((f) => f.id === fixture.id));
  const state = stateWords(fixture);
  const chosen = session.selection.kind === 'lights' ? session.selection.ids : [];
  const electrical = !power ? '' : power.runId === null ? 'not wired' : volts(power.volts);
  return (
    <div
      role="option"
      aria-selected={selected}
      tabIndex={first ? 0 : -1}
      className="row"
      data-id={fixture.id}
      aria-label={`${lightLabel(document, session.schemeId, fixture.id)}, ${lampWords(lampOf(document, fixture))}, ${electrical}`}
      onClick={(event) => selectLights(app, event.shiftKey || event.ctrlKey ? [...chosen, fixture.id] : [fixture.id])}
      onKeyDown={() => undefined}
    >
      <span className="ring">{numberText(document, session.schemeId, fixture.id)}</span>
      <span className="row-words">
        <span>{fixture.name || MOUNT_WORD[fixture.mount]}</span>
        <span className="second small">
          {lampWords(lampOf(document, fixture))}
          {state && ` · ${state}`}
          {fixture.reason === '' && ' · no reason written'}
        </span>
      </span>
      <span className="row-figure">{electrical}</span>
    </div>
  );
}
