import type { TriangleSoup } from '../../scene/index.ts';
import { type BoxTree, buildBoxTree } from './bvh.ts';

/** A triangle wholly below the receiver plane + this is no occluder of that receiver (contact rule). */
export const CONTACT_M = 1e-4;

/** Triangles in leaf order with their tree. */
export interface TriangleTree {
  tree: BoxTree;
  /** 9 numbers: first vertex, then the two edges that leave it. */
  corners: Float64Array;
  /** Index in the soup. */
  source: Uint32Array;
  count: number;
}

/** Nearest hit, reused between calls. */
export interface TriangleHit {
  distanceM: number;
  /** Index in the soup. */
  triangle: number;
}

/** Builds the tree over all triangles of positive area. */
export function buildTriangleTree(soup: TriangleSoup): TriangleTree {
  const p = soup.positionsM;
  const kept: number[] = [];
  for (let i = 0; i < soup.count; i++) if (hasArea(p, i * 9)) kept.push(i);
  const boxes = new Float32Array(kept.length * 6);
  for (let n = 0; n < kept.length; n++) {
    const at = kept[n]! * 9;
    for (let k = 0; k < 3; k++) {
      boxes[n * 6 + k] = Math.min(p[at + k]!, p[at + 3 + k]!, p[at + 6 + k]!);
      boxes[n * 6 + 3 + k] = Math.max(p[at + k]!, p[at + 3 + k]!, p[at + 6 + k]!);
    }
  }
  const tree = buildBoxTree(boxes, 4);
  const corners = new Float64Array(kept.length * 9);
  const source = new Uint32Array(kept.length);
  for (let n = 0; n < kept.length; n++) {
    const triangle = kept[tree.order[n]!]!;
    source[n] = triangle;
    for (let k = 0; k < 3; k++) {
      const a = p[triangle * 9 + k]!;
      corners[n * 9 + k] = a;
      corners[n * 9 + 3 + k] = p[triangle * 9 + 3 + k]! - a;
      corners[n * 9 + 6 + k] = p[triangle * 9 + 6 + k]! - a;
    }
  }
  return { tree, corners, source, count: kept.length };
}

function hasArea(p: Float32Array, at: number): boolean {
  const ax = p[at + 3]! - p[at]!;
  const ay = p[at + 4]! - p[at + 1]!;
  const az = p[at + 5]! - p[at + 2]!;
  const bx = p[at + 6]! - p[at]!;
  const by = p[at + 7]! - p[at + 1]!;
  const bz = p[at + 8]! - p[at + 2]!;
  const x = ay * bz - az * by;
  const y = az * bx - ax * bz;
  const z = ax * by - ay * bx;
  return x * x + y * y + z * z > 1e-20;
}

const stack = new Int32Array(256);
const tiny = 1e-300;

/**
 * True when a triangle lies on o + t·d for tMin < t < tMax. Triangles wholly below the plane n·x = planeD, or within
 * 0.1 mm of it, do not count: the contact rule for rays that start on a surface. n = 0, planeD = −1 switches it off.
 */
export function anyHit(
  t: TriangleTree,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
  tMin: number,
  tMax: number,
  nx: number,
  ny: number,
  nz: number,
  planeD: number,
): boolean {
  if (t.count === 0) return false;
  const { bounds, first, count } = t.tree;
  const ix = 1 / (dx || tiny);
  const iy = 1 / (dy || tiny);
  const iz = 1 / (dz || tiny);
  let top = 0;
  stack[top++] = 0;
  while (top > 0) {
    const node = stack[--top]!;
    if (boxEntry(bounds, node * 6, ox, oy, oz, ix, iy, iz, tMin, tMax) === Infinity) continue;
    const n = count[node]!;
    const from = first[node]!;
    if (n === 0) {
      stack[top++] = from;
      stack[top++] = from + 1;
      continue;
    }
    for (let i = from; i < from + n; i++) {
      const d = triangleDistance(t.corners, i * 9, ox, oy, oz, dx, dy, dz);
      if (d > tMin && d < tMax && !wholeBelow(t.corners, i * 9, nx, ny, nz, planeD)) return true;
    }
  }
  return false;
}

