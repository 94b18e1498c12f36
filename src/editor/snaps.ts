import type { PartOf } from '../scene/index.ts';
import { wallLengthM } from './wallPlace.ts';

type Wall = PartOf<'wall'>;

/** Set-backs a hand snaps to, metres, with the name shown beside the pointer (12, 15, 18 and 24 in). Common practice, no source. */
export const SET_BACKS: readonly { valueM: number; name: string }[] = [
  { valueM: 0.3, name: 'set-back 0.30 m (12 in)' },
  { valueM: 0.38, name: 'set-back 0.38 m (15 in)' },
  { valueM: 0.45, name: 'set-back 0.45 m (18 in)' },
  { valueM: 0.6, name: 'set-back 0.60 m (24 in)' },
];

/** A value that was caught, and by what. */
export interface Snap {
  valueM: number;
  name: string;
}

function nearestWithin(valueM: number, marks: readonly Snap[], radiusM: number): Snap | undefined {
  let best: Snap | undefined;
  for (const mark of marks) {
    const off = Math.abs(mark.valueM - valueM);
    if (off <= radiusM && (!best || off < Math.abs(best.valueM - valueM))) best = mark;
  }
  return best;
}

/** Nearest of the usual set-backs within `radiusM`, or undefined. */
export function snapSetBack(setBackM: number, radiusM: number): Snap | undefined {
  return nearestWithin(setBackM, SET_BACKS, radiusM);
}

/** A stretch of plain wall between openings, or between an opening and a corner. */
export interface Pier {
  fromM: number;
  toM: number;
  midM: number;
  /** "pier between window 2 and window 3", for lists and spoken words. */
  name: string;
}

/** Narrowest stretch of wall that counts as a pier, metres. */
const NARROWEST_PIER_M = 0.15;

/** Piers of a wall from `from` to `to`: what no opening of any storey stands above or below. */
export function piersOf(wall: Wall): Pier[] {
  const lengthM = wallLengthM(wall);
  const holes = wall.openings
    .map((o, i) => ({
      a: o.alongM - o.widthM / 2,
      b: o.alongM + o.widthM / 2,
      name: o.name === '' ? `${o.kind} ${i + 1}` : o.name,
    }))
    .sort((p, q) => p.a - q.a);
  const piers: Pier[] = [];
  let fromM = 0;
  let left = 'the left corner';
  for (const hole of [...holes, { a: lengthM, b: lengthM, name: 'the right corner' }]) {
    if (hole.a - fromM >= NARROWEST_PIER_M) {
      piers.push({ fromM, toM: hole.a, midM: (fromM + hole.a) / 2, name: `pier between ${left} and ${hole.name}` });
    }
    if (hole.b > fromM) [fromM, left] = [hole.b, hole.name];
  }
  return piers;
}

/** Marks along a wall: corners, edges of openings, middles of piers. */
export function alongMarks(wall: Wall): Snap[] {
  const lengthM = wallLengthM(wall);
  const edges = wall.openings.flatMap((o) => [o.alongM - o.widthM / 2, o.alongM + o.widthM / 2]);
  return [
    ...piersOf(wall).map((pier) => ({ valueM: pier.midM, name: 'mid-pier' })),
    { valueM: 0, name: 'corner' },
    { valueM: lengthM, name: 'corner' },
    ...edges.map((valueM) => ({ valueM, name: 'opening edge' })),
  ];
}

/** Nearest mark along a wall within `radiusM`; a mid-pier wins a tie. */
export function snapAlong(wall: Wall, alongM: number, radiusM: number): Snap | undefined {
  return nearestWithin(alongM, alongMarks(wall), radiusM);
}

/** Even places along a wall, the end ones half a spacing from the corners; metres from `from`. */
export function evenAlong(wall: Wall, count: number): number[] {
  if (!Number.isInteger(count) || count < 1) throw new RangeError(`count ${count}: a whole number from 1`);
  const spacing = wallLengthM(wall) / count;
  return Array.from({ length: count }, (_, i) => (i + 0.5) * spacing);
}
