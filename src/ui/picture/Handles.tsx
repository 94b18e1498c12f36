import { type KeyboardEvent, type PointerEvent, useMemo, useState } from 'react';
import {
  findLamp,
  findWall,
  lightLabel,
  type PlaceFields,
  placeFromWall,
  putFixtureInto,
  wallPlaceOf,
  withPlaceFields,
} from '../../editor/index.ts';
import { compileBeam } from '../../lights/index.ts';
import { type FixtureRecord, groundHeightAt, type PropertyDocument, type Vec3 } from '../../scene/index.ts';
import { otherReading, type QuantityUnit, showQuantity, takeQuantity } from '../parts/quantity.ts';
import type { App } from '../state/app.ts';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { angleArcs, beamOutline } from './beamOutline.ts';
import { followPointer } from './gesture.ts';
import { Cased, CasedPath, clampTo } from './lines.tsx';
import type { Project } from './projection.ts';
import { pickAt } from './useStageInput.ts';

/** Below this height handles lie in a row at the picture's foot. */
const SMALL_STAGE_PX = 400;
/** Pixels a degree takes when an arc is dragged. */
const PX_PER_DEG = 2;

interface HandleSpec {
  key: keyof PlaceFields;
  name: string;
  unit: QuantityUnit;
  value: number;
  min: number;
  max: number;
  step: number;
  /** Ends of the dimension line; the second is the dragged one. */
  line: [Vec3, Vec3];
  /** World direction along which the value grows; absent for angles, which turn by pixels. */
  axis?: Vec3;
  locked: boolean;
}

/** Dimension lines of the selected light: set-back, along the wall, height, tilt and bearing, and the aim cross. */
export function Handles({ project, width, height }: { project: Project; width: number; height: number }) {
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const id = session.selection.kind === 'lights' && session.selection.ids.length === 1 ? session.selection.ids[0] : undefined;
  const fixture =
    id === undefined
      ? undefined
      : (document.schemes.find((s) => s.id === session.schemeId)?.fixtures ?? []).find((f) => f.id === id);
  if (!fixture) return null;
  const small = height < SMALL_STAGE_PX;
  // On a small stage angles are left to the list; the lines in reach of a thumb stay.
  const specs = specsOf(document, fixture).filter((spec) => !small || spec.axis !== undefined);
  const foot = project(fixture.at);
  const aim = project(fixture.aim);
  return (
    <>
      <svg className="lines" width={width} height={height} aria-hidden="true">
        {specs.map((spec) => {
          const a = project(spec.line[0]);
          const b = project(spec.line[1]);
          if (!a?.inFront || !b?.inFront) return null;
          return <DimensionLine key={spec.key} a={a} b={b} />;
        })}
        <BeamLines fixture={fixture} project={project} />
        {foot?.inFront && aim?.inFront && <Cased x1={foot.x} y1={foot.y} x2={aim.x} y2={aim.y} dashed />}
      </svg>
      {specs.map((spec, i) => (
        <Handle key={spec.key} spec={spec} place={i} fixture={fixture} project={project} width={width} height={height} />
      ))}
      {aim?.inFront && <AimCross fixture={fixture} x={aim.x} y={aim.y} width={width} height={height} />}
    </>
  );
}

/** Half-intensity outline where the beam lands, dashed, and the arcs of tilt and bearing. */
function BeamLines({ fixture, project }: { fixture: FixtureRecord; project: Project }) {
  const document = useEditorState((s) => s.document);
  const scene = useScreen((s) => s.scene);
  const distribution = findLamp(document, fixture.lampId)?.distribution;
  const { lens, shield } = fixture;
  const beam = useMemo(() => distribution && compileBeam(distribution, lens, shield), [distribution, lens, shield]);
  const outline = useMemo(() => (scene && beam ? beamOutline(scene, fixture, beam) : []), [scene, fixture, beam]);
  const arcs = angleArcs(document, fixture);
  return (
    <>
      <CasedPath points={outline.map((p) => p && project(p))} closed dashed />
      <CasedPath points={arcs.tilt.map(project)} />
      <CasedPath points={arcs.bearing.map(project)} />
    </>
  );
}

