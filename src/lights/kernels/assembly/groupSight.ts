// What stands between a lamp and the points of a group: triangles and leaf bodies of one shaft, four points at a time.
import {
  BODY_BLOCK_BYTES,
  EMPTY_CHILD,
  GROUP_BODIES,
  GROUP_TRIANGLES,
  MOST_GROUP_BODIES,
  MOST_GROUP_TRIANGLES,
  PARAM_GROUP,
  PARAM_LAMP,
  TRIANGLE_BLOCK_BYTES,
} from '../layout';
import { addPlane, clearPlanes, nextLeaf, startShaft } from './shaft';
import {
  bodyBlocks,
  bodyCount,
  bodyNodes,
  chordShare,
  cross1,
  dot3,
  param,
  param32,
  triangleBlocks,
  triangleNodes,
} from './shared';

const CONTACT_M: f32 = 1e-4;
/** Room round a group for rounding, metres. */
const SLACK_M: f64 = 1e-3;
const TRIANGLE_BYTES: usize = 64;
const BODY_BYTES: usize = 32;

/** The group's centre relative to the lamp, and its radius. */
let cx: f32 = 0;
let cy: f32 = 0;
let cz: f32 = 0;
let radius: f32 = 0;
let triangles: i32 = 0;
let bodies: i32 = 0;
/** Bytes of one list of the points, and where their depths go. */
let listBytes: usize = 0;
let depthAt: usize = 0;

/** Block that last hid a whole group: the next is often behind it too. */
let lastCover: usize = 0;

/**
 * Optical depth between the lamp and each of `n` points (lists of `stride` numbers) of the group in `PARAMS`, ∞ behind
 * something opaque and, if `oneSided`, where the lamp is behind the point. Depths go to `out`.
 */
export function seePoints(points: usize, n: i32, stride: i32, oneSided: i32, out: usize): void {
  aimGroup();
  const bytes = (<usize>n) << 2;
  listBytes = (<usize>stride) << 2;
  depthAt = out;
  for (let k: usize = 0; k < bytes; k += 16) {
    v128.store(out + k, oneSided ? v128.and(f32x4.splat(Infinity), facingAway(points + k)) : f32x4.splat(0));
  }
  if (!findTriangles(points, bytes)) {
    for (let k: usize = 0; k < bytes; k += 16) v128.store(depthAt + k, f32x4.splat(Infinity));
    return;
  }
  if (bodyCount !== 0) findBodies(points, bytes);
}

/** Lanes of four points whose normals look away from the lamp. */
function facingAway(at: usize): v128 {
  const along = dot3(
    f32x4.sub(f32x4.splat(param32(PARAM_LAMP)), v128.load(at)),
    f32x4.sub(f32x4.splat(param32(PARAM_LAMP + 1)), v128.load(at + listBytes)),
    f32x4.sub(f32x4.splat(param32(PARAM_LAMP + 2)), v128.load(at + 2 * listBytes)),
    v128.load(at + 3 * listBytes),
    v128.load(at + 4 * listBytes),
    v128.load(at + 5 * listBytes),
  );
  return f32x4.le(along, f32x4.splat(0));
}

/** Shaft round the hull of the group's sphere and the lamp: four tangent planes and two ends, or a box when too near. */
function aimGroup(): void {
  const lx = param(PARAM_LAMP);
  const ly = param(PARAM_LAMP + 1);
  const lz = param(PARAM_LAMP + 2);
  const gx = param(PARAM_GROUP);
  const gy = param(PARAM_GROUP + 1);
  const gz = param(PARAM_GROUP + 2);
  const R = param(PARAM_GROUP + 3) + SLACK_M;
  const x = gx - lx;
  const y = gy - ly;
  const z = gz - lz;
  cx = <f32>x;
  cy = <f32>y;
  cz = <f32>z;
  radius = <f32>R;
  const D = sqrt(x * x + y * y + z * z);
  clearPlanes();
  if (D < 1.05 * R) {
    addPlane(1, 0, 0, min(lx, gx - R) - SLACK_M);
    addPlane(-1, 0, 0, -max(lx, gx + R) - SLACK_M);
    addPlane(0, 1, 0, min(ly, gy - R) - SLACK_M);
    addPlane(0, -1, 0, -max(ly, gy + R) - SLACK_M);
    addPlane(0, 0, 1, min(lz, gz - R) - SLACK_M);
    addPlane(0, 0, -1, -max(lz, gz + R) - SLACK_M);
    return;
  }
  const dx = x / D;
  const dy = y / D;
  const dz = z / D;
  const sin = R / D;
  const cos = sqrt(1 - sin * sin);
  // a: square to the axis, level where it can be; b = d × a.
  const flat = abs(dy) < 0.9;
  let ax = flat ? -dz : 0.0;
  let ay = flat ? 0.0 : dz;
  let az = flat ? dx : -dy;
  const al = 1 / sqrt(ax * ax + ay * ay + az * az);
  ax *= al;
  ay *= al;
  az *= al;
  const bx = dy * az - dz * ay;
  const by = dz * ax - dx * az;
  const bz = dx * ay - dy * ax;
  addTangent(dx * sin + ax * cos, dy * sin + ay * cos, dz * sin + az * cos, lx, ly, lz);
  addTangent(dx * sin - ax * cos, dy * sin - ay * cos, dz * sin - az * cos, lx, ly, lz);
  addTangent(dx * sin + bx * cos, dy * sin + by * cos, dz * sin + bz * cos, lx, ly, lz);
  addTangent(dx * sin - bx * cos, dy * sin - by * cos, dz * sin - bz * cos, lx, ly, lz);
  addTangent(dx, dy, dz, lx, ly, lz);
  addPlane(-dx, -dy, -dz, -(dx * gx + dy * gy + dz * gz) - R - SLACK_M);
}

