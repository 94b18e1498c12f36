import type { PointerEvent } from 'react';
import { lightLabel, moveLight, putFixtureInto } from '../../editor/index.ts';
import { type FixtureRecord, groundHeightAt } from '../../scene/index.ts';
import { SeverityShape } from '../parts/SeverityMark.tsx';
import { openList, selectLights, showFinding } from '../state/actions.ts';
import type { App } from '../state/app.ts';
import { useApp, useEditorState, useScheme, useScreen } from '../state/context.tsx';
import { bySeverity, shownSeverity } from '../state/letters.ts';
import { beamDegrees, lampOf, numberText, stateWords } from '../state/lights.ts';
import { SEVERITY_WORD } from '../state/words.ts';
import { followPointer } from './gesture.ts';
import { Handles } from './Handles.tsx';
import { Cased, clampTo } from './lines.tsx';
import { snapToWall } from './placing.ts';
import { type Project, spread, useProjection } from './projection.ts';
import { type Ghost, pickAt } from './useStageInput.ts';
import { distance } from './vec.ts';

const BALLOON_RISE_PX = 46;
/** Width a flag at the edge takes with its words. */
const EDGE_PLATE_PX = 128;

interface OverlayProps {
  width: number;
  height: number;
  ghost: Ghost | undefined;
}

/** Balloons of lights, flags of findings, dimension lines of the selected light, the ghost of a new one. */
export function Overlay({ width, height, ghost }: OverlayProps) {
  const project = useProjection();
  const hidden = useScreen((s) => s.compare === 'side');
  if (hidden) return null;
  return (
    <div className="overlay">
      <Flags project={project} width={width} height={height} />
      <Balloons project={project} width={width} height={height} />
      <Handles project={project} width={width} height={height} />
      {ghost && <GhostMark ghost={ghost} project={project} width={width} height={height} />}
      <Crosshair width={width} height={height} />
    </div>
  );
}

function Balloons({ project, width, height }: { project: Project; width: number; height: number }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const scheme = useScheme();
  const lights = [...(scheme?.fixtures ?? []), ...document.existing];
  const chosen = session.selection.kind === 'lights' ? session.selection.ids : [];
  const spots = lights.flatMap((fixture) => {
    const p = project(fixture.at);
    if (!p?.inFront || p.x < -20 || p.y < -20 || p.x > width + 20 || p.y > height + 20) return [];
    return [{ fixture, x: p.x, y: p.y - BALLOON_RISE_PX, footX: p.x, footY: p.y }];
  });
  const placed = spread(spots, 34, 34).map((s) => ({ ...s, x: clampTo(s.x, 20, width - 20), y: clampTo(s.y, 74, height - 20) }));
  const shown = (id: string) => session.tags === 'all' || (session.tags === 'selected' && chosen.includes(id));
  return (
    <>
      <svg className="lines" width={width} height={height} aria-hidden="true">
        {placed
          .filter((s) => shown(s.fixture.id))
          .map((s) => (
            <Cased key={s.fixture.id} x1={s.x} y1={s.y + 14} x2={s.footX} y2={s.footY} />
          ))}
      </svg>
      {placed.map((s) => {
        const selected = chosen.includes(s.fixture.id);
        const words = [stateWords(s.fixture), wordsOf(document, s.fixture)].filter(Boolean).join(', ');
        return (
          <button
            key={s.fixture.id}
            type="button"
            tabIndex={selected ? 0 : -1}
            className="balloon"
            data-light={s.fixture.id}
            data-shown={shown(s.fixture.id)}
            aria-pressed={selected}
            aria-label={`${lightLabel(document, session.schemeId, s.fixture.id)}, ${words}`}
            style={{ left: s.x, top: s.y }}
            onPointerDown={(event) => dragLight(app, event, s.fixture)}
            onClick={(event) => {
              if (event.detail === 0) selectLights(app, [s.fixture.id]);
            }}
          >
            <span className="ring">{numberText(document, session.schemeId, s.fixture.id)}</span>
            <span className="balloon-words">{words}</span>
          </button>
        );
      })}
    </>
  );
}

function wordsOf(document: Parameters<typeof lampOf>[0], fixture: FixtureRecord): string {
  const lamp = lampOf(document, fixture);
  return lamp ? `${lamp.powerW} W ${beamDegrees(lamp)}°` : '';
}

/** Press selects (Shift adds); drag slides the light over the ground or its wall and keeps its aim mark. */
function dragLight(app: App, event: PointerEvent, fixture: FixtureRecord): void {
  if (event.button !== 0) return;
  event.stopPropagation();
  const { session, document } = app.editor.store.getState();
  const chosen = session.selection.kind === 'lights' ? session.selection.ids : [];
  if (event.shiftKey) {
    selectLights(app, chosen.includes(fixture.id) ? chosen.filter((id) => id !== fixture.id) : [...chosen, fixture.id]);
    return;
  }
  selectLights(app, [fixture.id]);
  if (fixture.locks.place) {
    app.say('Its place is locked.');
    return;
  }
  const start = app.picture.current?.project(fixture.at);
  if (!start) return;
  const heightM = fixture.at[1] - groundHeightAt(document, fixture.at[0], fixture.at[2]);
  app.editor.beginGesture(`move ${lightLabel(document, session.schemeId, fixture.id)}`);
  let snapped = '';
  followPointer(event, {
    onMove: (dx, dy, move) => {
      const picked = pickAt(app, start.xPx + dx, start.yPx + dy);
      if (!picked || picked.kind === 'pane' || picked.kind === 'leaves') return;
      const low = heightM < 0.6;
      if (low && picked.kind !== 'ground') return;
      const [x, y, z] = picked.at;
      const free: FixtureRecord['at'] = low ? [x, groundHeightAt(document, x, z) + heightM, z] : [x, y, z];
      const caught = low && !move.altKey ? snapToWall(document, free, heightM, 0.05) : { at: free, snaps: '' };
      if (caught.snaps !== snapped && caught.snaps !== '') app.say(caught.snaps);
      snapped = caught.snaps;
      app.editor.preview((d) => putFixtureInto(d, session.schemeId, moveLight(fixture, caught.at, 'point')));
    },
    onEnd: () => app.editor.commitGesture(),
    onCancel: () => app.editor.cancelGesture(),
  });
}

