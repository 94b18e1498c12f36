// Single rays: any hit, nearest hit. Four boxes or four triangles a step.
import { NODE_BYTES, STACK, STACK_T, TRIANGLE_BLOCK_BYTES } from '../layout';
import { cross1, dot3, edgeVolume, triangleBlocks, triangleNodes } from './shared';

/** Within this of the receiver's plane a triangle is no occluder of it; a sample must lie as far beyond an occluder. */
export const CONTACT_M: f32 = 1e-4;
/** A hair: a box as flat as its triangle must not be lost to rounding. */
export const SLACK: f32 = 1.000002;
const TINY: f32 = 1e-30;

/** Leaf that hid the last ray: neighbours are often hidden by the same one. */
let lastLeaf: i32 = 0;
/** Lane masks and distances of the last block tested. */
let hitMask: v128 = i32x4.splat(0);
let hitT: v128 = f32x4.splat(0);

/** 1/d; a direction without that part counts as a hair of it. */
export function inverse(d: f32): f32 {
  return abs(d) < TINY ? 1 / TINY : 1 / d;
}

/**
 * Four triangles by the signs of the volumes that the ray spans with their edges (Plücker coordinates): an edge shared by
 * two triangles gives exact negatives, so neighbours leave no gap. The contact rule by n·x + shift over the receiver.
 */
function testBlock(
  b: usize,
  ox: f32,
  oy: f32,
  oz: f32,
  dx: f32,
  dy: f32,
  dz: f32,
  tMin: f32,
  tMax: f32,
  nx: f32,
  ny: f32,
  nz: f32,
  shift: f32,
  beyond2: f32,
): v128 {
  const ax = f32x4.sub(v128.load(b), f32x4.splat(ox));
  const ay = f32x4.sub(v128.load(b, 16), f32x4.splat(oy));
  const az = f32x4.sub(v128.load(b, 32), f32x4.splat(oz));
  const bx = f32x4.sub(v128.load(b, 48), f32x4.splat(ox));
  const by = f32x4.sub(v128.load(b, 64), f32x4.splat(oy));
  const bz = f32x4.sub(v128.load(b, 80), f32x4.splat(oz));
  const cx = f32x4.sub(v128.load(b, 96), f32x4.splat(ox));
  const cy = f32x4.sub(v128.load(b, 112), f32x4.splat(oy));
  const cz = f32x4.sub(v128.load(b, 128), f32x4.splat(oz));
  const vx = f32x4.splat(dx);
  const vy = f32x4.splat(dy);
  const vz = f32x4.splat(dz);
  const u = edgeVolume(cx, cy, cz, ax, ay, az, vx, vy, vz);
  const v = edgeVolume(ax, ay, az, bx, by, bz, vx, vy, vz);
  const w = edgeVolume(bx, by, bz, cx, cy, cz, vx, vy, vz);
  const zero = f32x4.splat(0);
  const least = f32x4.pmin(f32x4.pmin(u, v), w);
  const most = f32x4.pmax(f32x4.pmax(u, v), w);
  let mask = v128.or(f32x4.ge(least, zero), f32x4.le(most, zero));
  if (!v128.any_true(mask)) return mask;
  const e1x = f32x4.sub(bx, ax);
  const e1y = f32x4.sub(by, ay);
  const e1z = f32x4.sub(bz, az);
  const e2x = f32x4.sub(cx, ax);
  const e2y = f32x4.sub(cy, ay);
  const e2z = f32x4.sub(cz, az);
  const gx = cross1(e1y, e2z, e1z, e2y);
  const gy = cross1(e1z, e2x, e1x, e2z);
  const gz = cross1(e1x, e2y, e1y, e2x);
  const den = dot3(gx, gy, gz, vx, vy, vz);
  const top = dot3(gx, gy, gz, ax, ay, az);
  const t = f32x4.div(top, den);
  mask = v128.and(mask, v128.and(f32x4.gt(t, f32x4.splat(tMin)), f32x4.lt(t, f32x4.splat(tMax))));
  mask = v128.and(mask, f32x4.ne(den, zero));
  if (beyond2 > 0) {
    const g2 = dot3(gx, gy, gz, gx, gy, gz);
    mask = v128.and(mask, f32x4.gt(f32x4.mul(top, top), f32x4.mul(g2, f32x4.splat(beyond2))));
    const px = f32x4.splat(nx);
    const py = f32x4.splat(ny);
    const pz = f32x4.splat(nz);
    const over = f32x4.pmax(f32x4.pmax(dot3(px, py, pz, ax, ay, az), dot3(px, py, pz, bx, by, bz)), dot3(px, py, pz, cx, cy, cz));
    mask = v128.and(mask, f32x4.gt(over, f32x4.splat(CONTACT_M - shift)));
  }
  hitT = t;
  return mask;
}

