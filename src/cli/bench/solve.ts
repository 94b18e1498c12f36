import type { Conditions, LightModel, Source } from '../../lights/index.ts';
import { createLightModel, resolveSources } from '../../lights/index.ts';
import type { FixtureRecord, PropertyDocument } from '../../scene/index.ts';
import { buildScene } from '../../scene/index.ts';
import { median } from './median.ts';
import { benchProperty } from './property.ts';

const EVENING: Conditions = { sunAltitudeDeg: -6, sunAzimuthDeg: 270, moon: 'none', cloud: 'clear', leaves: 'on' };

const sourcesOf = (document: PropertyDocument): Source[] => resolveSources(document, 'bench', { after: true, dirt: 'asShown' });

/** Runs a solve to its end and notes when each stage was over, ms from the start. */
function timedSolve(model: LightModel): Record<string, number> {
  const started = performance.now();
  const ends: Record<string, number> = {};
  let stage = 'direct';
  for (const step of model.solve()) {
    if (step.stage !== stage) {
      ends[stage] = performance.now() - started;
      stage = step.stage;
    }
  }
  ends[stage] = performance.now() - started;
  ends.settled = performance.now() - started;
  return ends;
}

function freshModel(document: PropertyDocument): LightModel {
  const model = createLightModel(buildScene(document), { surroundings: document.site.surroundings });
  model.setSources(sourcesOf(document), EVENING);
  return model;
}

/** Whole solves, and what one gesture costs. All in one thread of Node; medians of `runs`. */
export function benchSolve(demo: PropertyDocument, runs: number): Record<string, number> {
  const result: Record<string, number> = {};
  const whole = repeat(runs, () => timedSolve(freshModel(benchProperty(demo, 60))));
  result.solveFirstMs = median(whole.map((w) => w.direct ?? w.settled!));
  result.solveDirectMs = median(whole.map((w) => w.edges ?? w.direct ?? w.settled!));
  result.solveBouncedMs = median(whole.map((w) => w.settled!));
  const few = median(repeat(runs, () => timedSolve(freshModel(benchProperty(demo, 30))).settled!));
  const many = median(repeat(runs, () => timedSolve(freshModel(benchProperty(demo, 120))).settled!));
  result.solve120Over30 = many / few;
  Object.assign(result, benchGestures(benchProperty(demo, 60)), benchMassing(benchProperty(demo, 60), runs));
  return result;
}

function benchGestures(document: PropertyDocument): Record<string, number> {
  const model = freshModel(document);
  model.solveAll();
  model.takeDirty();
  const first: number[] = [];
  const refined: number[] = [];
  const change = (edit: (f: FixtureRecord, i: number) => FixtureRecord, index: number, i: number, conditions = EVENING) => {
    const sources = sourcesOf(document).map((s, k) =>
      k === index ? { ...s, fixture: edit(s.fixture, i), weight: s.weight * edit(s.fixture, i).dim } : s,
    );
    const started = performance.now();
    model.setSources(sources, conditions);
    let firstAt = 0;
    for (const step of model.solve()) if (step.stage !== 'direct' && !firstAt) firstAt = performance.now() - started;
    const end = performance.now() - started;
    return { first: firstAt || end, end };
  };
  const result: Record<string, number> = {};
  result.dimMs = median(repeat(15, (i) => change((f) => ({ ...f, dim: 0.4 + 0.03 * i }), i % 8, i).end));
  result.aimMs = median(
    repeat(
      15,
      (i) =>
        change((f) => ({ ...f, aim: [f.aim[0] + 0.02 * (i + 1), f.aim[1] - 0.1 * (i % 3), f.aim[2]] }), 4 + (i % 6), i).first,
    ),
  );
  for (let i = 0; i < 12; i++) {
    const t = change((f) => ({ ...f, at: [f.at[0] + 0.3 + 0.02 * i, f.at[1] + 0.02, f.at[2]] }), 8 + (i % 6), i);
    first.push(t.first);
    refined.push(t.end);
  }
  result.moveFirstMs = median(first);
  result.moveFirstWorstMs = Math.max(...first);
  result.moveRefinedMs = median(refined);
  result.duskMs = median(repeat(15, (i) => change((f) => f, 0, i, { ...EVENING, sunAltitudeDeg: -6 - 0.5 * (i + 1) }).end));
  return result;
}

function benchMassing(document: PropertyDocument, runs: number): Record<string, number> {
  const moved = (i: number): PropertyDocument => ({
    ...document,
    buildings: document.buildings.map((b) => ({
      ...b,
      parts: b.parts.map((p) => (p.kind === 'hood' ? { ...p, depthM: 1.2 + 0.05 * (i + 1) } : p)),
    })),
  });
  const times = repeat(runs, (i) => {
    const started = performance.now();
    const scene = buildScene(moved(i));
    const firstMs = performance.now() - started;
    const model = createLightModel(scene, { surroundings: document.site.surroundings });
    model.setSources(sourcesOf(document), EVENING);
    const ends = timedSolve(model);
    return { first: firstMs, direct: firstMs + (ends.direct ?? ends.settled!), settled: firstMs + ends.settled! };
  });
  return {
    massFirstMs: median(times.map((t) => t.first)),
    massDirectMs: median(times.map((t) => t.direct)),
    massSettledMs: median(times.map((t) => t.settled)),
  };
}

function repeat<T>(n: number, action: (i: number) => T): T[] {
  return Array.from({ length: n }, (_, i) => action(i));
}
