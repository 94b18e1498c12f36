import { type KeyboardEvent, lazy, type ReactNode, Suspense, useRef } from 'react';
import { clockAtSun, clockText, knownPlace, moonWords } from '../../exposure/index.ts';
import { SeverityMark } from '../parts/SeverityMark.tsx';
import { openList } from '../state/actions.ts';
import { useApp, useEditorState, useScheme, useScreen } from '../state/context.tsx';
import { degrees, percent, voltAmperes, watts } from '../state/format.ts';
import { countSeverities } from '../state/letters.ts';
import type { StripCell } from '../state/screen.ts';
import { loadOf } from './load.ts';

const CellPanel = lazy(() => import('./CellPanel.tsx'));

/** Title block: six figures that are in sight at every size and in every list. One tab stop, arrows inside. */
export function Strip() {
  const app = useApp();
  const ref = useRef<HTMLDivElement>(null);
  const open = useScreen((s) => s.openCell);
  const onKeyDown = (event: KeyboardEvent) => {
    const by = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
    if (by === 0) return;
    const cells = [...(ref.current?.querySelectorAll<HTMLButtonElement>('.cell') ?? [])].filter((c) => c.offsetParent !== null);
    const at = cells.indexOf(document.activeElement as HTMLButtonElement);
    cells[(at + by + cells.length) % cells.length]?.focus();
    event.preventDefault();
  };
  return (
    <>
      <section className="strip-region" aria-label="Strip">
        <div ref={ref} className="strip" role="toolbar" aria-label="Strip" onKeyDown={onKeyDown}>
          <LoadCell />
          <FindingsCell />
          <PictureCell />
          <TimeCell />
          <ExposureCell />
          <SchemeCell />
        </div>
      </section>
      {open && (
        <Suspense fallback={null}>
          <CellPanel cell={open} onClose={() => app.set({ openCell: undefined })} />
        </Suspense>
      )}
    </>
  );
}

function Cell(props: {
  name: string;
  id: StripCell | 'findings';
  first?: boolean;
  spoken?: string;
  onPress?(): void;
  children: ReactNode;
}) {
  const app = useApp();
  const open = useScreen((s) => s.openCell === props.id);
  const press = () => {
    if (props.onPress) props.onPress();
    else if (props.id !== 'findings') app.set({ openCell: open ? undefined : props.id });
  };
  return (
    <button
      type="button"
      className="cell"
      data-cell={props.id}
      tabIndex={props.first ? 0 : -1}
      aria-expanded={props.id === 'findings' ? undefined : open}
      aria-label={props.spoken}
      onClick={press}
    >
      <span className="cell-name">{props.name}</span>
      {props.children}
    </button>
  );
}

function LoadCell() {
  const judged = useScreen((s) => s.judged);
  const document = useEditorState((s) => s.document);
  const scheme = useScheme();
  const load = loadOf(document, scheme, judged?.power);
  const updating = useScreen((s) => s.judged !== undefined && s.judged.revision !== s.requested);
  const fullest = load.fullest
    ? `${percent(load.fullest.fraction)} of ${load.fullest.name}`
    : load.notWired > 0
      ? `${load.notWired} not wired`
      : '';
  return (
    <Cell name="Load" id="load" first>
      <span className="figures">
        {watts(load.watts)} · {judged ? voltAmperes(load.voltAmperes) : 'VA to come'}
      </span>
      <span className="second-line">{updating ? 'about, updating' : fullest}</span>
    </Cell>
  );
}

function FindingsCell() {
  const app = useApp();
  const s = useScreen((state) => ({
    judged: state.judged,
    updating: state.judged !== undefined && state.judged.revision !== state.requested,
  }));
  const views = useEditorState((e) => e.document.viewpoints.length);
  const counts = s.judged ? countSeverities(s.judged.findings) : undefined;
  const none = counts && counts.stop + counts.warn + counts.note === 0;
  return (
    <Cell
      name={s.updating ? 'Findings, updating' : 'Findings'}
      id="findings"
      spoken={
        counts
          ? `Findings: ${counts.stop} Stop, ${counts.warn} Warn, ${counts.note} Note${s.updating ? ', updating' : ''}`
          : 'Findings: not judged yet'
      }
      onPress={() => openList(app, 'review')}
    >
      {!counts && <span className="second-line">not judged yet</span>}
      {none && <span>none found in {views} views</span>}
      {counts && !none && (
        <span className="severities" aria-busy={s.updating}>
          <SeverityMark severity="stop" count={counts.stop} />
          <SeverityMark severity="warn" count={counts.warn} />
          <SeverityMark severity="note" count={counts.note} />
        </span>
      )}
    </Cell>
  );
}

function PictureCell() {
  const after = useEditorState((s) => s.session.after);
  const sun = useEditorState((s) => s.session.conditions.sunAltitudeDeg);
  const adapted = useEditorState((s) => s.session.adaptedCdM2);
  const held = useScreen((s) => s.held && s.compareWith.kind === 'before');
  const shown = held ? !after : after;
  return (
    <Cell name="Picture" id="picture">
      <span className="figures">
        {shown ? 'After' : 'Before'}
        <span className="phone-only">
          {' '}
          {degrees(sun)}
          {adapted === undefined ? '' : ', eye'}
        </span>
      </span>
      <span className="second-line">{adapted === undefined ? 'B switches' : `eye at ${adapted} cd/m²`}</span>
    </Cell>
  );
}

function TimeCell() {
  const c = useEditorState((s) => s.session.conditions);
  const site = useEditorState((s) => s.document.site);
  const place = knownPlace(site);
  const hours = place && clockAtSun(place, c.sunAltitudeDeg);
  const words = [
    hours === undefined ? '' : clockText(hours),
    moonWords(c),
    c.cloud === 'overcast' ? 'overcast' : 'clear',
    site.season && site.season !== 'summer' ? site.season : '',
    c.leaves === 'bare' ? 'bare' : '',
    c.paving === 'wet' ? 'wet' : '',
  ]
    .filter(Boolean)
    .join(', ');
  return (
    <Cell name="Time" id="time">
      <span className="figures">sun {degrees(c.sunAltitudeDeg)}</span>
      <span className="second-line">{words}</span>
    </Cell>
  );
}

function ExposureCell() {
  const ev = useEditorState((s) => s.session.ev100);
  const note = useEditorState((s) => s.session.evNote);
  return (
    <Cell name="Exposure" id="exposure">
      <span className="figures">EV {ev.toFixed(1)}</span>
      <span className="second-line">{note}</span>
    </Cell>
  );
}

function SchemeCell() {
  const scheme = useScheme();
  const count = scheme?.fixtures.length ?? 0;
  return (
    <Cell name="Scheme" id="scheme">
      <span className="figures">{scheme?.name ?? 'none'}</span>
      <span className="second-line">
        {count} {count === 1 ? 'light' : 'lights'}
      </span>
    </Cell>
  );
}
