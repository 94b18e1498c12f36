import type { Vec3 } from '../records/index.ts';

export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

export const unit = (v: Vec3): Vec3 => {
  const k = 1 / (Math.hypot(v[0], v[1], v[2]) || 1);
  return [v[0] * k, v[1] * k, v[2] * k];
};

/** Unit vector of a weighted sum of directions. */
export function mixed(...parts: readonly (readonly [Vec3, number])[]): Vec3 {
  let [x, y, z] = [0, 0, 0];
  for (const [v, w] of parts) {
    x += w * v[0];
    y += w * v[1];
    z += w * v[2];
  }
  return unit([x, y, z]);
}

export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

export const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];

/** a + t·b. */
export const along = (a: Vec3, t: number, b: Vec3): Vec3 => [a[0] + t * b[0], a[1] + t * b[1], a[2] + t * b[2]];