/**
 * 1 when a triangle lies on o + t·d for tMin < t < tMax. With beyond2 > 0 (square of the contact distance) triangles wholly
 * below the receiver plane, or whose plane the origin lies in, do not count; `shift` is the origin's height over it.
 */
export function anyHit(
  ox: f32,
  oy: f32,
  oz: f32,
  dx: f32,
  dy: f32,
  dz: f32,
  tMin: f32,
  tMax: f32,
  nx: f32,
  ny: f32,
  nz: f32,
  shift: f32,
  beyond2: f32,
): i32 {
  const ix = f32x4.splat(inverse(dx));
  const iy = f32x4.splat(inverse(dy));
  const iz = f32x4.splat(inverse(dz));
  const px = f32x4.splat(ox);
  const py = f32x4.splat(oy);
  const pz = f32x4.splat(oz);
  const qx: usize = dx < 0 ? 16 : 0;
  const qy: usize = dy < 0 ? 48 : 32;
  const qz: usize = dz < 0 ? 80 : 64;
  const near = f32x4.splat(tMin);
  const far = f32x4.splat(tMax);
  const slack = f32x4.splat(SLACK);
  let top: usize = 4;
  store<i32>(STACK, 0);
  let code = lastLeaf;
  if (code >= 0) {
    code = 0;
    top = 0;
  }
  while (true) {
    if (code < 0) {
      const place = ~code;
      const blocks = (place & 7) + 1;
      let b = triangleBlocks + <usize>(place >> 3) * TRIANGLE_BLOCK_BYTES;
      for (let k = 0; k < blocks; k++, b += TRIANGLE_BLOCK_BYTES) {
        if (v128.any_true(testBlock(b, ox, oy, oz, dx, dy, dz, tMin, tMax, nx, ny, nz, shift, beyond2))) {
          lastLeaf = code;
          return 1;
        }
      }
    } else {
      const node = triangleNodes + <usize>code * NODE_BYTES;
      const low = f32x4.pmax(
        f32x4.pmax(f32x4.mul(f32x4.sub(v128.load(node + qx), px), ix), f32x4.mul(f32x4.sub(v128.load(node + qy), py), iy)),
        f32x4.pmax(f32x4.mul(f32x4.sub(v128.load(node + qz), pz), iz), near),
      );
      const high = f32x4.pmin(
        f32x4.pmin(
          f32x4.mul(f32x4.sub(v128.load(node + (16 - qx)), px), ix),
          f32x4.mul(f32x4.sub(v128.load(node + (80 - qy)), py), iy),
        ),
        f32x4.pmin(f32x4.mul(f32x4.sub(v128.load(node + (144 - qz)), pz), iz), far),
      );
      let bits = i32x4.bitmask(f32x4.le(low, f32x4.mul(high, slack)));
      while (bits !== 0) {
        const c = ctz(bits);
        bits &= bits - 1;
        store<i32>(STACK + top, load<i32>(node + ((<usize>c) << 2), 96));
        top += 4;
      }
    }
    if (top === 0) return 0;
    top -= 4;
    code = load<i32>(STACK + top);
  }
}

