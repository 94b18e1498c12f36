import { cpus } from 'node:os';
import type { Conditions, LightModel, SolveStage, Source } from '../../lights/index.ts';
import { createLightModel, resolveSources } from '../../lights/index.ts';
import type { FixtureRecord, PropertyDocument } from '../../scene/index.ts';
import { buildScene } from '../../scene/index.ts';
import { type HelperPool, packField } from '../../worker/index.ts';
import { median } from './median.ts';
import { threadPool } from './pool.ts';
import { benchProperty } from './property.ts';

export const EVENING: Conditions = { sunAltitudeDeg: -6, sunAzimuthDeg: 270, moon: 'none', cloud: 'clear', leaves: 'on' };

const sourcesOf = (document: PropertyDocument): Source[] => resolveSources(document, 'bench', { after: true, dirt: 'asShown' });

/** Moment by both clocks: the wall, and the processor time of this process, which other programs on the machine do not stretch. */
export interface Moment {
  wallMs: number;
  cpuMs: number;
}

export function now(): Moment {
  const { user, system } = process.cpuUsage();
  return { wallMs: performance.now(), cpuMs: (user + system) / 1000 };
}

export const since = (from: Moment): Moment => {
  const { wallMs, cpuMs } = now();
  return { wallMs: wallMs - from.wallMs, cpuMs: cpuMs - from.cpuMs };
};

/** When the stages of a solve were over, from when it was asked for: first picture, fine tiles and edges, bounces, all rays. */
type Ends = Record<SolveStage, Moment>;

/** Runs a solve to its end; the last step of each stage says when it was over. */
function timedSolve(model: LightModel, from: Moment): Ends {
  const never: Moment = { wallMs: Number.NaN, cpuMs: Number.NaN };
  const ends: Ends = { direct: never, edges: never, bounced: never, settled: never };
  for (const step of model.solve()) ends[step.stage] = since(from);
  return ends;
}

/** A solve from nothing but the massing: making the model counts. */
function wholeSolve(document: PropertyDocument): Ends {
  const scene = buildScene(document);
  const from = now();
  const model = createLightModel(scene, { surroundings: document.site.surroundings });
  model.setSources(sourcesOf(document), EVENING);
  return timedSolve(model, from);
}

/** The same with helpers, which need a turn of the event loop to answer. */
async function sharedSolve(document: PropertyDocument, pool: HelperPool): Promise<Ends> {
  const scene = buildScene(document);
  const from = now();
  const model = createLightModel(scene, { surroundings: document.site.surroundings });
  model.setSources(sourcesOf(document), EVENING);
  const never: Moment = { wallMs: Number.NaN, cpuMs: Number.NaN };
  const ends: Ends = { direct: never, edges: never, bounced: never, settled: never };
  let slice = performance.now();
  for (const step of model.solve(pool)) {
    if (step.waiting) await pool.news();
    else if (performance.now() - slice > 8) {
      await new Promise((resolve) => setImmediate(resolve));
      slice = performance.now();
    }
    ends[step.stage] = since(from);
    if (step.stage === 'bounced') break;
  }
  return ends;
}

/** Wall time to the first picture and to direct light with edges, all processors over one thread; turn about. */
export async function benchWorkers(demo: PropertyDocument, runs: number): Promise<Record<string, number>> {
  const helpers = Math.max(1, Math.min(8, cpus().length) - 1);
  const pool = await threadPool(helpers);
  const document = benchProperty(demo, 60);
  const [first, direct]: [number[], number[]] = [[], []];
  await sharedSolve(document, pool);
  for (let k = 0; k < runs; k++) {
    const one = wholeSolve(document);
    const all = await sharedSolve(document, pool);
    first.push(all.direct.wallMs / one.direct.wallMs);
    direct.push(all.edges.wallMs / one.edges.wallMs);
  }
  pool.close();
  return { workers: helpers + 1, workersFirstOverOne: median(first), workersDirectOverOne: median(direct) };
}

/** Medians by both clocks: `name` in wall time, `nameCpu` in processor time. */
function figures(name: string, moments: Moment[]): Record<string, number> {
  return { [name]: median(moments.map((m) => m.wallMs)), [`${name}Cpu`]: median(moments.map((m) => m.cpuMs)) };
}

/** Whole solves, and what one gesture costs. All in one thread of Node; medians of `runs`. */
export function benchSolve(demo: PropertyDocument, runs: number): Record<string, number> {
  const of = (count: number): Ends => wholeSolve(benchProperty(demo, count));
  const whole = repeat(runs, () => of(60));
  // Turn about, so that a busy minute meets both; by processor time.
  const growth = repeat(runs, () => {
    const few = of(30).bounced.cpuMs;
    return of(120).bounced.cpuMs / few;
  });
  return {
    ...figures(
      'solveFirstMs',
      whole.map((w) => w.direct),
    ),
    ...figures(
      'solveDirectMs',
      whole.map((w) => w.edges),
    ),
    ...figures(
      'solveBouncedMs',
      whole.map((w) => w.bounced),
    ),
    ...figures(
      'solveSettledMs',
      whole.map((w) => w.settled),
    ),
    solve120Over30: median(growth),
    ...benchGestures(benchProperty(demo, 60)),
    ...benchMassing(benchProperty(demo, 60), runs),
  };
}

