import type { Vec2, Vec3 } from '../scene/index.ts';

export const DEG = Math.PI / 180;

export const add = (a: Vec3, b: Vec3, k = 1): Vec3 => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];
export const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const length = (a: Vec3): number => Math.hypot(a[0], a[1], a[2]);
export const distance = (a: Vec3, b: Vec3): number => length(sub(a, b));

/** Unit vector; a zero vector stays zero. */
export function unit(a: Vec3): Vec3 {
  const l = length(a);
  return l > 0 ? [a[0] / l, a[1] / l, a[2] / l] : [0, 0, 0];
}

/** Angle between two directions, degrees 0…180. */
export function angleDeg(a: Vec3, b: Vec3): number {
  return Math.atan2(length(cross(a, b)), dot(a, b)) / DEG;
}

/** Bearing in plan, degrees clockwise seen from above; 0 = −Z, 90 = +X. */
export const bearingDeg = (a: Vec3): number => Math.atan2(a[0], -a[2]) / DEG;

/** Difference of two bearings, −180…180. */
export const turnDeg = (from: number, to: number): number => ((((to - from) % 360) + 540) % 360) - 180;

/** Turns a vector clockwise seen from above. */
export function turned(a: Vec3, byDeg: number): Vec3 {
  const sin = Math.sin(byDeg * DEG);
  const cos = Math.cos(byDeg * DEG);
  return [a[0] * cos - a[2] * sin, a[1], a[0] * sin + a[2] * cos];
}

/** Even–odd rule in plan or on a face. */
export function insideLoop(loop: readonly Vec2[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
    const [ax, ay] = loop[i]!;
    const [bx, by] = loop[j]!;
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
  }
  return inside;
}

/** Distance from a plan point to a segment. */
export function segmentDistance(p: Vec2, a: Vec2, b: Vec2): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const l2 = dx * dx + dy * dy;
  const t = l2 > 0 ? Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / l2)) : 0;
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

/** Distance from a plan point to an outline; 0 inside. */
export function outlineDistance(p: Vec2, outline: readonly Vec2[]): number {
  if (insideLoop(outline, p[0], p[1])) return 0;
  return outline.reduce((least, a, i) => Math.min(least, segmentDistance(p, a, outline[(i + 1) % outline.length]!)), Infinity);
}
