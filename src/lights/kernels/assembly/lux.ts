// Lux of a beam at the samples of a tile: E = I(w)·cos θ/(d² + r²)·exp(−depth), and where its shadow edges are.
import {
  DEPTH,
  EDGE_ROWS,
  LUX,
  MOST,
  OPEN_LUX,
  PARAM_BEAM,
  PARAM_EDGE_FROM,
  PARAM_FIXTURE,
  PARAM_GRID,
  PARAM_LENS,
  ROWS,
  SHADOW,
} from '../layout';
import { expMinus, laneMask, param, param32, turnOf } from './shared';
import { lampH, x0, y0 } from './tile';

/**
 * Candela in lanes: `c` cosines to the axis; right and up parts (any scale) for beams with planes. Table over
 * q = √(1 − cos γ), linear; planes over the turn.
 */
export function candela(cosine: v128, right: v128, up: v128): v128 {
  const planes = <i32>param(PARAM_BEAM);
  const steps = <i32>param(PARAM_BEAM + 1);
  const table = <usize>param(PARAM_BEAM + 2);
  const zero = f32x4.splat(0);
  const q = f32x4.mul(
    f32x4.sqrt(f32x4.pmax(zero, f32x4.sub(f32x4.splat(1), cosine))),
    f32x4.splat(<f32>(<f64>steps / Math.SQRT2)),
  );
  const k = f32x4.pmin(f32x4.floor(q), f32x4.splat(<f32>(steps - 1)));
  const f = f32x4.sub(q, k);
  const place = i32x4.trunc_sat_f32x4_s(k);
  if (planes === 1) return readTable(table, place, f);
  const y = f32x4.mul(turnOf(up, right), f32x4.splat(<f32>planes));
  const whole = f32x4.floor(y);
  const count = i32x4.splat(planes);
  let p = i32x4.trunc_sat_f32x4_s(whole);
  p = i32x4.sub(p, v128.and(count, i32x4.ge_s(p, count)));
  let next = i32x4.add(p, i32x4.splat(1));
  next = i32x4.sub(next, v128.and(count, i32x4.ge_s(next, count)));
  const row = i32x4.splat(steps + 1);
  const a = readTable(table, i32x4.add(i32x4.mul(p, row), place), f);
  const b = readTable(table, i32x4.add(i32x4.mul(next, row), place), f);
  return f32x4.add(a, f32x4.mul(f32x4.sub(y, whole), f32x4.sub(b, a)));
}

function readTable(table: usize, place: v128, f: v128): v128 {
  const at0 = table + ((<usize>i32x4.extract_lane(place, 0)) << 2);
  const at1 = table + ((<usize>i32x4.extract_lane(place, 1)) << 2);
  const at2 = table + ((<usize>i32x4.extract_lane(place, 2)) << 2);
  const at3 = table + ((<usize>i32x4.extract_lane(place, 3)) << 2);
  const low = v128.load64_lane(at1, v128.load64_zero(at0), 1);
  const high = v128.load64_lane(at3, v128.load64_zero(at2), 1);
  const here = v128.shuffle<f32>(low, high, 0, 2, 4, 6);
  const there = v128.shuffle<f32>(low, high, 1, 3, 5, 7);
  return f32x4.add(here, f32x4.mul(f, f32x4.sub(there, here)));
}

/** Part of fixture axis `k` (0 axis, 1 right, 2 up) along face axis at `face` of the frame. */
function part(k: i32, face: i32): f64 {
  const a = PARAM_FIXTURE + 3 * k;
  return param(a) * param(face) + param(a + 1) * param(face + 1) + param(a + 2) * param(face + 2);
}

/**
 * Writes `LUX` (0 where hidden or invalid), `OPEN_LUX` (before shadow and leaves, also at shadow edges), `MOST` and
 * `EDGE_ROWS` for the tile looked at. `shadowed`: `SHADOW` counts; `leafy`: `DEPTH` counts.
 */