/** Letters at the findings' places; outside the view they sit on the picture's edge and say where. */
function Flags({ project, width, height }: { project: Project; width: number; height: number }) {
  const app = useApp();
  const s = useScreen((x) => ({ judged: x.judged, letters: x.letters }));
  const selection = useEditorState((e) => e.session.selection);
  const eye = useEditorState((e) => e.session.camera.eye);
  const findings = bySeverity(s.judged?.findings ?? []);
  const spots = findings.flatMap((finding) => {
    const p = project(finding.at);
    if (!p) return [];
    const inside = p.inFront && p.x >= 12 && p.y >= 60 && p.x <= width - 12 && p.y <= height - 24;
    const away = `${distance(finding.at, eye).toFixed(0)} m`;
    const side = p.x > width / 2 === p.inFront ? 'right' : 'left';
    const where = inside ? '' : p.inFront ? `${side}, ${away}` : `behind you, ${away}`;
    const x = inside ? p.x : side === 'right' ? width - 26 : 26;
    const y = inside ? p.y : p.inFront ? p.y : height * 0.6;
    return [
      {
        finding,
        x: clampTo(x, 26, width - 26),
        y: clampTo(y, 80, height - (height < 400 ? 76 : 50)),
        where,
        side,
        wide: inside ? undefined : EDGE_PLATE_PX,
      },
    ];
  });
  return spread(spots, 46, 30).map(({ finding, x, y, where, side }) => {
    const severity = shownSeverity(finding);
    const letter = s.letters[finding.id] ?? '';
    const chosen = selection.kind === 'finding' && selection.id === finding.id;
    return (
      <button
        key={finding.id}
        type="button"
        tabIndex={chosen ? 0 : -1}
        className="flag"
        data-severity={severity}
        data-edge={where !== '' ? side : undefined}
        aria-pressed={chosen}
        aria-label={`${letter}, ${SEVERITY_WORD[severity]}: ${finding.message} ${where}`}
        style={{ left: x, top: clampTo(y, 70, height - (height < 400 ? 70 : 24)) }}
        onPointerDown={(event) => event.stopPropagation()}
        onClick={() => {
          openList(app, 'review');
          showFinding(app, finding);
        }}
      >
        <span className="flag-letter">{letter}</span>
        <SeverityShape severity={severity} />
        {where !== '' && <span className="flag-where">{where}</span>}
      </button>
    );
  });
}

function GhostMark({ ghost, project, width, height }: { ghost: Ghost; project: Project; width: number; height: number }) {
  const stand = ghost.answer.ok ? ghost.answer.stand : undefined;
  const foot = stand ? project(stand.at) : undefined;
  const aim = ghost.aim ? project(ghost.aim) : undefined;
  const x = foot?.x ?? ghost.xPx;
  const y = foot?.y ?? ghost.yPx;
  const words = ghost.answer.ok
    ? [ghost.answer.stand.mount, ghost.answer.stand.snaps].filter(Boolean).join(', ')
    : ghost.answer.reason;
  return (
    <>
      <svg className="lines" width={width} height={height} aria-hidden="true">
        {aim && <Cased x1={x} y1={y} x2={aim.x} y2={aim.y} dashed />}
        <circle className="case" cx={x} cy={y} r="9" />
        <circle className={ghost.answer.ok ? 'line' : 'line dashed'} cx={x} cy={y} r="9" />
        {!ghost.answer.ok && <path className="line" d={`M${x - 9},${y - 9} l18,18 M${x + 9},${y - 9} l-18,18`} />}
      </svg>
      <div className="ghost-words" style={{ left: clampTo(x + 16, 0, width - 220), top: clampTo(y - 40, 64, height - 40) }}>
        {words}
      </div>
    </>
  );
}

function Crosshair({ width, height }: { width: number; height: number }) {
  const cross = useScreen((s) => s.crosshair);
  const shown = useScreen((s) => s.crosshair !== undefined);
  if (!shown || !cross) return null;
  const x = cross.xPx < 0 ? width / 2 : clampTo(cross.xPx, 0, width);
  const y = cross.yPx < 0 ? height / 2 : clampTo(cross.yPx, 0, height);
  return (
    <svg className="lines" width={width} height={height} aria-hidden="true">
      <Cased x1={x - 22} y1={y} x2={x - 6} y2={y} />
      <Cased x1={x + 6} y1={y} x2={x + 22} y2={y} />
      <Cased x1={x} y1={y - 22} x2={x} y2={y - 6} />
      <Cased x1={x} y1={y + 6} x2={x} y2={y + 22} />
    </svg>
  );
}
