import type { Vec3 } from '../../../src/scene/index.ts';
import type { Triple } from './tree.ts';

export interface Lamp {
  at: Vec3;
  aim: Vec3;
  fluxLm: number;
  beamAngleFullDeg: number;
  spillShare: number;
  lensRadiusM: number;
  /** Tube before the lens: the angle from the axis at which the last of the lens is hidden; a louvre passes .85 of it. */
  shield?: { cutOffDeg: number; passes: number };
  /** Places on the lens from which it is seen, for soft edges of shadows; without them its centre. */
  places?: readonly Vec3[];
}

export type Random = () => number;

export function dice(seed: number): Random {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export const dot = (a: ArrayLike<number>, b: ArrayLike<number>): number => a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;

/** A direction of a lamp's light, as dense as its candela; undefined for light that its shield keeps. */
export function ofBeam(lamp: Lamp, random: Random): Triple | undefined {
  const axis: Triple = [lamp.aim[0] - lamp.at[0], lamp.aim[1] - lamp.at[1], lamp.aim[2] - lamp.at[2]];
  const size = Math.hypot(...axis);
  const n = random() < lamp.spillShare ? 1 : Math.log(0.5) / Math.log(Math.cos((lamp.beamAngleFullDeg * Math.PI) / 360));
  const cos = random() ** (1 / (n + 1));
  if (lamp.shield && random() > shown(lamp.shield, cos)) return undefined;
  return round([axis[0] / size, axis[1] / size, axis[2] / size], cos, random());
}

/** Share of a disc seen through the equal mouth of a tube: the lens of two equal circles that part. */
function shown(shield: NonNullable<Lamp['shield']>, cos: number): number {
  const apart = (2 * Math.sqrt(Math.max(0, 1 - cos * cos))) / cos / Math.tan((shield.cutOffDeg * Math.PI) / 180);
  if (!(apart < 2)) return 0;
  const half = 2 * Math.acos(apart / 2);
  return (shield.passes * (half - Math.sin(half))) / Math.PI;
}

export function candela(lamp: Lamp, d: Vec3): number {
  const axis: Triple = [lamp.aim[0] - lamp.at[0], lamp.aim[1] - lamp.at[1], lamp.aim[2] - lamp.at[2]];
  const cos = dot(axis, d) / Math.hypot(...axis);
  if (cos <= 0) return 0;
  const n = Math.log(0.5) / Math.log(Math.cos((lamp.beamAngleFullDeg * Math.PI) / 360));
  const { fluxLm: F, spillShare: s } = lamp;
  const bare = (1 - s) * F * ((n + 1) / (2 * Math.PI)) * cos ** n + ((s * F) / Math.PI) * cos;
  return lamp.shield ? bare * shown(lamp.shield, cos) : bare;
}

/** Lambert's direction round n: polar, by the root of one number. */
export const lambert = (n: Vec3, u: number, v: number): Triple => round(n, Math.sqrt(Math.max(0, 1 - u)), v);

export function round(n: Vec3, z: number, turn: number): Triple {
  const r = Math.sqrt(Math.max(0, 1 - z * z));
  const [x, y] = [r * Math.cos(2 * Math.PI * turn), r * Math.sin(2 * Math.PI * turn)];
  const h: Triple = Math.abs(n[0]) > 0.8 ? [0, 1, 0] : [1, 0, 0];
  let a: Triple = [h[1] * n[2] - h[2] * n[1], h[2] * n[0] - h[0] * n[2], h[0] * n[1] - h[1] * n[0]];
  const size = Math.hypot(...a);
  a = [a[0] / size, a[1] / size, a[2] / size];
  const b: Triple = [n[1] * a[2] - n[2] * a[1], n[2] * a[0] - n[0] * a[2], n[0] * a[1] - n[1] * a[0]];
  return [x * a[0] + y * b[0] + z * n[0], x * a[1] + y * b[1] + z * n[1], x * a[2] + y * b[2] + z * n[2]];
}