function addTangent(x: f64, y: f64, z: f64, lx: f64, ly: f64, lz: f64): void {
  addPlane(x, y, z, x * lx + y * ly + z * lz - SLACK_M);
}

/** Marks the points behind triangles; returns 0 when one triangle hides the whole group. */
function findTriangles(points: usize, bytes: usize): i32 {
  triangles = 0;
  if (lastCover !== 0 && !takeTriangles(lastCover)) return 0;
  triangles = 0;
  startShaft(triangleNodes);
  for (let code = nextLeaf(); code !== EMPTY_CHILD; code = nextLeaf()) {
    const place = ~code;
    const last = (place >> 3) + (place & 7);
    for (let k = place >> 3; k <= last; k++) {
      const b: usize = triangleBlocks + <usize>k * TRIANGLE_BLOCK_BYTES;
      if (!takeTriangles(b)) {
        lastCover = b;
        return 0;
      }
      if (triangles <= MOST_GROUP_TRIANGLES - 4) continue;
      hidePoints(points, bytes);
      triangles = 0;
    }
  }
  if (triangles > 0) hidePoints(points, bytes);
  return 1;
}

/** Keeps those of four triangles whose shadow can touch the group's sphere; returns 0 when one covers it whole. */
function takeTriangles(b: usize): i32 {
  const lx = f32x4.splat(param32(PARAM_LAMP));
  const ly = f32x4.splat(param32(PARAM_LAMP + 1));
  const lz = f32x4.splat(param32(PARAM_LAMP + 2));
  const ax = f32x4.sub(v128.load(b), lx);
  const ay = f32x4.sub(v128.load(b, 16), ly);
  const az = f32x4.sub(v128.load(b, 32), lz);
  const bx = f32x4.sub(v128.load(b, 48), lx);
  const by = f32x4.sub(v128.load(b, 64), ly);
  const bz = f32x4.sub(v128.load(b, 80), lz);
  const gx = f32x4.sub(v128.load(b, 96), lx);
  const gy = f32x4.sub(v128.load(b, 112), ly);
  const gz = f32x4.sub(v128.load(b, 128), lz);
  const n0x = cross1(ay, bz, az, by);
  const n0y = cross1(az, bx, ax, bz);
  const n0z = cross1(ax, by, ay, bx);
  const det = dot3(n0x, n0y, n0z, gx, gy, gz);
  const zero = f32x4.splat(0);
  const sign = v128.bitselect(f32x4.splat(1), f32x4.splat(-1), f32x4.gt(det, zero));
  touching = f32x4.ne(det, zero);
  covering = touching;
  keepForm(0, n0x, n0y, n0z, sign, zero);
  if (!v128.any_true(touching)) return 1;
  keepForm(1, cross1(by, gz, bz, gy), cross1(bz, gx, bx, gz), cross1(bx, gy, by, gx), sign, zero);
  if (!v128.any_true(touching)) return 1;
  keepForm(2, cross1(gy, az, gz, ay), cross1(gz, ax, gx, az), cross1(gx, ay, gy, ax), sign, zero);
  if (!v128.any_true(touching)) return 1;
  const ex = f32x4.sub(bx, ax);
  const ey = f32x4.sub(by, ay);
  const ez = f32x4.sub(bz, az);
  const fx = f32x4.sub(gx, ax);
  const fy = f32x4.sub(gy, ay);
  const fz = f32x4.sub(gz, az);
  const mx = cross1(ey, fz, ez, fy);
  const my = cross1(ez, fx, ex, fz);
  const mz = cross1(ex, fy, ey, fx);
  const off = f32x4.mul(f32x4.splat(CONTACT_M), f32x4.sqrt(dot3(mx, my, mz, mx, my, mz)));
  keepForm(3, mx, my, mz, sign, f32x4.add(f32x4.mul(sign, dot3(mx, my, mz, ax, ay, az)), off));
  if (v128.any_true(covering)) return 0;
  let bits = i32x4.bitmask(touching);
  while (bits !== 0) {
    const lane = (<usize>ctz(bits)) << 2;
    bits &= bits - 1;
    const to = GROUP_TRIANGLES + <usize>triangles * TRIANGLE_BYTES;
    triangles++;
    for (let k: usize = 0; k < 13; k++) store<f32>(to + (k << 2), load<f32>(KEPT + (k << 4) + lane));
  }
  return 1;
}

