import type { FixtureRecord, RunRecord, SchemeRecord, Vec3 } from '../scene/index.ts';
import { freeId } from './freeId.ts';

type Leg = RunRecord['legs'][number];

/** A leg guessed by the program is the straight distance × 1.2: cable goes round beds and paving. Common practice, no source. */
export const GUESSED_DETOUR = 1.2;
/** Shortest leg a guess writes, metres; a leg of zero length is refused in files. */
const SHORTEST_GUESS_M = 0.1;

const distanceM = (a: Vec3, b: Vec3): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

/** Where a leg ends: at its light, at the end of its drawn path, or undefined for a joint without a place. */
function legEnd(leg: Leg, fixtures: readonly FixtureRecord[]): Vec3 | undefined {
  return fixtures.find((f) => f.id === leg.fixtureId)?.at ?? leg.path?.at(-1);
}

/** A joint without a drawn place stands amid the lights it feeds. */
function jointPlace(run: RunRecord, joint: Leg, fixtures: readonly FixtureRecord[]): Vec3 | undefined {
  const own = legEnd(joint, fixtures);
  if (own) return own;
  const fed = run.legs
    .filter((leg) => leg.fromId === joint.id)
    .map((leg) => legEnd(leg, fixtures))
    .filter((end): end is Vec3 => end !== undefined);
  if (fed.length === 0) return undefined;
  const sum = fed.reduce<Vec3>((s, p) => [s[0] + p[0], s[1] + p[1], s[2] + p[2]], [0, 0, 0]);
  return [sum[0] / fed.length, sum[1] / fed.length, sum[2] / fed.length];
}

interface Joint {
  runId: string;
  /** Leg to start from; absent = the transformer. */
  fromId?: string;
  distanceM: number;
}

/** Places of one run where a new light may join: open ends of a daisy, joints of a hub, any node of a tee. */
function jointsOf(run: RunRecord, scheme: SchemeRecord, at: Vec3): Joint[] {
  const starts = new Set(run.legs.map((leg) => leg.fromId));
  const joinable = run.legs.filter((leg) => {
    if (run.topology === 'daisy') return !starts.has(leg.id);
    if (run.topology === 'hub') return leg.fixtureId === undefined;
    return true;
  });
  const joints: Joint[] = [];
  for (const leg of joinable) {
    const place = jointPlace(run, leg, scheme.fixtures);
    if (place) joints.push({ runId: run.id, fromId: leg.id, distanceM: distanceM(at, place) });
  }
  const transformer = scheme.transformers.find((t) => t.id === run.transformerId);
  if (transformer && (run.topology === 'tee' || joints.length === 0)) {
    joints.push({ runId: run.id, distanceM: distanceM(at, transformer.at) });
  }
  return joints;
}

/** True when some run of the scheme ends a leg at this light. */
export function isWired(scheme: SchemeRecord, fixtureId: string): boolean {
  return scheme.runs.some((run) => run.legs.some((leg) => leg.fixtureId === fixtureId));
}

/**
 * Joins a light of the scheme to the nearest run by one leg, `lengthM` = straight distance × 1.2, marked guessed.
 * Unchanged where there is no run with a place to join (the light is "not wired"), or where it is wired already.
 */
export function joinNearestRun(scheme: SchemeRecord, fixture: FixtureRecord): SchemeRecord {
  if (isWired(scheme, fixture.id)) return scheme;
  const others = { ...scheme, fixtures: scheme.fixtures.filter((f) => f.id !== fixture.id) };
  const joints = scheme.runs.flatMap((run) => jointsOf(run, others, fixture.at));
  const nearest = joints.reduce<Joint | undefined>((best, j) => (best && best.distanceM <= j.distanceM ? best : j), undefined);
  if (!nearest) return scheme;
  const runs = scheme.runs.map((run) => {
    if (run.id !== nearest.runId) return run;
    const lengthM = Math.max(SHORTEST_GUESS_M, Math.round(nearest.distanceM * GUESSED_DETOUR * 100) / 100);
    const leg: Leg = {
      id: freeId(
        `${run.id}-`,
        run.legs.map((l) => l.id),
      ),
      ...(nearest.fromId === undefined ? {} : { fromId: nearest.fromId }),
      lengthM,
      lengthGuessed: true,
      fixtureId: fixture.id,
    };
    return { ...run, legs: [...run.legs, leg] };
  });
  return { ...scheme, runs };
}

/**
 * Takes a light off its run. One cable beyond it: the two lengths become one. Several beyond: the leg stays as a bare
 * joint, so no shared cable is counted twice. None beyond: the leg goes, and bare joints left without anything to feed.
 */
export function freeLegs(run: RunRecord, fixtureIds: readonly string[]): RunRecord {
  let legs = run.legs;
  for (const id of fixtureIds) {
    for (const leg of legs.filter((l) => l.fixtureId === id)) legs = withoutLight(legs, leg);
  }
  return legs === run.legs ? run : { ...run, legs };
}

function withoutLight(legs: Leg[], leg: Leg): Leg[] {
  const children = legs.filter((l) => l.fromId === leg.id);
  if (children.length > 1) {
    const { fixtureId: _freed, ...joint } = leg;
    return legs.map((l) => (l.id === leg.id ? joint : l));
  }
  const rest = legs.filter((l) => l.id !== leg.id);
  const child = children[0];
  if (child) return rest.map((l) => (l.id === child.id ? joined(leg, child) : l));
  const parent = rest.find((l) => l.id === leg.fromId);
  const deadEnd = parent && parent.fixtureId === undefined && !rest.some((l) => l.fromId === parent.id);
  return deadEnd ? withoutLight(rest, parent) : rest;
}

function joined(first: Leg, second: Leg): Leg {
  const { fromId: _old, path: _path, ...rest } = second;
  const bends = first.path || second.path ? { path: [...(first.path ?? []), ...(second.path ?? [])].slice(0, 200) } : {};
  return {
    ...rest,
    ...(first.fromId === undefined ? {} : { fromId: first.fromId }),
    lengthM: first.lengthM + second.lengthM,
    lengthGuessed: first.lengthGuessed || second.lengthGuessed,
    ...bends,
  };
}
