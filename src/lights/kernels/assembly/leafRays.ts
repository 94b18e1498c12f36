// Optical depth along one ray, and how far along it a depth is reached.
import { BODY_BLOCK_BYTES, FORMS, GROUP_BODIES, MOST_GROUP_BODIES, NODE_BYTES, STACK } from '../layout';
import { bodyBlocks, bodyCount, bodyNodes, chordShare, cross1, dot3 } from './shared';
import { inverse, SLACK } from './rays';

/** Optical depth Σ G·Ω·LAD·chord of the leaves on o + t·d, 0 ≤ t ≤ tMax. */
export function leafDepth(ox: f32, oy: f32, oz: f32, dx: f32, dy: f32, dz: f32, tMax: f32): f32 {
  if (bodyCount === 0) return 0;
  const ix = f32x4.splat(inverse(dx));
  const iy = f32x4.splat(inverse(dy));
  const iz = f32x4.splat(inverse(dz));
  const px = f32x4.splat(ox);
  const py = f32x4.splat(oy);
  const pz = f32x4.splat(oz);
  const vx = f32x4.splat(dx);
  const vy = f32x4.splat(dy);
  const vz = f32x4.splat(dz);
  const qx: usize = dx < 0 ? 16 : 0;
  const qy: usize = dy < 0 ? 48 : 32;
  const qz: usize = dz < 0 ? 80 : 64;
  const zero = f32x4.splat(0);
  const far = f32x4.splat(tMax);
  const slack = f32x4.splat(SLACK);
  let sum = zero;
  let top: usize = 0;
  let code = 0;
  while (true) {
    if (code < 0) {
      const place = ~code;
      const blocks = (place & 7) + 1;
      let b = bodyBlocks + <usize>(place >> 3) * BODY_BLOCK_BYTES;
      for (let k = 0; k < blocks; k++, b += BODY_BLOCK_BYTES) {
        const rx = v128.load(b, 48);
        const ry = v128.load(b, 64);
        const rz = v128.load(b, 80);
        const share = chordShare(
          f32x4.mul(f32x4.sub(px, v128.load(b)), rx),
          f32x4.mul(f32x4.sub(py, v128.load(b, 16)), ry),
          f32x4.mul(f32x4.sub(pz, v128.load(b, 32)), rz),
          f32x4.mul(vx, rx),
          f32x4.mul(vy, ry),
          f32x4.mul(vz, rz),
          far,
        );
        sum = f32x4.add(sum, f32x4.mul(share, v128.load(b, 96)));
        if (keepsChords && v128.any_true(share)) {
          keepChords(
            b,
            f32x4.mul(f32x4.sub(px, v128.load(b)), rx),
            f32x4.mul(f32x4.sub(py, v128.load(b, 16)), ry),
            f32x4.mul(f32x4.sub(pz, v128.load(b, 32)), rz),
            f32x4.mul(vx, rx),
            f32x4.mul(vy, ry),
            f32x4.mul(vz, rz),
            far,
          );
        }
      }
    } else {
      const node = bodyNodes + <usize>code * NODE_BYTES;
      const low = f32x4.pmax(
        f32x4.pmax(f32x4.mul(f32x4.sub(v128.load(node + qx), px), ix), f32x4.mul(f32x4.sub(v128.load(node + qy), py), iy)),
        f32x4.pmax(f32x4.mul(f32x4.sub(v128.load(node + qz), pz), iz), zero),
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
    if (top === 0) break;
    top -= 4;
    code = load<i32>(STACK + top);
  }
  const both = f32x4.add(sum, v128.shuffle<f32>(sum, sum, 2, 3, 0, 1));
  const total = f32x4.extract_lane(both, 0) + f32x4.extract_lane(both, 1);
  return total * sqrt<f32>(dx * dx + dy * dy + dz * dz);
}

/** Chords of the ray now walked: from, to and extinction, f32 each; as many as there is room for. */
let keepsChords = false;
let chords: usize = GROUP_BODIES;
const CHORDS_END: usize = GROUP_BODIES + MOST_GROUP_BODIES * 32;

/** Keeps where the ray enters and leaves each of four bodies it crosses. */
function keepChords(block: usize, px: v128, py: v128, pz: v128, ex: v128, ey: v128, ez: v128, far: v128): void {
  const zero = f32x4.splat(0);
  const wx = cross1(py, ez, pz, ey);
  const wy = cross1(pz, ex, px, ez);
  const wz = cross1(px, ey, py, ex);
  const a = dot3(ex, ey, ez, ex, ey, ez);
  const root = f32x4.sqrt(f32x4.pmax(zero, f32x4.sub(a, dot3(wx, wy, wz, wx, wy, wz))));
  const b = dot3(px, py, pz, ex, ey, ez);
  const from = f32x4.pmax(zero, f32x4.div(f32x4.neg(f32x4.add(b, root)), a));
  const to = f32x4.pmin(far, f32x4.div(f32x4.sub(root, b), a));
  v128.store(FORMS, from);
  v128.store(FORMS + 16, to);
  let bits = i32x4.bitmask(f32x4.gt(to, from));
  while (bits !== 0) {
    const lane = (<usize>ctz(bits)) << 2;
    bits &= bits - 1;
    if (chords >= CHORDS_END) return;
    store<f32>(chords, load<f32>(FORMS + lane));
    store<f32>(chords + 4, load<f32>(FORMS + 16 + lane));
    store<f32>(chords + 8, load<f32>(block + 96 + lane));
    chords += 12;
  }
}

/** Halvings of the way to where a depth is reached: a 60,000th of it. */
const HALVINGS = 16;

/** How far along o + t·d, |d| = 1, the leaves have the wanted optical depth; tMax where they never have. */
export function leafReach(ox: f32, oy: f32, oz: f32, dx: f32, dy: f32, dz: f32, tMax: f32, wanted: f32): f32 {
  keepsChords = true;
  chords = GROUP_BODIES;
  const all = leafDepth(ox, oy, oz, dx, dy, dz, tMax);
  keepsChords = false;
  if (all <= wanted) return tMax;
  let low: f32 = 0;
  let high: f32 = tMax;
  for (let k = 0; k < HALVINGS; k++) {
    const middle = (low + high) / 2;
    let depth: f32 = 0;
    for (let c: usize = GROUP_BODIES; c < chords; c += 12) {
      const from = load<f32>(c);
      if (from < middle) depth += load<f32>(c + 8) * (min(middle, load<f32>(c + 4)) - from);
    }
    if (depth < wanted) low = middle;
    else high = middle;
  }
  return high;
}