/** Lanes of the four triangles in work whose shadow may touch the group, and may cover it. */
let touching: v128 = i32x4.splat(0);
let covering: v128 = i32x4.splat(0);
/** Thirteen numbers a lane: three edge planes, the triangle's plane and its distance. */
const KEPT: usize = 36352;

/** One plane of the cone, turned inward: sign·n·x ≥ d inside. The group's sphere against it. */
function keepForm(k: usize, nx: v128, ny: v128, nz: v128, sign: v128, d: v128): void {
  const x = f32x4.mul(nx, sign);
  const y = f32x4.mul(ny, sign);
  const z = f32x4.mul(nz, sign);
  const reach = f32x4.mul(f32x4.splat(radius), f32x4.sqrt(dot3(x, y, z, x, y, z)));
  const over = f32x4.sub(dot3(x, y, z, f32x4.splat(cx), f32x4.splat(cy), f32x4.splat(cz)), d);
  touching = v128.and(touching, f32x4.ge(f32x4.add(over, reach), f32x4.splat(0)));
  covering = v128.and(covering, f32x4.ge(over, reach));
  const at = KEPT + k * 48;
  v128.store(at, x);
  v128.store(at, y, 16);
  v128.store(at, z, 32);
  if (k === 3) v128.store(at, d, 48);
}

/** Four points at a time against the triangles kept. */
function hidePoints(points: usize, bytes: usize): void {
  const end: usize = GROUP_TRIANGLES + <usize>triangles * TRIANGLE_BYTES;
  const zero = f32x4.splat(0);
  const never = f32x4.splat(Infinity);
  for (let k: usize = 0; k < bytes; k += 16) {
    let hidden = f32x4.eq(v128.load(depthAt + k), never);
    if (i32x4.bitmask(hidden) === 15) continue;
    const at = points + k;
    const x = f32x4.sub(v128.load(at), f32x4.splat(param32(PARAM_LAMP)));
    const y = f32x4.sub(v128.load(at + listBytes), f32x4.splat(param32(PARAM_LAMP + 1)));
    const z = f32x4.sub(v128.load(at + 2 * listBytes), f32x4.splat(param32(PARAM_LAMP + 2)));
    for (let t: usize = GROUP_TRIANGLES; t < end; t += TRIANGLE_BYTES) {
      const e0 = dot3(x, y, z, v128.load32_splat(t), v128.load32_splat(t, 4), v128.load32_splat(t, 8));
      const e1 = dot3(x, y, z, v128.load32_splat(t, 12), v128.load32_splat(t, 16), v128.load32_splat(t, 20));
      const both = v128.and(f32x4.ge(e0, zero), f32x4.ge(e1, zero));
      if (!v128.any_true(both)) continue;
      const e2 = dot3(x, y, z, v128.load32_splat(t, 24), v128.load32_splat(t, 28), v128.load32_splat(t, 32));
      const p = dot3(x, y, z, v128.load32_splat(t, 36), v128.load32_splat(t, 40), v128.load32_splat(t, 44));
      hidden = v128.or(hidden, v128.and(both, v128.and(f32x4.ge(e2, zero), f32x4.ge(p, v128.load32_splat(t, 48)))));
    }
    v128.store(depthAt + k, v128.bitselect(never, v128.load(depthAt + k), hidden));
  }
}

function findBodies(points: usize, bytes: usize): void {
  bodies = 0;
  startShaft(bodyNodes);
  for (let code = nextLeaf(); code !== EMPTY_CHILD; code = nextLeaf()) {
    const place = ~code;
    const last = (place >> 3) + (place & 7);
    for (let k = place >> 3; k <= last; k++) {
      takeBodies(bodyBlocks + <usize>k * BODY_BLOCK_BYTES);
      if (bodies <= MOST_GROUP_BODIES - 4) continue;
      sumBodies(points, bytes);
      bodies = 0;
    }
  }
  if (bodies > 0) sumBodies(points, bytes);
}

