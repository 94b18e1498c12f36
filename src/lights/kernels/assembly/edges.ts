// Shadow edges: twelve rays a sample over its texel and the lens, four side by side.
import {
  EDGE_ALLOWED,
  EDGE_AT,
  EDGE_SEEN,
  EMPTY_CHILD,
  JITTER,
  NODE_BYTES,
  PARAM_FRAME,
  PARAM_GRID,
  PARAM_LAMP,
  PARAM_LENS,
  STACK,
  TRIANGLE_BLOCK_BYTES,
} from '../layout';
import { cross1, dot3, edgeVolume, inverse4, param, param32, triangleBlocks, triangleNodes } from './shared';

const CONTACT_M: f32 = 1e-4;
const SLACK: f32 = 1.000002;
/** The last of the way to the lens does not count. */
const END_M: f32 = 1e-4;

/** Four rays in work. */
let ox: v128 = f32x4.splat(0);
let oy: v128 = f32x4.splat(0);
let oz: v128 = f32x4.splat(0);
let dx: v128 = f32x4.splat(0);
let dy: v128 = f32x4.splat(0);
let dz: v128 = f32x4.splat(0);
let end: v128 = f32x4.splat(0);
let lastLeaf: i32 = 0;

/**
 * Share of texel and lens seen at the `n` samples in `EDGE_AT`, of the rays that `EDGE_ALLOWED` names; to `EDGE_SEEN`.
 * When the first four rays, one near each corner of the texel, agree, the rest are spared. Returns how many were shot.
 */
export function seeEdges(n: i32): i32 {
  let shot = 0;
  const cell = param(PARAM_GRID + 2);
  for (let k = 0; k < n; k++) {
    const sample = load<i32>(EDGE_AT + ((<usize>k) << 2));
    const allowed = load<i32>(EDGE_ALLOWED + ((<usize>k) << 2));
    const s = param(PARAM_GRID) + (<f64>(sample & 31) - 0.5) * cell;
    const t = param(PARAM_GRID + 1) + (<f64>(sample >> 5) - 0.5) * cell;
    const px = <f32>(param(PARAM_FRAME) + s * param(3) + t * param(6));
    const py = <f32>(param(PARAM_FRAME + 1) + s * param(4) + t * param(7));
    const pz = <f32>(param(PARAM_FRAME + 2) + s * param(5) + t * param(8));
    let count = 0;
    let seen = 0;
    for (let four = 0; four < 3; four++) {
      if (four === 1 && count === 4 && (seen === 0 || seen === 4)) break;
      const active = (allowed >> (four << 2)) & 15;
      if (active === 0) continue;
      aimFour((<usize>four) << 4, px, py, pz);
      const rays = popcnt(active);
      count += rays;
      shot += rays;
      seen += popcnt(active & ~hitFour(active));
    }
    store<f32>(EDGE_SEEN + ((<usize>k) << 2), <f32>seen / <f32>max(1, count));
  }
  return shot;
}

/** Rays from four jittered places of the texel to four of the lens disc as seen from there. */
function aimFour(at: usize, px: f32, py: f32, pz: f32): void {
  const cell = f32x4.splat(param32(PARAM_GRID + 2));
  const a = f32x4.mul(v128.load(JITTER + at), cell);
  const b = f32x4.mul(v128.load(JITTER + at, 48), cell);
  ox = place(px, 3, a, b);
  oy = place(py, 4, a, b);
  oz = place(pz, 5, a, b);
  const lx = f32x4.splat(param32(PARAM_LAMP));
  const ly = f32x4.splat(param32(PARAM_LAMP + 1));
  const lz = f32x4.splat(param32(PARAM_LAMP + 2));
  const x = f32x4.sub(lx, ox);
  const y = f32x4.sub(ly, oy);
  const z = f32x4.sub(lz, oz);
  const d = f32x4.sqrt(dot3(x, y, z, x, y, z));
  // Disc across the ray: a = d × (least axis), b = d × a.
  const flat = f32x4.lt(f32x4.abs(x), f32x4.abs(y));
  const zero = f32x4.splat(0);
  const ax = v128.bitselect(zero, f32x4.neg(z), flat);
  const ay = v128.bitselect(z, zero, flat);
  const az = v128.bitselect(f32x4.neg(y), x, flat);
  const scale = f32x4.div(f32x4.splat(param32(PARAM_LENS)), f32x4.sqrt(dot3(ax, ay, az, ax, ay, az)));
  const u = f32x4.mul(v128.load(JITTER + at, 96), scale);
  const v = f32x4.div(f32x4.mul(v128.load(JITTER + at, 144), scale), d);
  dx = f32x4.add(x, f32x4.add(f32x4.mul(u, ax), f32x4.mul(v, cross1(y, az, z, ay))));
  dy = f32x4.add(y, f32x4.add(f32x4.mul(u, ay), f32x4.mul(v, cross1(z, ax, x, az))));
  dz = f32x4.add(z, f32x4.add(f32x4.mul(u, az), f32x4.mul(v, cross1(x, ay, y, ax))));
  end = f32x4.sub(f32x4.splat(1), f32x4.div(f32x4.splat(END_M), f32x4.sqrt(dot3(dx, dy, dz, dx, dy, dz))));
}

