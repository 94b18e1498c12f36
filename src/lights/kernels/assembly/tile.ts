// One tile as seen from one lamp: whole bodies in front of it, then the shadows of the few triangles in its shaft.
import {
  EMPTY_CHILD,
  FORMS,
  PARAM_FRAME,
  PARAM_GRID,
  PARAM_LAMP,
  PARAM_RECT,
  ROWS,
  SHADOW,
  TRIANGLE_BLOCK_BYTES,
} from '../layout';
import { addPlane, clearPlanes, nextLeaf, startShaft } from './shaft';
import { cross1, dot3, param, param32, triangleBlocks, triangleNodes } from './shared';

const CONTACT_M: f32 = 1e-4;
/** Rounding of the shaft's planes, metres. */
const SLACK_M: f64 = 5e-5;
/** Slack of a projected triangle's rows and columns; the exact test decides. */
const ROW_SLACK: f32 = 0.02;
/** A segment that only touches a body is not hidden by it. */
const THROUGH_M: f32 = 2e-3;

let solids: usize = 0;
let solidCount: i32 = 0;

/** Convex bodies: for each the count of its planes as f32, then (nx, ny, nz, d) each. */
export function setSolids(at: usize, count: i32): void {
  solids = at;
  solidCount = count;
}

/** The lamp in face coordinates, then the first sample relative to its foot; set by `lookAtTile`. */
export let lampS: f64 = 0;
export let lampT: f64 = 0;
export let lampH: f64 = 0;
export let x0: f32 = 0;
export let y0: f32 = 0;
let rowFrom: i32 = 0;
let rowTo: i32 = 31;

/** Reads the tile and the lamp from `PARAMS`. */
export function lookAtTile(): void {
  const dx = param(PARAM_LAMP) - param(PARAM_FRAME);
  const dy = param(PARAM_LAMP + 1) - param(PARAM_FRAME + 1);
  const dz = param(PARAM_LAMP + 2) - param(PARAM_FRAME + 2);
  lampS = dx * param(PARAM_FRAME + 3) + dy * param(PARAM_FRAME + 4) + dz * param(PARAM_FRAME + 5);
  lampT = dx * param(PARAM_FRAME + 6) + dy * param(PARAM_FRAME + 7) + dz * param(PARAM_FRAME + 8);
  lampH = dx * param(PARAM_FRAME + 9) + dy * param(PARAM_FRAME + 10) + dz * param(PARAM_FRAME + 11);
  const cell = param(PARAM_GRID + 2);
  x0 = <f32>(param(PARAM_GRID) - 0.5 * cell - lampS);
  y0 = <f32>(param(PARAM_GRID + 1) - 0.5 * cell - lampT);
}

/** Shaft from the rectangle of valid samples to the lamp, and between face and lamp. */
export function aimTileShaft(): void {
  clearPlanes();
  addSide(3, lampS - param(PARAM_RECT), 1);
  addSide(3, lampS - param(PARAM_RECT + 1), -1);
  addSide(6, lampT - param(PARAM_RECT + 2), 1);
  addSide(6, lampT - param(PARAM_RECT + 3), -1);
  const x = param(PARAM_FRAME + 9);
  const y = param(PARAM_FRAME + 10);
  const z = param(PARAM_FRAME + 11);
  const plane = x * param(PARAM_FRAME) + y * param(PARAM_FRAME + 1) + z * param(PARAM_FRAME + 2);
  addPlane(x, y, z, plane + SLACK_M);
  addPlane(-x, -y, -z, -(plane + lampH) - SLACK_M);
}

/** Plane through the lamp and the line at distance `run` from its foot: inward normal sign·(h·axis − run·n). */
function addSide(axis: i32, run: f64, sign: f64): void {
  const scale = sign / sqrt(lampH * lampH + run * run);
  const x = scale * (lampH * param(axis) - run * param(9));
  const y = scale * (lampH * param(axis + 1) - run * param(10));
  const z = scale * (lampH * param(axis + 2) - run * param(11));
  addPlane(x, y, z, x * param(PARAM_LAMP) + y * param(PARAM_LAMP + 1) + z * param(PARAM_LAMP + 2) - SLACK_M);
}