/** Where the lines stand and which way each value grows. */
function specsOf(document: PropertyDocument, fixture: FixtureRecord): HandleSpec[] {
  const place = wallPlaceOf(document, fixture);
  const [x, y, z] = fixture.at;
  const groundM = groundHeightAt(document, x, z);
  const heightM = y - groundM;
  const specs: HandleSpec[] = [];
  if (place && place.setBackM < 10 && findWall(document, place.wallId)) {
    const at = (setBackM: number, alongM: number): Vec3 =>
      placeFromWall(document, { wallId: place.wallId, setBackM, alongM, heightM: place.heightM, side: place.side });
    const wallFoot = at(0, place.alongM);
    const grow = (a: Vec3, b: Vec3): Vec3 => [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
    const nearEnd = Math.max(0, place.alongM - 1);
    specs.push(
      {
        key: 'setBackM',
        name: 'Set-back',
        unit: 'm',
        value: place.setBackM,
        min: 0.05,
        max: 10,
        step: 0.01,
        line: [wallFoot, fixture.at],
        axis: grow(at(0, place.alongM), at(1, place.alongM)),
        locked: fixture.locks.place,
      },
      {
        key: 'alongM',
        name: 'Along wall',
        unit: 'm',
        value: place.alongM,
        min: 0,
        max: place.wallLengthM,
        step: 0.01,
        line: [at(place.setBackM, nearEnd), fixture.at],
        axis: grow(at(0, 0), at(0, 1)),
        locked: fixture.locks.place,
      },
    );
  }
  specs.push({
    key: 'heightM',
    name: 'Height',
    unit: 'm',
    value: heightM,
    min: -0.05,
    max: 12,
    step: 0.01,
    line: [
      [x, groundM, z],
      [x, Math.max(y, groundM + 0.3), z],
    ],
    axis: [0, 1, 0],
    locked: fixture.locks.place,
  });
  const tilt = place?.tiltDeg ?? 0;
  const bearing = place?.bearingDeg ?? 0;
  specs.push(
    {
      key: 'tiltDeg',
      name: 'Tilt',
      unit: 'deg',
      value: tilt,
      min: 0,
      max: 180,
      step: 1,
      line: [fixture.at, fixture.at],
      locked: fixture.locks.aim,
    },
    {
      key: 'bearingDeg',
      name: 'Bearing',
      unit: 'deg',
      value: bearing,
      min: 0,
      max: 359,
      step: 1,
      line: [fixture.at, fixture.at],
      locked: fixture.locks.aim,
    },
  );
  return specs;
}

function DimensionLine({ a, b }: { a: { x: number; y: number }; b: { x: number; y: number } }) {
  const tick = (p: { x: number; y: number }) => <Cased x1={p.x - 4} y1={p.y + 4} x2={p.x + 4} y2={p.y - 4} />;
  return (
    <>
      <Cased x1={a.x} y1={a.y} x2={b.x} y2={b.y} />
      {tick(a)}
      {tick(b)}
    </>
  );
}

function change(app: App, fixture: FixtureRecord, spec: HandleSpec, value: number): (d: PropertyDocument) => PropertyDocument {
  const schemeId = app.editor.store.getState().session.schemeId;
  const clamped = Math.max(spec.min, Math.min(spec.max, value));
  return (d) => putFixtureInto(d, schemeId, withPlaceFields(d, fixture, { [spec.key]: clamped }));
}

/** A real slider over its dimension line: drag it, step it by keys, or press its figure and type. */
function Handle(props: {
  spec: HandleSpec;
  place: number;
  fixture: FixtureRecord;
  project: Project;
  width: number;
  height: number;
}) {
  const { spec, fixture, project, width, height } = props;
  const app = useApp();
  const system = useEditorState((s) => s.session.lengthSystem);
  const document = useEditorState((s) => s.document);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const [typing, setTyping] = useState(false);
  const foot = project(fixture.at);
  if (!foot?.inFront) return null;
  const text = showQuantity(spec.value, spec.unit, system, spec.unit === 'deg' ? 0 : undefined);
  const label = `${spec.name.toLowerCase()} of ${lightLabel(document, schemeId, fixture.id)}`;
  const small = height < SMALL_STAGE_PX;
  const left = small ? 4 + props.place * 128 : clampTo(foot.x + (foot.x > width - 190 ? -170 : 26), 4, width - 150);
  const top = small
    ? height - 96
    : clampTo(foot.y - 60 + props.place * 46, 70 + props.place * 46, height - 44 * (5 - props.place) - 8);

  const onPointerDown = (event: PointerEvent) => {
    if (event.button !== 0 || typing) return;
    event.stopPropagation();
    if (spec.locked) {
      app.say(`${spec.name} is locked.`);
      return;
    }
    app.editor.beginGesture(`change ${label}`);
    const perPixel = pixelAxis(project, fixture.at, spec);
    followPointer(event, {
      onMove: (dx, dy) => app.editor.preview(change(app, fixture, spec, spec.value + perPixel(dx, dy))),
      onEnd: (moved) => {
        app.editor.commitGesture();
        if (!moved) setTyping(true);
      },
      onCancel: () => app.editor.cancelGesture(),
    });
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const by = event.altKey ? spec.step / 10 : spec.step;
    const steps: Record<string, number> = {
      ArrowUp: by,
      ArrowRight: by,
      ArrowDown: -by,
      ArrowLeft: -by,
      PageUp: spec.step * 10,
      PageDown: -spec.step * 10,
    };
    const step = steps[event.key];
    if (step !== undefined && !spec.locked) app.editor.edit(`change ${label}`, change(app, fixture, spec, spec.value + step));
    else if (event.key === 'Enter') setTyping(true);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  if (typing) {
    return (
      <input
        className="handle-input"
        style={{ left, top }}
        aria-label={spec.name}
        defaultValue={text}
        ref={(input) => input?.select()}
        onPointerDown={(event) => event.stopPropagation()}
        onBlur={() => setTyping(false)}
        onKeyDown={(event) => {
          event.stopPropagation();
          if (event.key === 'Escape') setTyping(false);
          if (event.key !== 'Enter') return;
          const read = takeQuantity(event.currentTarget.value, spec.unit, system, spec.value, spec.min, spec.max);
          if (read.ok) {
            app.editor.edit(`change ${label}`, change(app, fixture, spec, read.value));
            setTyping(false);
          } else app.say(read.reason);
        }}
      />
    );
  }
  return (
    <div
      className="handle"
      role="slider"
      tabIndex={0}
      aria-label={spec.name}
      aria-valuenow={spec.value}
      aria-valuemin={spec.min}
      aria-valuemax={spec.max}
      aria-valuetext={`${text}${spec.unit === 'm' ? `, ${otherReading(spec.value, 'm', system)}` : ''}`}
      aria-disabled={spec.locked}
      style={{ left, top }}
      onPointerDown={onPointerDown}
      onKeyDown={onKeyDown}
    >
      <span className="second">{spec.name}</span> {text}
      {spec.locked && ' locked'}
    </div>
  );
}

/** Pixels of a drag → change of the value: along the axis as it lies in the picture, or degrees by pixels. */
function pixelAxis(project: Project, at: Vec3, spec: HandleSpec): (dx: number, dy: number) => number {
  const { axis } = spec;
  const k = 0.2;
  const a = project(at);
  const b = axis && project([at[0] + axis[0] * k, at[1] + axis[1] * k, at[2] + axis[2] * k]);
  if (!axis || !a || !b) return (dx, dy) => (spec.key === 'tiltDeg' ? dy : dx) / PX_PER_DEG;
  const vx = (b.x - a.x) / k;
  const vy = (b.y - a.y) / k;
  // An axis that points at the eye covers few pixels a metre; below 20 the hand would fling the light away.
  const size2 = Math.max(vx * vx + vy * vy, 400);
  return (dx, dy) => (dx * vx + dy * vy) / size2;
}

/** The aim mark: drag it over any surface, the lamp keeps its place. */
function AimCross({
  fixture,
  x,
  y,
  width,
  height,
}: {
  fixture: FixtureRecord;
  x: number;
  y: number;
  width: number;
  height: number;
}) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const name = lightLabel(document, schemeId, fixture.id);
  const put = (aim: Vec3) => (d: PropertyDocument) => putFixtureInto(d, schemeId, { ...fixture, aim });
  const onPointerDown = (event: PointerEvent) => {
    if (event.button !== 0) return;
    event.stopPropagation();
    if (fixture.locks.aim) {
      app.say('Its aim is locked.');
      return;
    }
    app.editor.beginGesture(`aim ${name}`);
    followPointer(event, {
      onMove: (dx, dy) => {
        const picked = pickAt(app, x + dx, y + dy);
        if (picked) app.editor.preview(put(picked.at));
      },
      onEnd: () => app.editor.commitGesture(),
      onCancel: () => app.editor.cancelGesture(),
    });
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const steps: Record<string, [number, number]> = {
      ArrowLeft: [-8, 0],
      ArrowRight: [8, 0],
      ArrowUp: [0, -8],
      ArrowDown: [0, 8],
    };
    const step = steps[event.key];
    if (!step) return;
    event.preventDefault();
    event.stopPropagation();
    const picked = pickAt(app, x + step[0], y + step[1]);
    if (picked) app.editor.edit(`aim ${name}`, put(picked.at));
  };
  return (
    <button
      type="button"
      className="aim-cross"
      aria-label={`Aim mark of ${name}; arrows move it over the surfaces`}
      style={{ left: clampTo(x, 0, width), top: clampTo(y, 50, height) }}
      onPointerDown={onPointerDown}
      onKeyDown={onKeyDown}
    >
      <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
        <path className="case" d="M12,2 V22 M2,12 H22" />
        <path className="line" d="M12,2 V22 M2,12 H22" />
      </svg>
    </button>
  );
}