export function lightTile(shadowed: i32, leafy: i32): void {
  const cell = param32(PARAM_GRID + 2);
  const h = <f32>lampH;
  const lens = param32(PARAM_LENS);
  const r2 = f32x4.splat(lens * lens);
  const planes = <i32>param(PARAM_BEAM);
  const as = f32x4.splat(<f32>part(0, 3));
  const at = <f32>part(0, 6);
  const an = <f32>(lampH * part(0, 9));
  const rs = f32x4.splat(<f32>part(1, 3));
  const rt = <f32>part(1, 6);
  const rn = <f32>(lampH * part(1, 9));
  const us = f32x4.splat(<f32>part(2, 3));
  const ut = <f32>part(2, 6);
  const un = <f32>(lampH * part(2, 9));
  const edgeFrom = f32x4.splat(param32(PARAM_EDGE_FROM));
  const step = f32x4(0, 1, 2, 3);
  const zero = f32x4.splat(0);
  for (let k: usize = 0; k < 4096; k += 64) {
    v128.store(LUX + k, zero);
    v128.store(LUX + k, zero, 16);
    v128.store(LUX + k, zero, 32);
    v128.store(LUX + k, zero, 48);
  }
  v128.store(MOST, zero);
  v128.store(MOST, zero, 16);
  for (let j = 0; j < 32; j++) {
    const valid = load<u32>(ROWS + ((<usize>j) << 2));
    store<u32>(EDGE_ROWS + ((<usize>j) << 2), 0);
    if (valid === 0) continue;
    const open = shadowed ? valid & ~load<u32>(SHADOW + ((<usize>j) << 2)) : valid;
    const edge = shadowed ? edgeBits(j, valid) : 0;
    const any = open | edge;
    if (any === 0) continue;
    const y = y0 + <f32>j * cell;
    const g = f32x4.splat(y * y + h * h);
    const aj = f32x4.splat(y * at - an);
    const rj = f32x4.splat(y * rt - rn);
    const uj = f32x4.splat(y * ut - un);
    let bright: u32 = 0;
    let left = zero;
    let right = zero;
    let edges = zero;
    let edgesRight = zero;
    for (let i = 0; i < 32; i += 4) {
      const here = <i32>((any >> i) & 15);
      if (here === 0) continue;
      const x = f32x4.add(f32x4.splat(x0), f32x4.mul(f32x4.add(f32x4.splat(<f32>i), step), f32x4.splat(cell)));
      const d2 = f32x4.add(f32x4.mul(x, x), g);
      const d = f32x4.sqrt(d2);
      const cosine = f32x4.div(f32x4.add(f32x4.mul(x, as), aj), d);
      const I =
        planes === 1
          ? candela(cosine, zero, zero)
          : candela(cosine, f32x4.add(f32x4.mul(x, rs), rj), f32x4.add(f32x4.mul(x, us), uj));
      const E = f32x4.div(f32x4.mul(I, f32x4.splat(h)), f32x4.mul(d, f32x4.add(d2, r2)));
      const place = ((<usize>j) << 7) + ((<usize>i) << 2);
      v128.store(OPEN_LUX + place, E);
      let lux = E;
      if (leafy) {
        const depth = v128.load(DEPTH + place);
        if (v128.any_true(depth)) lux = f32x4.mul(E, expMinus(depth));
      }
      lux = v128.and(lux, laneMask(<i32>((open >> i) & 15)));
      v128.store(LUX + place, lux);
      const rim = v128.and(E, laneMask(<i32>((edge >> i) & 15)));
      if (i < 16) {
        left = f32x4.pmax(left, lux);
        edges = f32x4.pmax(edges, rim);
      } else {
        right = f32x4.pmax(right, lux);
        edgesRight = f32x4.pmax(edgesRight, rim);
      }
      bright |= (<u32>i32x4.bitmask(f32x4.ge(rim, edgeFrom))) << i;
    }
    store<u32>(EDGE_ROWS + ((<usize>j) << 2), bright & edge);
    const most = MOST + (j < 16 ? 0 : 8);
    raise(most, left);
    raise(most + 4, right);
    raise(most + 16, edges);
    raise(most + 20, edgesRight);
  }
}

/** Valid samples of row j whose 3 × 3 neighbours disagree about hard shadow. */
function edgeBits(j: i32, valid: u32): u32 {
  let light: u32 = 0;
  let dark: u32 = 0;
  for (let k = max(0, j - 1); k <= min(31, j + 1); k++) {
    const rows = load<u32>(ROWS + ((<usize>k) << 2));
    const shadow = load<u32>(SHADOW + ((<usize>k) << 2));
    light |= rows & ~shadow;
    dark |= rows & shadow;
  }
  light |= (light << 1) | (light >> 1);
  dark |= (dark << 1) | (dark >> 1);
  return valid & light & dark;
}

function raise(at: usize, lanes: v128): void {
  const both = f32x4.pmax(lanes, v128.shuffle<f32>(lanes, lanes, 2, 3, 0, 1));
  const most = max(f32x4.extract_lane(both, 0), f32x4.extract_lane(both, 1));
  if (most > load<f32>(at)) store<f32>(at, most);
}
