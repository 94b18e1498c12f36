import type { Vec3 } from '../../scene/index.ts';

export const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const along = (from: Vec3, direction: Vec3, distance: number): Vec3 => [
  from[0] + direction[0] * distance,
  from[1] + direction[1] * distance,
  from[2] + direction[2] * distance,
];
export const lengthOf = (a: Vec3): number => Math.hypot(a[0], a[1], a[2]);
export const distance = (a: Vec3, b: Vec3): number => lengthOf(sub(a, b));
export const unit = (a: Vec3): Vec3 => {
  const length = lengthOf(a) || 1;
  return [a[0] / length, a[1] / length, a[2] / length];
};