/** Nearest triangle for tMin < t < tMax; the same contact rule. Returns false when there is none. */
export function closestHit(
  t: TriangleTree,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
  tMin: number,
  tMax: number,
  nx: number,
  ny: number,
  nz: number,
  planeD: number,
  out: TriangleHit,
): boolean {
  out.triangle = -1;
  if (t.count === 0) return false;
  const { bounds, first, count } = t.tree;
  const ix = 1 / (dx || tiny);
  const iy = 1 / (dy || tiny);
  const iz = 1 / (dz || tiny);
  let nearest = tMax;
  let top = 0;
  stack[top++] = 0;
  while (top > 0) {
    const node = stack[--top]!;
    if (boxEntry(bounds, node * 6, ox, oy, oz, ix, iy, iz, tMin, nearest) === Infinity) continue;
    const n = count[node]!;
    const from = first[node]!;
    if (n === 0) {
      const a = boxEntry(bounds, from * 6, ox, oy, oz, ix, iy, iz, tMin, nearest);
      const b = boxEntry(bounds, from * 6 + 6, ox, oy, oz, ix, iy, iz, tMin, nearest);
      if (a <= b) {
        if (b !== Infinity) stack[top++] = from + 1;
        if (a !== Infinity) stack[top++] = from;
      } else {
        if (a !== Infinity) stack[top++] = from;
        stack[top++] = from + 1;
      }
      continue;
    }
    for (let i = from; i < from + n; i++) {
      const d = triangleDistance(t.corners, i * 9, ox, oy, oz, dx, dy, dz);
      if (d > tMin && d < nearest && !wholeBelow(t.corners, i * 9, nx, ny, nz, planeD)) {
        nearest = d;
        out.triangle = t.source[i]!;
      }
    }
  }
  out.distanceM = nearest;
  return out.triangle >= 0;
}

/** Entry distance of a ray into a box, Infinity when it misses (tMin, tMax). */
export function boxEntry(
  b: Float32Array,
  at: number,
  ox: number,
  oy: number,
  oz: number,
  ix: number,
  iy: number,
  iz: number,
  tMin: number,
  tMax: number,
): number {
  let near = tMin;
  let far = tMax;
  let t0 = (b[at]! - ox) * ix;
  let t1 = (b[at + 3]! - ox) * ix;
  if (t0 > t1) [t0, t1] = [t1, t0];
  if (t0 > near) near = t0;
  if (t1 < far) far = t1;
  t0 = (b[at + 1]! - oy) * iy;
  t1 = (b[at + 4]! - oy) * iy;
  if (t0 > t1) [t0, t1] = [t1, t0];
  if (t0 > near) near = t0;
  if (t1 < far) far = t1;
  t0 = (b[at + 2]! - oz) * iz;
  t1 = (b[at + 5]! - oz) * iz;
  if (t0 > t1) [t0, t1] = [t1, t0];
  if (t0 > near) near = t0;
  if (t1 < far) far = t1;
  // A hair of slack: a box as flat as its triangle must not be lost to rounding.
  return near <= far * (1 + 1e-12) + 1e-12 ? near : Infinity;
}

/** Möller and Trumbore 1997, both sides; −1 when missed. Edges are closed, so neighbours leave no gap. */
function triangleDistance(
  c: Float64Array,
  at: number,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
): number {
  const e1x = c[at + 3]!;
  const e1y = c[at + 4]!;
  const e1z = c[at + 5]!;
  const e2x = c[at + 6]!;
  const e2y = c[at + 7]!;
  const e2z = c[at + 8]!;
  const px = dy * e2z - dz * e2y;
  const py = dz * e2x - dx * e2z;
  const pz = dx * e2y - dy * e2x;
  const det = e1x * px + e1y * py + e1z * pz;
  if (det === 0) return -1;
  const inv = 1 / det;
  const sx = ox - c[at]!;
  const sy = oy - c[at + 1]!;
  const sz = oz - c[at + 2]!;
  const u = (sx * px + sy * py + sz * pz) * inv;
  if (!(u >= -1e-12 && u <= 1 + 1e-12)) return -1;
  const qx = sy * e1z - sz * e1y;
  const qy = sz * e1x - sx * e1z;
  const qz = sx * e1y - sy * e1x;
  const v = (dx * qx + dy * qy + dz * qz) * inv;
  if (!(v >= -1e-12 && u + v <= 1 + 1e-12)) return -1;
  return (e2x * qx + e2y * qy + e2z * qz) * inv;
}

function wholeBelow(c: Float64Array, at: number, nx: number, ny: number, nz: number, planeD: number): boolean {
  const h = nx * c[at]! + ny * c[at + 1]! + nz * c[at + 2]! - planeD;
  if (h > CONTACT_M) return false;
  if (h + nx * c[at + 3]! + ny * c[at + 4]! + nz * c[at + 5]! > CONTACT_M) return false;
  return h + nx * c[at + 6]! + ny * c[at + 7]! + nz * c[at + 8]! <= CONTACT_M;
}