/** Keeps those of four bodies that meet the hull of the group's sphere and the lamp. */
function takeBodies(b: usize): void {
  const x = f32x4.sub(v128.load(b), f32x4.splat(param32(PARAM_LAMP)));
  const y = f32x4.sub(v128.load(b, 16), f32x4.splat(param32(PARAM_LAMP + 1)));
  const z = f32x4.sub(v128.load(b, 32), f32x4.splat(param32(PARAM_LAMP + 2)));
  const rx = v128.load(b, 48);
  const ry = v128.load(b, 64);
  const rz = v128.load(b, 80);
  const r = f32x4.div(f32x4.splat(1), f32x4.pmin(f32x4.pmin(rx, ry), rz));
  const k = v128.load(b, 96);
  // Nearest of the spheres about u·c (u = 0 at the lamp) of radius u·R: the hull is their union.
  const D2 = cx * cx + cy * cy + cz * cz;
  const D = sqrt<f32>(D2);
  const tan: f32 = D > radius * 1.001 ? radius / sqrt<f32>(D2 - radius * radius) : 1e9;
  const along = f32x4.mul(dot3(x, y, z, f32x4.splat(cx), f32x4.splat(cy), f32x4.splat(cz)), f32x4.splat(1 / max<f32>(D, 1e-9)));
  const h2 = f32x4.pmax(f32x4.splat(0), f32x4.sub(dot3(x, y, z, x, y, z), f32x4.mul(along, along)));
  const run = f32x4.add(along, f32x4.mul(f32x4.sqrt(h2), f32x4.splat(tan)));
  const at = f32x4.pmin(f32x4.splat(D), f32x4.pmax(f32x4.splat(0), run));
  const reach = f32x4.add(r, f32x4.mul(at, f32x4.splat(radius / max<f32>(D, 1e-9))));
  const off = f32x4.sub(along, at);
  const meets = f32x4.le(f32x4.add(h2, f32x4.mul(off, off)), f32x4.mul(f32x4.mul(reach, reach), f32x4.splat(1.0001)));
  let bits = i32x4.bitmask(v128.and(meets, f32x4.gt(k, f32x4.splat(0))));
  if (bits === 0) return;
  v128.store(KEPT, f32x4.neg(f32x4.mul(x, rx)));
  v128.store(KEPT, f32x4.neg(f32x4.mul(y, ry)), 16);
  v128.store(KEPT, f32x4.neg(f32x4.mul(z, rz)), 32);
  v128.store(KEPT, rx, 48);
  v128.store(KEPT, ry, 64);
  v128.store(KEPT, rz, 80);
  v128.store(KEPT, k, 96);
  while (bits !== 0) {
    const lane = (<usize>ctz(bits)) << 2;
    bits &= bits - 1;
    const to = GROUP_BODIES + <usize>bodies * BODY_BYTES;
    bodies++;
    for (let c: usize = 0; c < 7; c++) store<f32>(to + (c << 2), load<f32>(KEPT + (c << 4) + lane));
  }
}

/** Adds the depth of the bodies kept to every point that is not hidden. */
function sumBodies(points: usize, bytes: usize): void {
  const end: usize = GROUP_BODIES + <usize>bodies * BODY_BYTES;
  const one = f32x4.splat(1);
  for (let k: usize = 0; k < bytes; k += 16) {
    const before = v128.load(depthAt + k);
    if (i32x4.bitmask(f32x4.eq(before, f32x4.splat(Infinity))) === 15) continue;
    const at = points + k;
    const x = f32x4.sub(v128.load(at), f32x4.splat(param32(PARAM_LAMP)));
    const y = f32x4.sub(v128.load(at + listBytes), f32x4.splat(param32(PARAM_LAMP + 1)));
    const z = f32x4.sub(v128.load(at + 2 * listBytes), f32x4.splat(param32(PARAM_LAMP + 2)));
    let sum = f32x4.splat(0);
    for (let b: usize = GROUP_BODIES; b < end; b += BODY_BYTES) {
      const share = chordShare(
        v128.load32_splat(b),
        v128.load32_splat(b, 4),
        v128.load32_splat(b, 8),
        f32x4.mul(x, v128.load32_splat(b, 12)),
        f32x4.mul(y, v128.load32_splat(b, 16)),
        f32x4.mul(z, v128.load32_splat(b, 20)),
        one,
      );
      sum = f32x4.add(sum, f32x4.mul(share, v128.load32_splat(b, 24)));
    }
    const d = f32x4.sqrt(dot3(x, y, z, x, y, z));
    v128.store(depthAt + k, f32x4.add(before, f32x4.mul(sum, d)));
  }
}