/** `anyHit` for `n` rays of seven f32 (origin, direction, reach); one byte each, 1 where something is in the way. */
export function anyHitMany(rays: usize, n: i32, out: usize): void {
  for (let k = 0; k < n; k++) {
    const r = rays + <usize>k * 28;
    store<u8>(
      out + k,
      anyHit(
        load<f32>(r),
        load<f32>(r, 4),
        load<f32>(r, 8),
        load<f32>(r, 12),
        load<f32>(r, 16),
        load<f32>(r, 20),
        0,
        load<f32>(r, 24),
        0,
        0,
        0,
        0,
        0,
      ),
    );
  }
}

/** Place of the nearest triangle (block × 4 + lane) for tMin < t < tMax, or −1. */
export function nearest(ox: f32, oy: f32, oz: f32, dx: f32, dy: f32, dz: f32, tMin: f32, tMax: f32): i32 {
  const ix = f32x4.splat(inverse(dx));
  const iy = f32x4.splat(inverse(dy));
  const iz = f32x4.splat(inverse(dz));
  const px = f32x4.splat(ox);
  const py = f32x4.splat(oy);
  const pz = f32x4.splat(oz);
  const qx: usize = dx < 0 ? 16 : 0;
  const qy: usize = dy < 0 ? 48 : 32;
  const qz: usize = dz < 0 ? 80 : 64;
  const near = f32x4.splat(tMin);
  const slack = f32x4.splat(SLACK);
  let best = tMax;
  let found = -1;
  let top: usize = 0;
  let code = 0;
  while (true) {
    if (code < 0) {
      const place = ~code;
      const first = place >> 3;
      const last = first + (place & 7);
      for (let k = first; k <= last; k++) {
        const b = triangleBlocks + <usize>k * TRIANGLE_BLOCK_BYTES;
        hitMask = testBlock(b, ox, oy, oz, dx, dy, dz, tMin, best, 0, 0, 0, 0, 0);
        let bits = i32x4.bitmask(hitMask);
        if (bits === 0) continue;
        v128.store(STACK_T + 4080, hitT);
        while (bits !== 0) {
          const c = ctz(bits);
          bits &= bits - 1;
          const t = load<f32>(STACK_T + 4080 + (c << 2));
          if (t >= best) continue;
          best = t;
          found = (k << 2) + c;
        }
      }
    } else {
      const node = triangleNodes + <usize>code * NODE_BYTES;
      const low = f32x4.pmax(
        f32x4.pmax(f32x4.mul(f32x4.sub(v128.load(node + qx), px), ix), f32x4.mul(f32x4.sub(v128.load(node + qy), py), iy)),
        f32x4.pmax(f32x4.mul(f32x4.sub(v128.load(node + qz), pz), iz), near),
      );
      const high = f32x4.pmin(
        f32x4.pmin(
          f32x4.mul(f32x4.sub(v128.load(node + (16 - qx)), px), ix),
          f32x4.mul(f32x4.sub(v128.load(node + (80 - qy)), py), iy),
        ),
        f32x4.pmin(f32x4.mul(f32x4.sub(v128.load(node + (144 - qz)), pz), iz), f32x4.splat(best)),
      );
      let bits = i32x4.bitmask(f32x4.le(low, f32x4.mul(high, slack)));
      v128.store(STACK_T + 4080, low);
      const floor = top;
      // Kept in order, the nearest last, so that it is taken first.
      while (bits !== 0) {
        const c = ctz(bits);
        bits &= bits - 1;
        const t = load<f32>(STACK_T + 4080 + (c << 2));
        let at = top;
        while (at > floor && load<f32>(STACK_T + at - 4) < t) {
          store<f32>(STACK_T + at, load<f32>(STACK_T + at - 4));
          store<i32>(STACK + at, load<i32>(STACK + at - 4));
          at -= 4;
        }
        store<f32>(STACK_T + at, t);
        store<i32>(STACK + at, load<i32>(node + ((<usize>c) << 2), 96));
        top += 4;
      }
    }
    do {
      if (top === 0) return found;
      top -= 4;
    } while (load<f32>(STACK_T + top) > best * SLACK);
    code = load<i32>(STACK + top);
  }
}
