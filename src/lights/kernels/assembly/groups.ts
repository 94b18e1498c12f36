// Groups of points (leaf cards of a clump, rings of a strand): which a beam reaches, and their lux.
import { PARAM_BEAM, PARAM_CUT, PARAM_FIXTURE, PARAM_LAMP, PARAM_LENS } from '../layout';
import { candela } from './lux';
import { dot3, expMinus, param, param32 } from './shared';

/** Centre x, y, z and radius of all groups, four lists of f32; room for the indices of those reached. */
let spheres: usize = 0;
let groupCount: i32 = 0;
let reached: usize = 0;
/** Lux, depth and result of one group. */
let luxAt: usize = 0;
let depthAt: usize = 0;
let resultAt: usize = 0;

export function setGroups(at: usize, count: i32, list: usize, lux: usize, depth: usize, result: usize): void {
  spheres = at;
  groupCount = count;
  reached = list;
  luxAt = lux;
  depthAt = depth;
  resultAt = result;
}

/** Lists the groups to which the beam in `PARAMS` can bring `PARAM_CUT` lux or more; returns how many. */
export function reachGroups(): i32 {
  const bytes = (<usize>((groupCount + 3) & ~3)) << 2;
  const steps = <i32>param(PARAM_BEAM + 1);
  const beyond = <usize>param(PARAM_BEAM + 2) + ((<usize>(<i32>param(PARAM_BEAM) * (steps + 1))) << 2);
  const perQ = <f32>(<f64>steps / Math.SQRT2);
  const one = f32x4.splat(1);
  const zero = f32x4.splat(0);
  const cut = param32(PARAM_CUT);
  let n = 0;
  for (let k: usize = 0; k < bytes; k += 16) {
    const at = spheres + k;
    const x = f32x4.sub(v128.load(at), f32x4.splat(param32(PARAM_LAMP)));
    const y = f32x4.sub(v128.load(at + bytes), f32x4.splat(param32(PARAM_LAMP + 1)));
    const z = f32x4.sub(v128.load(at + 2 * bytes), f32x4.splat(param32(PARAM_LAMP + 2)));
    const r = v128.load(at + 3 * bytes);
    const d = f32x4.sqrt(dot3(x, y, z, x, y, z));
    const inside = f32x4.le(d, f32x4.mul(r, f32x4.splat(1.5)));
    const along = dot3(
      x,
      y,
      z,
      f32x4.splat(param32(PARAM_FIXTURE)),
      f32x4.splat(param32(PARAM_FIXTURE + 1)),
      f32x4.splat(param32(PARAM_FIXTURE + 2)),
    );
    const cos = f32x4.div(along, d);
    const sinR = f32x4.div(r, d);
    const cosR = f32x4.sqrt(f32x4.pmax(zero, f32x4.sub(one, f32x4.mul(sinR, sinR))));
    const sin = f32x4.sqrt(f32x4.pmax(zero, f32x4.sub(one, f32x4.mul(cos, cos))));
    const turned = f32x4.add(f32x4.mul(cos, cosR), f32x4.mul(sin, sinR));
    const nearest = v128.bitselect(one, turned, f32x4.ge(cos, cosR));
    const q = f32x4.mul(f32x4.sqrt(f32x4.pmax(zero, f32x4.sub(one, nearest))), f32x4.splat(perQ));
    // One step nearer the axis than rounding can say.
    const place = i32x4.trunc_sat_f32x4_s(f32x4.pmax(zero, f32x4.sub(q, one)));
    const gap = f32x4.sub(d, r);
    const least = f32x4.mul(f32x4.mul(gap, gap), f32x4.splat(cut));
    const largest = f32x4(
      load<f32>(beyond + ((<usize>min(steps, i32x4.extract_lane(place, 0))) << 2)),
      load<f32>(beyond + ((<usize>min(steps, i32x4.extract_lane(place, 1))) << 2)),
      load<f32>(beyond + ((<usize>min(steps, i32x4.extract_lane(place, 2))) << 2)),
      load<f32>(beyond + ((<usize>min(steps, i32x4.extract_lane(place, 3))) << 2)),
    );
    let bits = i32x4.bitmask(v128.or(inside, f32x4.ge(largest, least)));
    while (bits !== 0) {
      const lane = ctz(bits);
      bits &= bits - 1;
      const index = <i32>(k >> 2) + lane;
      if (index >= groupCount) break;
      store<i32>(reached + ((<usize>n) << 2), index);
      n++;
    }
  }
  return n;
}

