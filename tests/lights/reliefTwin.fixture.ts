import {
  RELIEF_AZIMUTHS,
  RESPONSE_COTANGENTS,
  RESPONSE_RANGE,
  type ReliefMaps,
  type ReliefRecipe,
  visibleAbove,
} from '../../src/materials/index.ts';

export type Direction = readonly [number, number, number];

/** Unit vector toward a light, in the face's frame. */
export function toward(azimuthDeg: number, sine: number): Direction {
  const a = (azimuthDeg * Math.PI) / 180;
  const c = Math.sqrt(1 - sine * sine);
  return [c * Math.cos(a), c * Math.sin(a), sine];
}

/** The light's azimuth in eighths of a turn, as the picture's program reads it. */
function eighths(l: Direction): { low: number; next: number; share: number } {
  let azimuth = Math.atan2(l[1], l[0]) * (4 / Math.PI);
  if (azimuth < 0) azimuth += 8;
  azimuth = Math.min(azimuth, 7.9999);
  const low = Math.floor(azimuth);
  return { low, next: (low + 1) % RELIEF_AZIMUTHS, share: azimuth - low };
}

/** Which two kept elevations a light lies between, by cotangent, and the share of the upper. */
function elevationStep(l: Direction): { e0: number; up: number; cotangent: number } {
  const C = RESPONSE_COTANGENTS;
  const cotangent = Math.min(C[0]!, Math.hypot(l[0], l[1]) / l[2]);
  const e0 = cotangent > C[1]! ? 0 : cotangent > C[2]! ? 1 : 2;
  const up = Math.min(1, Math.max(0, (C[e0]! - cotangent) / (C[e0]! - C[e0 + 1]!)));
  return { e0, up, cotangent };
}

/** Twin of the picture's close-up path (normal and horizon) at texel `i` of an n × n relief. */
export function nearRatio(maps: ReliefMaps, n: number, limit: number, l: Direction, i: number): number {
  const { low, next, share } = eighths(l);
  const count = n * n;
  const horizon = (a: number): number => maps.horizon[(a >> 2) * count * 4 + i * 4 + (a & 3)]! / 255;
  const h = horizon(low) * (1 - share) + horizon(next) * share;
  const nx = maps.shape[4 * i]!;
  const ny = maps.shape[4 * i + 1]!;
  const dot = nx * l[0] + ny * l[1] + Math.sqrt(Math.max(0, 1 - nx * nx - ny * ny)) * l[2];
  return Math.min(limit, Math.max(0, dot / l[2])) * visibleAbove(h, l[2]);
}

/** Twin of the picture's far path (response texture) at texel `i` of the half-size response. */
export function farRatio(maps: ReliefMaps, n: number, l: Direction, i: number): number {
  const layer = (n / 2) ** 2 * 4;
  const { low, next, share } = eighths(l);
  const { e0, up, cotangent } = elevationStep(l);
  const read = (e: number, a: number): number => maps.response[(e * 2 + (a >> 2)) * layer + i * 4 + (a & 3)]!;
  const at = (e: number): number => read(e, low) * (1 - share) + read(e, next) * share;
  const answer = ((at(e0) * (1 - up) + at(e0 + 1) * up) * RESPONSE_RANGE) / 255;
  const flat = 1 - Math.min(1, cotangent / RESPONSE_COTANGENTS[3]!);
  return answer * (1 - flat) + flat;
}

/** Direction of a light vector as the program takes it: never closer to the face than a sine of 0.02. */
export function directionOf(v: Direction): Direction {
  const size = Math.hypot(...v);
  const z = Math.max(0.02, v[2] / size);
  const k = 1 / Math.hypot(v[0] / size, v[1] / size, z);
  return [(v[0] / size) * k, (v[1] / size) * k, z * k];
}

/**
 * Brute force, no table and no horizon: share of the flat illuminance at texel (x, y) of a repeating height field under one
 * light, the mean over a round lens of several points, each by a march to the top of the relief.
 */
export function marchedRatio(
  h: Float32Array,
  n: number,
  recipe: ReliefRecipe,
  l: Direction,
  x: number,
  y: number,
  lensRad: number,
): number {
  const ds = recipe.widthM / n;
  const dt = recipe.heightM / n;
  const at = (i: number, j: number): number => h[(((j % n) + n) % n) * n + (((i % n) + n) % n)]!;
  const hs = (at(x + 1, y) - at(x - 1, y)) / (2 * ds);
  const ht = (at(x, y + 1) - at(x, y - 1)) / (2 * dt);
  const size = Math.hypot(hs, ht, 1);
  const top = TOPS.get(h) ?? topOf(h);
  let sum = 0;
  for (let k = 0; k < LENS.length; k++) {
    const d = across(l, LENS[k]![0] * lensRad, LENS[k]![1] * lensRad);
    const dot = (-hs * d[0] - ht * d[1] + d[2]) / size;
    if (dot <= 0 || d[2] <= 0) continue;
    const level = Math.hypot(d[0], d[1]);
    const rise = d[2] / level;
    const from = at(x, y);
    const step = 0.5 * Math.min(ds, dt);
    const far = Math.min((top - from) / rise, 400 * step);
    let clear = true;
    for (let m = step * 1.5; m < far && clear; m += step) {
      clear = interpolated(h, n, x + ((d[0] / level) * m) / ds, y + ((d[1] / level) * m) / dt) < from + rise * m;
    }
    if (clear) sum += dot / l[2];
  }
  return sum / LENS.length;
}

const TOPS = new WeakMap<Float32Array, number>();
function topOf(h: Float32Array): number {
  let top = -Infinity;
  for (const v of h) top = Math.max(top, v);
  TOPS.set(h, top);
  return top;
}

function interpolated(h: Float32Array, n: number, x: number, y: number): number {
  const i = Math.floor(x);
  const j = Math.floor(y);
  const at = (a: number, b: number): number => h[(((b % n) + n) % n) * n + (((a % n) + n) % n)]!;
  const low = at(i, j) * (1 - x + i) + at(i + 1, j) * (x - i);
  const high = at(i, j + 1) * (1 - x + i) + at(i + 1, j + 1) * (x - i);
  return low * (1 - y + j) + high * (y - j);
}

/** Seven points of a round lens: middle and a hexagon at two thirds. */
const LENS = [
  [0, 0],
  ...[0, 60, 120, 180, 240, 300].map((a) => [0.72 * Math.cos((a * Math.PI) / 180), 0.72 * Math.sin((a * Math.PI) / 180)]),
] as [number, number][];

/** A direction turned by small angles across. */
function across(l: Direction, a: number, b: number): Direction {
  const level = Math.hypot(l[0], l[1]) || 1;
  const u: Direction = [-l[1] / level, l[0] / level, 0];
  const v: Direction = [(-l[0] * l[2]) / level, (-l[1] * l[2]) / level, level];
  const d = [0, 1, 2].map((k) => l[k]! + a * u[k]! + b * v[k]!) as [number, number, number];
  const s = Math.hypot(...d);
  return [d[0] / s, d[1] / s, d[2] / s];
}
