import type { Body } from './bodies.ts';

/** Samples a side of a square, its border ring included: the same places as those of a tile with the same cell. */
export const SIDE = 32;
/** Directions over the hemisphere, each for the same share of cosine-weighted light. */
export const DIRECTIONS = 96;
/** What stands farther off than this along a ray is left to the patches, metres. */
export const REACH_M = 1.2;
/** A body that touches the face begins this far along a ray. */
const START_M = 0.002;
const PARALLEL = 1e-9;
const GOLDEN_RAD = Math.PI * (3 - Math.sqrt(5));

/** Unit directions in the frame of a face (along u, v, normal): Vogel's spiral on the disc under the hemisphere (Nusselt). */
export const directions = Float64Array.from({ length: DIRECTIONS * 3 }, (_, n) => {
  const k = Math.floor(n / 3);
  const r = Math.sqrt((k + 0.5) / DIRECTIONS);
  const a = k * GOLDEN_RAD;
  return [r * Math.cos(a), r * Math.sin(a), Math.sqrt(1 - r * r)][n % 3]!;
});

/** A body in the frame of a face: planes A·s + B·t + C·h ≤ D, bounds in s, t, h. */
export interface FaceBody {
  planes: Float64Array;
  min: readonly [number, number, number];
  max: readonly [number, number, number];
}

/** Origin, u, v, normal: 12 numbers. */
export function toFrame({ planes, min, max }: Body, f: Float64Array): FaceBody {
  const out = new Float64Array(planes.length);
  const along = (p: number, at: number): number =>
    planes[p]! * f[at]! + planes[p + 1]! * f[at + 1]! + planes[p + 2]! * f[at + 2]!;
  for (let p = 0; p < planes.length; p += 4) {
    out.set([along(p, 3), along(p, 6), along(p, 9), planes[p + 3]! - along(p, 0)], p);
  }
  const [low, high] = [
    [0, 0, 0],
    [0, 0, 0],
  ] as [[number, number, number], [number, number, number]];
  for (let axis = 0; axis < 3; axis++) {
    for (let k = 0; k < 3; k++) {
      const g = f[3 + axis * 3 + k]!;
      low[axis as 0]! += g * ((g > 0 ? min[k as 0]! : max[k as 0]!) - f[k]!);
      high[axis as 0]! += g * ((g > 0 ? max[k as 0]! : min[k as 0]!) - f[k]!);
    }
  }
  return { planes: out, min: low, max: high };
}

/** Shadow of a body along one direction on its face: half-planes a·s + b·t ≤ c, and bounds. */
export interface Shadow {
  count: number;
  a: Float64Array;
  b: Float64Array;
  c: Float64Array;
  s0: number;
  s1: number;
  t0: number;
  t1: number;
}

export const createShadow = (): Shadow => ({
  count: 0,
  a: new Float64Array(1024),
  b: new Float64Array(1024),
  c: new Float64Array(1024),
  s0: 0,
  s1: 0,
  t0: 0,
  t1: 0,
});

/** Where a ray comes in and goes out, as linear functions of its foot: at + s·bs + t·bt. */
const enter = { count: 0, at: new Float64Array(64), bs: new Float64Array(64), bt: new Float64Array(64) };
const leave = { count: 0, at: new Float64Array(64), bs: new Float64Array(64), bt: new Float64Array(64) };

function put(list: typeof enter, at: number, bs: number, bt: number): void {
  const k = list.count++;
  list.at[k] = at;
  list.bs[k] = bs;
  list.bt[k] = bt;
}

/**
 * Feet on the face whose ray along direction `k` meets a body within reach: those where every plane that the ray comes in
 * through lies before every plane it goes out through. False when there are none.
 */
export function castShadow({ planes, min, max }: FaceBody, k: number, out: Shadow): boolean {
  const [ds, dt, dh] = [directions[k * 3]!, directions[k * 3 + 1]!, directions[k * 3 + 2]!];
  const near = Math.max(0, min[2] / dh);
  const far = Math.min(REACH_M, max[2] / dh);
  if (near >= far) return false;
  out.s0 = min[0] - Math.max(near * ds, far * ds);
  out.s1 = max[0] - Math.min(near * ds, far * ds);
  out.t0 = min[1] - Math.max(near * dt, far * dt);
  out.t1 = max[1] - Math.min(near * dt, far * dt);
  enter.count = 0;
  leave.count = 0;
  out.count = 0;
  put(enter, START_M, 0, 0);
  put(leave, REACH_M, 0, 0);
  for (let p = 0; p < planes.length; p += 4) {
    const [A, B, D] = [planes[p]!, planes[p + 1]!, planes[p + 3]!];
    const q = A * ds + B * dt + planes[p + 2]! * dh;
    if (q > PARALLEL) put(leave, D / q, -A / q, -B / q);
    else if (q < -PARALLEL) put(enter, D / q, -A / q, -B / q);
    else halfPlane(out, A, B, D);
  }
  for (let e = 0; e < enter.count; e++) {
    for (let l = 0; l < leave.count; l++) {
      halfPlane(out, enter.bs[e]! - leave.bs[l]!, enter.bt[e]! - leave.bt[l]!, leave.at[l]! - enter.at[e]!);
    }
  }
  return true;
}

function halfPlane(out: Shadow, a: number, b: number, c: number): void {
  const k = out.count++;
  out.a[k] = a;
  out.b[k] = b;
  out.c[k] = c;
}

/** Marks the samples of a square that lie in a shadow: bit i of row j; sample (i, j) at s0 + i·cell, t0 + j·cell. */
export function markShadow(shadow: Shadow, s0: number, t0: number, cellM: number, rows: Uint32Array): void {
  const last = SIDE - 1;
  const i0 = Math.max(0, Math.ceil((shadow.s0 - s0) / cellM));
  const i1 = Math.min(last, Math.floor((shadow.s1 - s0) / cellM));
  if (i0 > i1) return;
  const j0 = Math.max(0, Math.ceil((shadow.t0 - t0) / cellM));
  const j1 = Math.min(last, Math.floor((shadow.t1 - t0) / cellM));
  const { count, a, b, c } = shadow;
  for (let j = j0; j <= j1; j++) {
    const t = t0 + j * cellM;
    let low = s0 + i0 * cellM;
    let high = s0 + i1 * cellM;
    for (let k = 0; k < count && low <= high; k++) {
      const room = c[k]! - b[k]! * t;
      const slope = a[k]!;
      if (slope > PARALLEL) high = Math.min(high, room / slope);
      else if (slope < -PARALLEL) low = Math.max(low, room / slope);
      else if (room < 0) high = -Infinity;
    }
    if (low > high) continue;
    const from = Math.ceil((low - s0) / cellM - 1e-9);
    const to = Math.floor((high - s0) / cellM + 1e-9);
    if (from <= to) rows[j]! |= (-1 << from) & (-1 >>> (last - to));
  }
}

/** Adds one to each marked sample and clears the marks. */
export function countMarks(rows: Uint32Array, counts: Uint16Array): void {
  for (let j = 0; j < SIDE; j++) {
    let bits = rows[j]!;
    if (bits === 0) continue;
    rows[j] = 0;
    for (let i = 31 - Math.clz32(bits & -bits); bits !== 0; ) {
      counts[j * SIDE + i]!++;
      bits &= bits - 1;
      i = 31 - Math.clz32(bits & -bits);
    }
  }
}
