// Splats, short vector arithmetic and the trees of the scene.
import { PARAMS } from '../layout';

export let triangleNodes: usize = 0;
export let triangleBlocks: usize = 0;
export let bodyNodes: usize = 0;
export let bodyBlocks: usize = 0;
export let bodyCount: i32 = 0;

/** Where the trees lie; no bodies: `bodies` = 0. */
export function setTrees(tNodes: usize, tBlocks: usize, bNodes: usize, bBlocks: usize, bodies: i32): void {
  triangleNodes = tNodes;
  triangleBlocks = tBlocks;
  bodyNodes = bNodes;
  bodyBlocks = bBlocks;
  bodyCount = bodies;
}

export function param(k: i32): f64 {
  return load<f64>(PARAMS + (k << 3));
}

export function param32(k: i32): f32 {
  return <f32>load<f64>(PARAMS + (k << 3));
}

/** a·x + b·y + c·z in lanes. */
export function dot3(ax: v128, ay: v128, az: v128, bx: v128, by: v128, bz: v128): v128 {
  return f32x4.add(f32x4.add(f32x4.mul(ax, bx), f32x4.mul(ay, by)), f32x4.mul(az, bz));
}

/** a·b − c·d in lanes: one component of a cross product; exact negative when the factors are swapped. */
export function cross1(a: v128, b: v128, c: v128, d: v128): v128 {
  return f32x4.sub(f32x4.mul(a, b), f32x4.mul(c, d));
}

/** exp(−x) in lanes, x ≥ 0; relative error below 3e-7. */
export function expMinus(x: v128): v128 {
  const y = f32x4.pmax(f32x4.mul(x, f32x4.splat(<f32>-Math.LOG2E)), f32x4.splat(-126));
  const n = f32x4.nearest(y);
  const f = f32x4.sub(y, n);
  let p = f32x4.splat(0.000154035304);
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(0.0013333558146428443));
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(0.009618129107628477));
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(0.05550410866482158));
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(0.2402265069591007));
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(<f32>Math.LN2));
  p = f32x4.add(f32x4.mul(p, f), f32x4.splat(1));
  const scale = i32x4.shl(i32x4.add(i32x4.trunc_sat_f32x4_s(n), i32x4.splat(127)), 23);
  return f32x4.mul(p, scale);
}

/** Angle of (x, y) over a full turn, 0…1, in lanes; error below 2e-7 of a turn. */
export function turnOf(y: v128, x: v128): v128 {
  const ax = f32x4.abs(x);
  const ay = f32x4.abs(y);
  const big = f32x4.pmax(f32x4.pmax(ax, ay), f32x4.splat(1e-30));
  const a = f32x4.div(f32x4.pmin(ax, ay), big);
  const s = f32x4.mul(a, a);
  // Minimax polynomial of atan on 0…1 (A. Abramowitz and I. Stegun, Handbook of Mathematical Functions, 4.4.49).
  let p = f32x4.splat(0.0028662257);
  p = f32x4.add(f32x4.mul(p, s), f32x4.splat(-0.0161657367));
  p = f32x4.add(f32x4.mul(p, s), f32x4.splat(0.0429096138));
  p = f32x4.add(f32x4.mul(p, s), f32x4.splat(-0.07528964));
  p = f32x4.add(f32x4.mul(p, s), f32x4.splat(0.1065626393));
  p = f32x4.add(f32x4.mul(p, s), f32x4.splat(-0.1420889944));
  p = f32x4.add(f32x4.mul(p, s), f32x4.splat(0.1999355085));
  p = f32x4.add(f32x4.mul(p, s), f32x4.splat(-0.3333314528));
  p = f32x4.add(f32x4.mul(p, s), f32x4.splat(1));
  let turn = f32x4.mul(f32x4.mul(p, a), f32x4.splat(0.15915494309189535));
  turn = v128.bitselect(f32x4.sub(f32x4.splat(0.25), turn), turn, f32x4.gt(ay, ax));
  turn = v128.bitselect(f32x4.sub(f32x4.splat(0.5), turn), turn, f32x4.lt(x, f32x4.splat(0)));
  return v128.bitselect(f32x4.sub(f32x4.splat(1), turn), turn, f32x4.lt(y, f32x4.splat(0)));
}

/** Lane mask of four bits. */
export function laneMask(bits: i32): v128 {
  const each = i32x4(1, 2, 4, 8);
  return i32x4.eq(v128.and(i32x4.splat(bits), each), each);
}

/**
 * Share of p + t·e, 0 ≤ t ≤ far, inside the unit sphere, in lanes. The discriminant is e² − (p × e)², which keeps its
 * digits where b² − a·c loses them.
 */
export function chordShare(px: v128, py: v128, pz: v128, ex: v128, ey: v128, ez: v128, far: v128): v128 {
  const zero = f32x4.splat(0);
  const wx = cross1(py, ez, pz, ey);
  const wy = cross1(pz, ex, px, ez);
  const wz = cross1(px, ey, py, ex);
  const a = dot3(ex, ey, ez, ex, ey, ez);
  const disc = f32x4.sub(a, dot3(wx, wy, wz, wx, wy, wz));
  const hit = f32x4.gt(disc, zero);
  if (!v128.any_true(hit)) return zero;
  const b = dot3(px, py, pz, ex, ey, ez);
  const root = f32x4.sqrt(f32x4.pmax(disc, zero));
  const per = f32x4.div(f32x4.splat(1), a);
  const t0 = f32x4.pmax(zero, f32x4.mul(f32x4.neg(f32x4.add(b, root)), per));
  const t1 = f32x4.pmin(far, f32x4.mul(f32x4.sub(root, b), per));
  return v128.and(f32x4.pmax(zero, f32x4.sub(t1, t0)), hit);
}

/** Direction · ((p − q) × (p + q)): twice the volume of the edge p → q with the ray. */
export function edgeVolume(px: v128, py: v128, pz: v128, qx: v128, qy: v128, qz: v128, dx: v128, dy: v128, dz: v128): v128 {
  const ex = f32x4.sub(px, qx);
  const ey = f32x4.sub(py, qy);
  const ez = f32x4.sub(pz, qz);
  const sx = f32x4.add(px, qx);
  const sy = f32x4.add(py, qy);
  const sz = f32x4.add(pz, qz);
  return dot3(cross1(ey, sz, ez, sy), cross1(ez, sx, ex, sz), cross1(ex, sy, ey, sx), dx, dy, dz);
}

/** 1/d in lanes; a direction without that part counts as a hair of it. */
export function inverse4(d: v128): v128 {
  const tiny = f32x4.lt(f32x4.abs(d), f32x4.splat(1e-30));
  return v128.bitselect(f32x4.splat(1e30), f32x4.div(f32x4.splat(1), d), tiny);
}
