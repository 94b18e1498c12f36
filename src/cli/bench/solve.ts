import type { Conditions, LightModel, Source } from '../../lights/index.ts';
import { createLightModel, resolveSources } from '../../lights/index.ts';
import type { FixtureRecord, PropertyDocument } from '../../scene/index.ts';
import { buildScene } from '../../scene/index.ts';
import { median } from './median.ts';
import { benchProperty } from './property.ts';

const EVENING: Conditions = { sunAltitudeDeg: -6, sunAzimuthDeg: 270, moon: 'none', cloud: 'clear', leaves: 'on' };

const sourcesOf = (document: PropertyDocument): Source[] => resolveSources(document, 'bench', { after: true, dirt: 'asShown' });

/** When stages of a solve were over, ms since it was asked for. */
interface Ends {
  /** Direct light on the tiles there are: the first picture. */
  direct: number;
  /** Finer tiles and smooth shadow edges. */
  edges: number;
  /** First bounced picture. */
  bounced: number;
  /** All rays of the bounces. */
  settled: number;
}

/** Runs a solve to its end; the last step of each stage says when it was over. `from`: when it was asked for. */
function timedSolve(model: LightModel, from = performance.now()): Ends {
  const ends: Ends = { direct: 0, edges: 0, bounced: 0, settled: 0 };
  for (const step of model.solve()) ends[step.stage] = performance.now() - from;
  return ends;
}

function freshModel(document: PropertyDocument): LightModel {
  const model = createLightModel(buildScene(document), { surroundings: document.site.surroundings });
  model.setSources(sourcesOf(document), EVENING);
  return model;
}

/** A solve from nothing but the massing: making the model counts. */
function wholeSolve(document: PropertyDocument): Ends {
  const scene = buildScene(document);
  const from = performance.now();
  const model = createLightModel(scene, { surroundings: document.site.surroundings });
  model.setSources(sourcesOf(document), EVENING);
  return timedSolve(model, from);
}

/** Whole solves, and what one gesture costs. All in one thread of Node; medians of `runs`; `…CpuMs`: processor time. */
export function benchSolve(demo: PropertyDocument, runs: number): Record<string, number> {
  const result: Record<string, number> = {};
  const cpuBefore = process.cpuUsage();
  const whole = repeat(runs, () => wholeSolve(benchProperty(demo, 60)));
  const cpu = process.cpuUsage(cpuBefore);
  result.solveFirstMs = median(whole.map((w) => w.direct));
  result.solveDirectMs = median(whole.map((w) => w.edges));
  result.solveBouncedMs = median(whole.map((w) => w.bounced));
  result.solveSettledMs = median(whole.map((w) => w.settled));
  result.solveCpuMs = (cpu.user + cpu.system) / 1000 / runs;
  const few = median(repeat(runs, () => wholeSolve(benchProperty(demo, 30)).bounced));
  const many = median(repeat(runs, () => wholeSolve(benchProperty(demo, 120)).bounced));
  result.solve120Over30 = many / few;
  Object.assign(result, benchGestures(benchProperty(demo, 60)), benchMassing(benchProperty(demo, 60), runs));
  return result;
}

/** `…FirstMs`: direct light; else the whole field, bounces included. Each gesture goes on from where the one before ended, as a hand does; the document's own fixtures stay as they are. */
function benchGestures(document: PropertyDocument): Record<string, number> {
  const model = freshModel(document);
  model.solveAll();
  model.takeDirty();
  const change = (edit: (f: FixtureRecord) => FixtureRecord, index: number, conditions = EVENING): Ends => {
    const from = performance.now();
    const sources = sourcesOf(document).map((s, k) => {
      if (k !== index) return s;
      const fixture = edit(s.fixture);
      return { ...s, fixture, weight: (s.weight * fixture.dim) / s.fixture.dim };
    });
    model.setSources(sources, conditions);
    return timedSolve(model, from);
  };
  const dim = repeat(24, (i) => change((f) => ({ ...f, dim: 0.4 + 0.02 * i }), 5));
  const aim = repeat(24, (i) => change((f) => turned(f, 2 * (i + 1)), 5));
  const jump = repeat(6, (i) => change((f) => turned(f, 60), 20 + i));
  const move = repeat(12, (i) => change((f) => ({ ...f, at: [f.at[0] + 0.3 + 0.02 * i, f.at[1] + 0.02, f.at[2]] }), 8 + (i % 6)));
  const dusk = repeat(15, (i) => change((f) => f, -1, { ...EVENING, sunAltitudeDeg: -6 - 0.5 * (i + 1) }));
  const first = [...move, ...jump].map((t) => t.direct);
  return {
    dimFirstMs: median(dim.map((t) => t.direct)),
    dimMs: median(dim.map((t) => t.bounced)),
    aimFirstMs: median(aim.map((t) => t.direct)),
    aimMs: median(aim.map((t) => t.bounced)),
    moveFirstMs: median(first),
    moveFirstWorstMs: Math.max(...first),
    moveRefinedMs: median([...move, ...jump].map((t) => t.bounced)),
    duskMs: median(dusk.map((t) => t.bounced)),
  };
}

/** The aim turned about the vertical through the fixture. */
function turned(f: FixtureRecord, deg: number): FixtureRecord {
  const [x, z] = [f.aim[0] - f.at[0], f.aim[2] - f.at[2]];
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  return { ...f, aim: [f.at[0] + x * c - z * s, f.aim[1], f.at[2] + x * s + z * c] };
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
    const ends = timedSolve(model, started);
    return { first: firstMs, direct: ends.direct, settled: ends.bounced };
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