/**
 * One source changed at a time: edits stay, so that no gesture pays for taking the one before back. `…FirstMs`: direct
 * light; else the whole field with bounces.
 */
function benchGestures(document: PropertyDocument): Record<string, number> {
  const model = createLightModel(buildScene(document), { surroundings: document.site.surroundings });
  const sources = sourcesOf(document);
  model.setSources([...sources], EVENING);
  model.solveAll();
  model.takeDirty();
  const change = (index: number, edit: (f: FixtureRecord) => FixtureRecord, conditions = EVENING): Ends => {
    const from = now();
    const before = sources[index];
    if (before) {
      const fixture = edit(before.fixture);
      sources[index] = { ...before, fixture, weight: (before.weight * fixture.dim) / before.fixture.dim };
    }
    model.setSources([...sources], conditions);
    return timedSolve(model, from);
  };
  const dim = repeat(24, (i) => change(i % 12, (f) => ({ ...f, dim: 0.4 + 0.02 * i })));
  const aim = repeat(24, (i) => change(i % 12, (f) => turned(f, 2)));
  const jump = repeat(6, (i) => change(20 + i, (f) => turned(f, 60)));
  const move = repeat(12, (i) => change(8 + i, (f) => ({ ...f, at: [f.at[0] + 0.3, f.at[1] + 0.02, f.at[2]] })));
  const dusk = repeat(15, (i) => change(-1, (f) => f, { ...EVENING, sunAltitudeDeg: -6 - 0.5 * (i + 1) }));
  const moved = [...move, ...jump];
  return {
    ...figures(
      'dimFirstMs',
      dim.map((t) => t.direct),
    ),
    ...figures(
      'dimMs',
      dim.map((t) => t.bounced),
    ),
    ...figures(
      'aimFirstMs',
      aim.map((t) => t.direct),
    ),
    ...figures(
      'aimMs',
      aim.map((t) => t.bounced),
    ),
    ...figures(
      'moveFirstMs',
      moved.map((t) => t.direct),
    ),
    moveFirstWorstMs: Math.max(...moved.map((t) => t.direct.wallMs)),
    moveFirstWorstMsCpu: Math.max(...moved.map((t) => t.direct.cpuMs)),
    ...figures(
      'moveRefinedMs',
      moved.map((t) => t.bounced),
    ),
    ...figures(
      'duskMs',
      dusk.map((t) => t.bounced),
    ),
  };
}

/** The aim turned about the vertical through the fixture. */
function turned(f: FixtureRecord, deg: number): FixtureRecord {
  const [x, z] = [f.aim[0] - f.at[0], f.aim[2] - f.at[2]];
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  return { ...f, aim: [f.at[0] + x * c - z * s, f.aim[1], f.at[2] + x * s + z * c] };
}

/**
 * The door hood deepened step by step on a settled property. First response: the new massing with its old light, packed for
 * the page; then direct light with edges; then all bounces.
 */
function benchMassing(document: PropertyDocument, runs: number): Record<string, number> {
  const moved = (i: number): PropertyDocument => ({
    ...document,
    buildings: document.buildings.map((b) => ({
      ...b,
      parts: b.parts.map((p) => (p.kind === 'hood' ? { ...p, depthM: 1.2 + 0.05 * (i + 1) } : p)),
    })),
  });
  const model = createLightModel(buildScene(document), { surroundings: document.site.surroundings });
  model.setSources(sourcesOf(document), EVENING);
  model.solveAll();
  model.takeDirty();
  const times = repeat(Math.max(3, runs), (i) => {
    const started = now();
    const slots = model.adoptScene(buildScene(moved(i)));
    packField(model.field, { slots, cards: true, strands: true }, i, 'direct', model.field.tiles);
    const first = since(started);
    model.setSources(sourcesOf(document), EVENING);
    const ends = timedSolve(model, started);
    return { first, direct: ends.edges, settled: ends.settled };
  });
  return {
    ...figures(
      'massFirstMs',
      times.map((t) => t.first),
    ),
    ...figures(
      'massDirectMs',
      times.map((t) => t.direct),
    ),
    ...figures(
      'massSettledMs',
      times.map((t) => t.settled),
    ),
  };
}

function repeat<T>(n: number, action: (i: number) => T): T[] {
  return Array.from({ length: n }, (_, i) => action(i));
}