/**
 * Unshadowed signed lux of the points (x, y, z, normal; six lists of `n` padded to four) under the beam in `PARAMS`:
 * positive on the side of the normal, negative on the other, one side only if `oneSided`. Returns the largest.
 */
export function lightPoints(points: usize, n: i32, oneSided: i32): f32 {
  const bytes = (<usize>n) << 2;
  const lens = param32(PARAM_LENS);
  const r2 = f32x4.splat(lens * lens);
  const planes = <i32>param(PARAM_BEAM);
  const zero = f32x4.splat(0);
  const cut = f32x4.splat(param32(PARAM_CUT) / 4);
  let most = zero;
  for (let k: usize = 0; k < bytes; k += 16) {
    const at = points + k;
    const x = f32x4.sub(v128.load(at), f32x4.splat(param32(PARAM_LAMP)));
    const y = f32x4.sub(v128.load(at + bytes), f32x4.splat(param32(PARAM_LAMP + 1)));
    const z = f32x4.sub(v128.load(at + 2 * bytes), f32x4.splat(param32(PARAM_LAMP + 2)));
    const along = f32x4.neg(dot3(x, y, z, v128.load(at + 3 * bytes), v128.load(at + 4 * bytes), v128.load(at + 5 * bytes)));
    const d2 = dot3(x, y, z, x, y, z);
    const d = f32x4.sqrt(d2);
    const cosine = f32x4.div(fixturePart(0, x, y, z), d);
    const I = planes === 1 ? candela(cosine, zero, zero) : candela(cosine, fixturePart(3, x, y, z), fixturePart(6, x, y, z));
    let E = f32x4.div(f32x4.mul(I, along), f32x4.mul(d, f32x4.add(d2, r2)));
    const strong = v128.and(f32x4.ge(f32x4.abs(E), cut), f32x4.ge(d, f32x4.splat(1e-6)));
    E = v128.and(E, oneSided ? v128.and(strong, f32x4.gt(along, zero)) : strong);
    v128.store(luxAt + k, E);
    most = f32x4.pmax(most, f32x4.abs(E));
  }
  return max(
    max(f32x4.extract_lane(most, 0), f32x4.extract_lane(most, 1)),
    max(f32x4.extract_lane(most, 2), f32x4.extract_lane(most, 3)),
  );
}

function fixturePart(k: i32, x: v128, y: v128, z: v128): v128 {
  return dot3(
    x,
    y,
    z,
    f32x4.splat(param32(PARAM_FIXTURE + k)),
    f32x4.splat(param32(PARAM_FIXTURE + k + 1)),
    f32x4.splat(param32(PARAM_FIXTURE + k + 2)),
  );
}

/** Lux × exp(−depth) to the result: one number a point, or two (side of the normal, other side). Returns how many are lit. */
export function dimPoints(n: i32, sides: i32, leafy: i32): i32 {
  const bytes = (<usize>n) << 2;
  const cut = f32x4.splat(param32(PARAM_CUT) / 4);
  const zero = f32x4.splat(0);
  let lit = 0;
  for (let k: usize = 0; k < bytes; k += 16) {
    const depth = v128.load(depthAt + k);
    let E = v128.load(luxAt + k);
    E = leafy ? f32x4.mul(E, expMinus(depth)) : v128.andnot(E, f32x4.eq(depth, f32x4.splat(Infinity)));
    E = v128.and(E, f32x4.ge(f32x4.abs(E), cut));
    lit += popcnt(i32x4.bitmask(f32x4.ne(E, zero)));
    if (sides === 1) {
      v128.store(resultAt + k, E);
      continue;
    }
    const front = f32x4.pmax(E, zero);
    const back = f32x4.pmax(f32x4.neg(E), zero);
    v128.store(resultAt + 2 * k, v128.shuffle<f32>(front, back, 0, 4, 1, 5));
    v128.store(resultAt + 2 * k + 16, v128.shuffle<f32>(front, back, 2, 6, 3, 7));
  }
  return lit;
}