function place(p: f32, axis: i32, a: v128, b: v128): v128 {
  return f32x4.add(
    f32x4.splat(p),
    f32x4.add(f32x4.mul(a, f32x4.splat(param32(axis))), f32x4.mul(b, f32x4.splat(param32(axis + 3)))),
  );
}

/** Bits of the active rays that meet a triangle by the contact rule. */
function hitFour(active: i32): i32 {
  const ix = inverse4(dx);
  const iy = inverse4(dy);
  const iz = inverse4(dz);
  const slack = f32x4.splat(SLACK);
  const zero = f32x4.splat(0);
  let hit = 0;
  let top: usize = 4;
  store<i32>(STACK, 0);
  let code = lastLeaf;
  if (code >= 0) {
    code = 0;
    top = 0;
  }
  while (true) {
    if (code < 0) {
      const found = testLeaf(code) & active;
      if ((found & ~hit) !== 0) {
        lastLeaf = code;
        hit |= found;
        if (hit === active) return hit;
      }
    } else {
      const node = triangleNodes + <usize>code * NODE_BYTES;
      const waiting = active & ~hit;
      for (let c: usize = 0; c < 16; c += 4) {
        const child = load<i32>(node + c, 96);
        if (child === EMPTY_CHILD) break;
        const x0 = f32x4.mul(f32x4.sub(v128.load32_splat(node + c), ox), ix);
        const x1 = f32x4.mul(f32x4.sub(v128.load32_splat(node + c, 16), ox), ix);
        const y0 = f32x4.mul(f32x4.sub(v128.load32_splat(node + c, 32), oy), iy);
        const y1 = f32x4.mul(f32x4.sub(v128.load32_splat(node + c, 48), oy), iy);
        const z0 = f32x4.mul(f32x4.sub(v128.load32_splat(node + c, 64), oz), iz);
        const z1 = f32x4.mul(f32x4.sub(v128.load32_splat(node + c, 80), oz), iz);
        const low = f32x4.pmax(f32x4.pmax(f32x4.pmin(x0, x1), f32x4.pmin(y0, y1)), f32x4.pmax(f32x4.pmin(z0, z1), zero));
        const high = f32x4.pmin(f32x4.pmin(f32x4.pmax(x0, x1), f32x4.pmax(y0, y1)), f32x4.pmin(f32x4.pmax(z0, z1), end));
        if ((i32x4.bitmask(f32x4.le(low, f32x4.mul(high, slack))) & waiting) === 0) continue;
        store<i32>(STACK + top, child);
        top += 4;
      }
    }
    if (top === 0) return hit;
    top -= 4;
    code = load<i32>(STACK + top);
  }
}

function testLeaf(code: i32): i32 {
  const at = ~code;
  const blocks = (at & 7) + 1;
  let b = triangleBlocks + <usize>(at >> 3) * TRIANGLE_BLOCK_BYTES;
  let hit = i32x4.splat(0);
  for (let k = 0; k < blocks; k++, b += TRIANGLE_BLOCK_BYTES) {
    for (let lane: usize = 0; lane < 16; lane += 4) hit = v128.or(hit, testOne(b + lane));
  }
  return i32x4.bitmask(hit);
}

/** One triangle against the four rays; see `testBlock` of the single rays. */
function testOne(b: usize): v128 {
  const ax = f32x4.sub(v128.load32_splat(b), ox);
  const ay = f32x4.sub(v128.load32_splat(b, 16), oy);
  const az = f32x4.sub(v128.load32_splat(b, 32), oz);
  const bx = f32x4.sub(v128.load32_splat(b, 48), ox);
  const by = f32x4.sub(v128.load32_splat(b, 64), oy);
  const bz = f32x4.sub(v128.load32_splat(b, 80), oz);
  const cx = f32x4.sub(v128.load32_splat(b, 96), ox);
  const cy = f32x4.sub(v128.load32_splat(b, 112), oy);
  const cz = f32x4.sub(v128.load32_splat(b, 128), oz);
  const u = edgeVolume(cx, cy, cz, ax, ay, az, dx, dy, dz);
  const v = edgeVolume(ax, ay, az, bx, by, bz, dx, dy, dz);
  const w = edgeVolume(bx, by, bz, cx, cy, cz, dx, dy, dz);
  const zero = f32x4.splat(0);
  let mask = v128.or(f32x4.ge(f32x4.pmin(f32x4.pmin(u, v), w), zero), f32x4.le(f32x4.pmax(f32x4.pmax(u, v), w), zero));
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
  const den = dot3(gx, gy, gz, dx, dy, dz);
  const top = dot3(gx, gy, gz, ax, ay, az);
  const t = f32x4.div(top, den);
  mask = v128.and(mask, v128.and(f32x4.gt(t, zero), f32x4.lt(t, end)));
  const g2 = f32x4.mul(dot3(gx, gy, gz, gx, gy, gz), f32x4.splat(CONTACT_M * CONTACT_M));
  mask = v128.and(mask, f32x4.gt(f32x4.mul(top, top), g2));
  const nx = f32x4.splat(param32(9));
  const ny = f32x4.splat(param32(10));
  const nz = f32x4.splat(param32(11));
  const over = f32x4.pmax(f32x4.pmax(dot3(nx, ny, nz, ax, ay, az), dot3(nx, ny, nz, bx, by, bz)), dot3(nx, ny, nz, cx, cy, cz));
  return v128.and(mask, f32x4.gt(over, f32x4.splat(CONTACT_M)));
}