/** 1 when one convex body lies between the lamp and all four corners of the tile. */
export function hiddenBySolid(): i32 {
  const s = f64x2(param(PARAM_RECT), param(PARAM_RECT + 1));
  const s0 = f64x2.extract_lane(s, 0);
  const s1 = f64x2.extract_lane(s, 1);
  const t0 = param(PARAM_RECT + 2);
  const t1 = param(PARAM_RECT + 3);
  const px = corners(0, s0, s1, t0, t1);
  const py = corners(1, s0, s1, t0, t1);
  const pz = corners(2, s0, s1, t0, t1);
  const dx = f32x4.sub(f32x4.splat(param32(PARAM_LAMP)), px);
  const dy = f32x4.sub(f32x4.splat(param32(PARAM_LAMP + 1)), py);
  const dz = f32x4.sub(f32x4.splat(param32(PARAM_LAMP + 2)), pz);
  const length = f32x4.sqrt(dot3(dx, dy, dz, dx, dy, dz));
  const least = f32x4.div(f32x4.splat(THROUGH_M), length);
  const zero = f32x4.splat(0);
  let at = solids;
  for (let b = 0; b < solidCount; b++) {
    const end = at + 4 + ((<usize>load<f32>(at)) << 4);
    let from = zero;
    let to = f32x4.splat(1);
    for (let p = at + 4; p < end; p += 16) {
      const nx = v128.load32_splat(p);
      const ny = v128.load32_splat(p, 4);
      const nz = v128.load32_splat(p, 8);
      const gap = f32x4.sub(dot3(nx, ny, nz, px, py, pz), v128.load32_splat(p, 12));
      const run = dot3(nx, ny, nz, dx, dy, dz);
      const t = f32x4.div(f32x4.neg(gap), run);
      to = v128.bitselect(f32x4.pmin(to, t), to, f32x4.gt(run, zero));
      from = v128.bitselect(f32x4.pmax(from, t), from, f32x4.lt(run, zero));
      to = v128.bitselect(zero, to, v128.and(f32x4.eq(run, zero), f32x4.gt(gap, zero)));
      if (i32x4.bitmask(f32x4.ge(f32x4.sub(to, from), least)) !== 15) {
        from = f32x4.splat(2);
        break;
      }
    }
    if (i32x4.bitmask(f32x4.ge(f32x4.sub(to, from), least)) === 15) return 1;
    at = end;
  }
  return 0;
}

function corners(k: i32, s0: f64, s1: f64, t0: f64, t1: f64): v128 {
  const o = param(k);
  const u = param(3 + k);
  const v = param(6 + k);
  return f32x4(<f32>(o + s0 * u + t0 * v), <f32>(o + s1 * u + t0 * v), <f32>(o + s0 * u + t1 * v), <f32>(o + s1 * u + t1 * v));
}

/** Draws every shadow that falls on the tile into `SHADOW`. Returns 1 when a valid sample stays open. */
export function drawShadows(): i32 {
  for (let k: usize = 0; k < 128; k += 16) v128.store(SHADOW + k, i32x4.splat(0));
  rowFrom = 0;
  rowTo = 31;
  while (rowFrom < 31 && load<u32>(ROWS + (rowFrom << 2)) === 0) rowFrom++;
  while (rowTo > 0 && load<u32>(ROWS + (rowTo << 2)) === 0) rowTo--;
  startShaft(triangleNodes);
  let since = 0;
  for (let code = nextLeaf(); code !== EMPTY_CHILD; code = nextLeaf()) {
    const place = ~code;
    const first = place >> 3;
    const last = first + (place & 7);
    for (let k = first; k <= last; k++) drawBlock(triangleBlocks + <usize>k * TRIANGLE_BLOCK_BYTES);
    if (++since === 8) {
      since = 0;
      if (!anyOpen()) return 0;
    }
  }
  return anyOpen();
}

function anyOpen(): i32 {
  let open = i32x4.splat(0);
  for (let k: usize = 0; k < 128; k += 16) {
    open = v128.or(open, v128.andnot(v128.load(ROWS + k), v128.load(SHADOW + k)));
  }
  return v128.any_true(open) ? 1 : 0;
}

/** 1 when a valid sample lies in hard shadow. */
export function anyHidden(): i32 {
  let hidden = i32x4.splat(0);
  for (let k: usize = 0; k < 128; k += 16) {
    hidden = v128.or(hidden, v128.and(v128.load(ROWS + k), v128.load(SHADOW + k)));
  }
  return v128.any_true(hidden) ? 1 : 0;
}

/**
 * Four triangles at once to the edge planes of their cones from the lamp and their own planes, all linear in column and
 * row; then each is drawn row by row. A corner is moved and turned by one formula, so that a corner two triangles share
 * is bit for bit the same in both, and their common edge the exact negative.
 */
