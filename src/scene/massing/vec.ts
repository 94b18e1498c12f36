import type { Vec2, Vec3 } from '../records/index.ts';

export const UP: Vec3 = [0, 1, 0];

export function add(a: Vec3, b: Vec3): Vec3 {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}

export function sub(a: Vec3, b: Vec3): Vec3 {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

export function scale(a: Vec3, k: number): Vec3 {
  return [a[0] * k, a[1] * k, a[2] * k];
}

/** a + k·b. */
export function along(a: Vec3, b: Vec3, k: number): Vec3 {
  return [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];
}

export function dot(a: Vec3, b: Vec3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

export function cross(a: Vec3, b: Vec3): Vec3 {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

export function length(a: Vec3): number {
  return Math.hypot(a[0], a[1], a[2]);
}

/** Unit vector; a zero vector stays zero. */
export function unit(a: Vec3): Vec3 {
  const l = length(a);
  return l > 0 ? [a[0] / l, a[1] / l, a[2] / l] : [0, 0, 0];
}

/** Plan axes of a compass bearing: `forward` (0° = −Z, 90° = +X) and `right`, both level and of unit length. */
export function bearingAxes(bearingDeg: number): { forward: Vec3; right: Vec3 } {
  const b = (bearingDeg * Math.PI) / 180;
  const sin = cleanUnit(Math.sin(b));
  const cos = cleanUnit(Math.cos(b));
  return { forward: [sin, 0, -cos], right: [cos, 0, sin] };
}

/** Keep right angles exact, so that shared corners coincide to the last bit. */
function cleanUnit(x: number): number {
  const near = Math.round(x);
  return Math.abs(x - near) < 1e-12 ? near + 0 : x;
}

export function rectLoop(s0: number, t0: number, s1: number, t1: number): Vec2[] {
  return [
    [s0, t0],
    [s1, t0],
    [s1, t1],
    [s0, t1],
  ];
}
