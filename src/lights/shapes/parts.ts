import type { FixtureRecord, Vec3 } from '../../scene/index.ts';
import { fixtureFrame } from '../beam.ts';
import type { Source } from '../types.ts';

/** Parts of a line: so many that its light errs by at most 1 % beyond half its length and 5 % at a quarter. */
export const FEWEST_PARTS = 8;
/** Bound of the cost of one strip that lies close to a wall. */
export const MOST_PARTS = 24;
/** Parts a clear distance: nearer than its own parts are long, a row of points shows as beads. */
const PARTS_A_CLEARANCE = 1.25;

/** One piece of a line source. Its own `id` is that of the line, a mark that no record id holds, and a number. */
export interface PartSource extends Source {
  part: { of: string; lengthM: number };
}

export const isPart = (source: Source): source is PartSource => 'part' in source;

/**
 * Splits a line into equal parts along its own right. Each keeps the lamp's distribution and a share of the weight, and is
 * a source of its own: with its own place, so with its own shadows.
 *
 * @param clearanceM free distance in front of the line: the nearer a surface, the more parts.
 */
export function linePartsOf(source: Source, lengthM: number, clearanceM: number): PartSource[] {
  const wanted = Math.ceil((PARTS_A_CLEARANCE * lengthM) / Math.max(1e-3, clearanceM));
  const count = Math.min(MOST_PARTS, Math.max(FEWEST_PARTS, wanted));
  const { fixture } = source;
  const frame = fixtureFrame(fixture);
  return Array.from({ length: count }, (_, k) => {
    const along = ((k + 0.5) / count - 0.5) * lengthM;
    const shift = (p: Vec3): Vec3 => [p[0] + along * frame[3]!, p[1] + along * frame[4]!, p[2] + along * frame[5]!];
    const moved: FixtureRecord = { ...fixture, at: shift(fixture.at), aim: shift(fixture.aim) };
    return {
      ...source,
      id: `${source.id}#${k}`,
      fixture: moved,
      weight: source.weight / count,
      part: { of: source.id, lengthM: lengthM / count },
    };
  });
}

/** Rays that feel for the nearest surface: at this share of the half length, turned about the line by these angles. */
const FEEL_AT = [-0.9, 0, 0.9];
const FEEL_DEG = [-80, -50, -20, 20, 50, 80];

/** Free distance in front of a line, square to it. `castM`: distance to the nearest surface along a ray. */
export function clearanceOf(
  fixture: FixtureRecord,
  lengthM: number,
  castM: (from: Vec3, direction: Vec3, maxM: number) => number | undefined,
): number {
  const F = fixtureFrame(fixture);
  let nearest = lengthM;
  for (const share of FEEL_AT) {
    const along = (share * lengthM) / 2;
    const from: Vec3 = [0, 1, 2].map((k) => fixture.at[k]! + along * F[3 + k]! + 0.002 * F[k]!) as [number, number, number];
    for (const deg of FEEL_DEG) {
      const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
      const direction: Vec3 = [0, 1, 2].map((k) => c * F[k]! + s * F[6 + k]!) as [number, number, number];
      const met = castM(from, direction, nearest);
      if (met !== undefined) nearest = Math.min(nearest, Math.max(0.005, met));
    }
  }
  return nearest;
}
