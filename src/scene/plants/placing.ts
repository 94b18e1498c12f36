import type { Strand } from '../massing/types.ts';
import type { PlantRecord, Vec3 } from '../records/index.ts';
import type { LeafMass } from './leaves.ts';
import type { Skeleton } from './skeleton.ts';

/** Carries plant axes (foot at the origin, local x along the bearing) to the property. */
export interface Placing {
  point(p: Vec3): Vec3;
  direction(d: Vec3): Vec3;
}

/** Turn by the bearing, lean as a shear so that heights stay, carry to the foot. */
export function createPlacing(record: PlantRecord): Placing {
  const bearing = (record.bearingDeg * Math.PI) / 180;
  const axisX = [Math.sin(bearing), -Math.cos(bearing)] as const;
  const axisZ = [Math.cos(bearing), Math.sin(bearing)] as const;
  const lean = Math.tan((record.leanDeg * Math.PI) / 180);
  const toward = (record.leanBearingDeg * Math.PI) / 180;
  return {
    point: ([x, y, z]) => [
      record.at[0] + axisX[0] * x + axisZ[0] * z + lean * y * Math.sin(toward),
      record.baseM + y,
      record.at[1] + axisX[1] * x + axisZ[1] * z - lean * y * Math.cos(toward),
    ],
    direction: ([x, y, z]) => [axisX[0] * x + axisZ[0] * z, y, axisX[1] * x + axisZ[1] * z],
  };
}

export function placeLimbs(limbs: Strand[], placing: Placing): void {
  for (const { ringsM } of limbs)
    for (let i = 0; i < ringsM.length; i += 3) ringsM.set(placing.point([ringsM[i]!, ringsM[i + 1]!, ringsM[i + 2]!]), i);
}

/** Per axis p → scale·p + shift that brings spheres to fill a box exactly. */
export interface Fit {
  scale: Vec3;
  shift: Vec3;
}

/** The fit of spheres (with their radius) to a box, axis by axis: the record's sizes are kept exactly. */
export function fitOf(points: readonly Vec3[], radiusM: number, low: Vec3, high: Vec3): Fit {
  const scale: Vec3 = [1, 1, 1];
  const shift: Vec3 = [0, 0, 0];
  for (let k = 0; k < 3; k++) {
    let a = Infinity;
    let b = -Infinity;
    for (const p of points) {
      a = Math.min(a, p[k]!);
      b = Math.max(b, p[k]!);
    }
    const from = low[k]! + radiusM;
    const to = Math.max(from, high[k]! - radiusM);
    scale[k] = b > a ? (to - from) / (b - a) : 0;
    shift[k] = b > a ? from - a * scale[k]! : (from + to) / 2;
  }
  return { scale, shift };
}

export const fitPoint = (p: Vec3, { scale, shift }: Fit): Vec3 => [
  p[0] * scale[0] + shift[0],
  p[1] * scale[1] + shift[1],
  p[2] * scale[2] + shift[2],
];

/** Fits points in place. */
export function fitToBox(points: Vec3[], radiusM: number, low: Vec3, high: Vec3): void {
  const fit = fitOf(points, radiusM, low, high);
  for (const p of points) [p[0], p[1], p[2]] = fitPoint(p, fit);
}

/**
 * Fits spheres of differing size, with all that hangs on them, to a box; wood follows, its foot staying where it is.
 * The sizes are met in a few rounds, since spheres keep their radius while their places are scaled.
 */
export function fitMasses(masses: LeafMass[], skeleton: Skeleton | undefined, low: Vec3, high: Vec3): void {
  for (let round = 0; round < 4; round++) {
    const fit: Fit = { scale: [1, 1, 1], shift: [0, 0, 0] };
    for (let k = 0; k < 3; k++) {
      let lowest: LeafMass | undefined;
      let highest: LeafMass | undefined;
      for (const m of masses) {
        if (!lowest || m.at[k]! - m.radiusM < lowest.at[k]! - lowest.radiusM) lowest = m;
        if (!highest || m.at[k]! + m.radiusM > highest.at[k]! + highest.radiusM) highest = m;
      }
      if (!lowest || !highest) return;
      const from = low[k]! + lowest.radiusM;
      const to = high[k]! - highest.radiusM;
      const run = highest.at[k]! - lowest.at[k]!;
      fit.scale[k] = run > 1e-6 && to > from ? (to - from) / run : 1;
      fit.shift[k] = (run > 1e-6 && to > from ? from : (from + to) / 2) - lowest.at[k]! * fit.scale[k]!;
    }
    for (const mass of masses) {
      mass.at = fitPoint(mass.at, fit);
      for (const card of mass.cards) card.at = fitPoint(card.at, fit);
    }
    if (skeleton)
      skeleton.at = skeleton.at.map((p) => {
        const w = Math.min(1, Math.max(0, p[1] / (0.35 * high[1])));
        const q = fitPoint(p, fit);
        return [p[0] + w * (q[0] - p[0]), p[1] + w * (q[1] - p[1]), p[2] + w * (q[2] - p[2])];
      });
  }
}