function drawBlock(b: usize): void {
  const lx = f32x4.splat(param32(PARAM_LAMP));
  const ly = f32x4.splat(param32(PARAM_LAMP + 1));
  const lz = f32x4.splat(param32(PARAM_LAMP + 2));
  const nx = f32x4.splat(param32(9));
  const ny = f32x4.splat(param32(10));
  const nz = f32x4.splat(param32(11));
  const wax = f32x4.sub(v128.load(b), lx);
  const way = f32x4.sub(v128.load(b, 16), ly);
  const waz = f32x4.sub(v128.load(b, 32), lz);
  const wbx = f32x4.sub(v128.load(b, 48), lx);
  const wby = f32x4.sub(v128.load(b, 64), ly);
  const wbz = f32x4.sub(v128.load(b, 80), lz);
  const wcx = f32x4.sub(v128.load(b, 96), lx);
  const wcy = f32x4.sub(v128.load(b, 112), ly);
  const wcz = f32x4.sub(v128.load(b, 128), lz);
  const az = dot3(wax, way, waz, nx, ny, nz);
  const bz = dot3(wbx, wby, wbz, nx, ny, nz);
  const cz = dot3(wcx, wcy, wcz, nx, ny, nz);
  const h = f32x4.splat(<f32>lampH);
  const zero = f32x4.splat(0);
  const highest = f32x4.pmax(f32x4.pmax(az, bz), cz);
  const lowest = f32x4.pmin(f32x4.pmin(az, bz), cz);
  let live = v128.and(f32x4.gt(f32x4.add(highest, h), f32x4.splat(CONTACT_M)), f32x4.lt(lowest, zero));
  if (!v128.any_true(live)) return;
  const ux = f32x4.splat(param32(3));
  const uy = f32x4.splat(param32(4));
  const uz = f32x4.splat(param32(5));
  const ax = dot3(wax, way, waz, ux, uy, uz);
  const bx = dot3(wbx, wby, wbz, ux, uy, uz);
  const cx = dot3(wcx, wcy, wcz, ux, uy, uz);
  const vx = f32x4.splat(param32(6));
  const vy = f32x4.splat(param32(7));
  const vz = f32x4.splat(param32(8));
  const ay = dot3(wax, way, waz, vx, vy, vz);
  const by = dot3(wbx, wby, wbz, vx, vy, vz);
  const cy = dot3(wcx, wcy, wcz, vx, vy, vz);
  const cell32 = param32(PARAM_GRID + 2);
  const perCell = f32x4.splat(1 / cell32);
  // Rows and columns of the projected corners, where all three lie below the lamp.
  const below = f32x4.lt(highest, zero);
  const ka = f32x4.div(f32x4.neg(h), az);
  const kb = f32x4.div(f32x4.neg(h), bz);
  const kc = f32x4.div(f32x4.neg(h), cz);
  const fx = f32x4.splat(x0);
  const fy = f32x4.splat(y0);
  const pa = f32x4.mul(ay, ka);
  const pb = f32x4.mul(by, kb);
  const pc = f32x4.mul(cy, kc);
  const slack = f32x4.splat(ROW_SLACK);
  const first = f32x4.splat(<f32>rowFrom);
  const last = f32x4.splat(<f32>rowTo);
  const rLow = f32x4.sub(f32x4.mul(f32x4.sub(f32x4.pmin(f32x4.pmin(pa, pb), pc), fy), perCell), slack);
  const rHigh = f32x4.add(f32x4.mul(f32x4.sub(f32x4.pmax(f32x4.pmax(pa, pb), pc), fy), perCell), slack);
  const from = v128.bitselect(f32x4.pmax(first, f32x4.ceil(rLow)), first, below);
  const to = v128.bitselect(f32x4.pmin(last, f32x4.floor(rHigh)), last, below);
  const qa = f32x4.mul(ax, ka);
  const qb = f32x4.mul(bx, kb);
  const qc = f32x4.mul(cx, kc);
  const cLow = f32x4.mul(f32x4.sub(f32x4.pmin(f32x4.pmin(qa, qb), qc), fx), perCell);
  const cHigh = f32x4.mul(f32x4.sub(f32x4.pmax(f32x4.pmax(qa, qb), qc), fx), perCell);
  const beside = v128.or(f32x4.lt(cHigh, f32x4.neg(slack)), f32x4.gt(cLow, f32x4.splat(31 + ROW_SLACK)));
  live = v128.andnot(v128.and(live, f32x4.le(from, to)), v128.and(below, beside));
  if (!v128.any_true(live)) return;
  const abx = cross1(ay, bz, az, by);
  const aby = cross1(az, bx, ax, bz);
  const abz = cross1(ax, by, ay, bx);
  const det = dot3(abx, aby, abz, cx, cy, cz);
  live = v128.and(live, f32x4.ne(det, zero));
  let bits = i32x4.bitmask(live);
  if (bits === 0) return;
  const sign = v128.bitselect(f32x4.splat(1), f32x4.splat(-1), f32x4.gt(det, zero));
  const cell = f32x4.splat(cell32);
  storeForm(0, abx, aby, abz, sign, zero, cell, h);
  storeForm(1, cross1(by, cz, bz, cy), cross1(bz, cx, bx, cz), cross1(bx, cy, by, cx), sign, zero, cell, h);
  storeForm(2, cross1(cy, az, cz, ay), cross1(cz, ax, cx, az), cross1(cx, ay, cy, ax), sign, zero, cell, h);
  const ex = f32x4.sub(bx, ax);
  const ey = f32x4.sub(by, ay);
  const ez = f32x4.sub(bz, az);
  const gx = f32x4.sub(cx, ax);
  const gy = f32x4.sub(cy, ay);
  const gz = f32x4.sub(cz, az);
  const mx = cross1(ey, gz, ez, gy);
  const my = cross1(ez, gx, ex, gz);
  const mz = cross1(ex, gy, ey, gx);
  const off = f32x4.mul(f32x4.mul(sign, f32x4.splat(CONTACT_M)), f32x4.sqrt(dot3(mx, my, mz, mx, my, mz)));
  storeForm(3, mx, my, mz, sign, f32x4.add(dot3(mx, my, mz, ax, ay, az), off), cell, h);
  v128.store(FORMS + 512, i32x4.trunc_sat_f32x4_s(from));
  v128.store(FORMS + 528, i32x4.trunc_sat_f32x4_s(to));
  while (bits !== 0) {
    const lane = (<usize>ctz(bits)) << 2;
    bits &= bits - 1;
    drawRows(lane, load<i32>(FORMS + 512 + lane), load<i32>(FORMS + 528 + lane));
  }
}

/** Form sign·(n·x − d) ≥ 0 at row j, column i: base + j·lift + i·slope. Kept: base, lift, −1/slope, which end it bounds. */
function storeForm(k: usize, nx: v128, ny: v128, nz: v128, sign: v128, d: v128, cell: v128, h: v128): void {
  const at = FORMS + (k << 6);
  const base = f32x4.sub(
    f32x4.sub(f32x4.add(f32x4.mul(nx, f32x4.splat(x0)), f32x4.mul(ny, f32x4.splat(y0))), f32x4.mul(nz, h)),
    d,
  );
  const step = f32x4.mul(sign, cell);
  const slope = f32x4.mul(nx, step);
  const flat = f32x4.lt(f32x4.abs(slope), f32x4.splat(1e-30));
  v128.store(at, f32x4.mul(sign, base));
  v128.store(at, f32x4.mul(ny, step), 16);
  v128.store(at, v128.bitselect(f32x4.splat(-1e30), f32x4.div(f32x4.splat(-1), slope), flat), 32);
  v128.store(at, v128.or(flat, f32x4.gt(slope, f32x4.splat(0))), 48);
}

/** Four rows at a time: each form bounds the span from one end. */
function drawRows(lane: usize, from: i32, to: i32): void {
  const f = FORMS + lane;
  const top = f32x4.splat(31);
  for (let j = from; j <= to; j += 4) {
    const row = f32x4.add(f32x4.splat(<f32>j), f32x4(0, 1, 2, 3));
    let low = f32x4.splat(0);
    let high = top;
    for (let k: usize = 0; k < 256; k += 64) {
      const at = f32x4.add(v128.load32_splat(f + k), f32x4.mul(v128.load32_splat(f + k, 16), row));
      const x = f32x4.mul(at, v128.load32_splat(f + k, 32));
      if (load<i32>(f + k, 48) !== 0) low = f32x4.pmax(low, f32x4.ceil(x));
      else high = f32x4.pmin(high, f32x4.floor(x));
    }
    let bits = i32x4.bitmask(f32x4.le(low, high));
    if (bits === 0) continue;
    const rows = to - j + 1;
    if (rows < 4) bits &= (1 << rows) - 1;
    v128.store(FORMS + 544, i32x4.trunc_sat_f32x4_s(low));
    v128.store(FORMS + 560, i32x4.trunc_sat_f32x4_s(high));
    while (bits !== 0) {
      const r = (<usize>ctz(bits)) << 2;
      bits &= bits - 1;
      const span = (<u32>0xffffffff >> (31 - load<u32>(FORMS + 560 + r))) & ((<u32>0xffffffff) << load<u32>(FORMS + 544 + r));
      const at = SHADOW + ((<usize>j) << 2) + r;
      store<u32>(at, load<u32>(at) | span);
    }
  }
}
