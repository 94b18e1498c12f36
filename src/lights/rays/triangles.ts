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
  /** Place of the triangle that hid the last ray: neighbours are often hidden by the same one. */
  last: number;
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
  return { tree, corners, source, count: kept.length, last: 0 };
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
/** Where the ray enters each node of the stack. */
const entry = new Float64Array(256);
const tiny = 1e-300;
/** A hair: a box as flat as its triangle must not be lost to rounding. */
const SLACK = 1 + 1e-12;

/**
 * The ray in work: origin 0…2, direction 3…5, inverse direction 6…8, tMin 9, tMax 10, distance found 11, plane 12…15.
 * Kept in one typed array, because numbers handed to calls that are not inlined cost an allocation each.
 */
const R = new Float64Array(16);

function setRay(
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
): void {
  R[0] = ox;
  R[1] = oy;
  R[2] = oz;
  R[3] = dx;
  R[4] = dy;
  R[5] = dz;
  R[6] = 1 / (dx || tiny);
  R[7] = 1 / (dy || tiny);
  R[8] = 1 / (dz || tiny);
  R[9] = tMin;
  R[10] = tMax;
  R[12] = nx;
  R[13] = ny;
  R[14] = nz;
  R[15] = planeD;
}

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
  setRay(ox, oy, oz, dx, dy, dz, tMin, tMax, nx, ny, nz, planeD);
  if (meetsTriangle(t.corners, t.last * 9) && !touches(t.corners, t.last * 9)) return true;
  const { bounds: b, first, count } = t.tree;
  // Box tests are written out here: handed to a function, their numbers would pass through memory.
  const ix = R[6]!;
  const iy = R[7]!;
  const iz = R[8]!;
  const qx = ix < 0 ? 3 : 0;
  const qy = iy < 0 ? 4 : 1;
  const qz = iz < 0 ? 5 : 2;
  const far = tMax * SLACK + 1e-12;
  let top = 0;
  stack[top++] = 0;
  while (top > 0) {
    const node = stack[--top]!;
    const at = node * 6;
    let low = (b[at + qx]! - ox) * ix;
    let high = (b[at + 3 - qx]! - ox) * ix;
    const y0 = (b[at + qy]! - oy) * iy;
    const y1 = (b[at + 5 - qy]! - oy) * iy;
    if (y0 > low) low = y0;
    if (y1 < high) high = y1;
    const z0 = (b[at + qz]! - oz) * iz;
    const z1 = (b[at + 7 - qz]! - oz) * iz;
    if (z0 > low) low = z0;
    if (z1 < high) high = z1;
    if (low > high * SLACK + 1e-12 || high < tMin - 1e-12 || low > far) continue;
    const n = count[node]!;
    const from = first[node]!;
    if (n === 0) {
      stack[top++] = from;
      stack[top++] = from + 1;
      continue;
    }
    for (let i = from; i < from + n; i++) {
      if (!meetsTriangle(t.corners, i * 9) || touches(t.corners, i * 9)) continue;
      t.last = i;
      return true;
    }
  }
  return false;
}

/** `anyHit` without a tree: only the `n` triangles at `places` are looked at, with no contact rule, for 0 < t < tMax. */
export function anyHitAmong(
  t: TriangleTree,
  places: Int32Array,
  n: number,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
  tMax: number,
): boolean {
  if (n === 0) return false;
  setRay(ox, oy, oz, dx, dy, dz, 0, tMax, 0, 0, 0, -1);
  for (let k = 0; k < n; k++) {
    if (!meetsTriangle(t.corners, places[k]! * 9)) continue;
    // What hid this ray comes first for the next.
    const hid = places[k]!;
    places[k] = places[0]!;
    places[0] = hid;
    return true;
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
  setRay(ox, oy, oz, dx, dy, dz, tMin, tMax, nx, ny, nz, planeD);
  const { bounds: b, first, count } = t.tree;
  const ix = R[6]!;
  const iy = R[7]!;
  const iz = R[8]!;
  const qx = ix < 0 ? 3 : 0;
  const qy = iy < 0 ? 4 : 1;
  const qz = iz < 0 ? 5 : 2;
  let best = tMax;
  let top = 0;
  let node = 0;
  for (;;) {
    const n = count[node]!;
    const from = first[node]!;
    if (n === 0) {
      const at = from * 6;
      let low = (b[at + qx]! - ox) * ix;
      let high = (b[at + 3 - qx]! - ox) * ix;
      const y0 = (b[at + qy]! - oy) * iy;
      const y1 = (b[at + 5 - qy]! - oy) * iy;
      if (y0 > low) low = y0;
      if (y1 < high) high = y1;
      const z0 = (b[at + qz]! - oz) * iz;
      const z1 = (b[at + 7 - qz]! - oz) * iz;
      if (z0 > low) low = z0;
      if (z1 < high) high = z1;
      const left = low <= high * SLACK + 1e-12 && high >= tMin - 1e-12 && low <= best * SLACK + 1e-12;
      let low2 = (b[at + 6 + qx]! - ox) * ix;
      let high2 = (b[at + 9 - qx]! - ox) * ix;
      const y2 = (b[at + 6 + qy]! - oy) * iy;
      const y3 = (b[at + 11 - qy]! - oy) * iy;
      if (y2 > low2) low2 = y2;
      if (y3 < high2) high2 = y3;
      const z2 = (b[at + 6 + qz]! - oz) * iz;
      const z3 = (b[at + 13 - qz]! - oz) * iz;
      if (z2 > low2) low2 = z2;
      if (z3 < high2) high2 = z3;
      const right = low2 <= high2 * SLACK + 1e-12 && high2 >= tMin - 1e-12 && low2 <= best * SLACK + 1e-12;
      if (left && right) {
        // The nearer child is taken first.
        const swap = low2 < low;
        stack[top] = swap ? from : from + 1;
        entry[top++] = swap ? low : low2;
        node = swap ? from + 1 : from;
        continue;
      }
      if (left || right) {
        node = left ? from : from + 1;
        continue;
      }
    } else {
      for (let i = from; i < from + n; i++) {
        if (!meetsTriangle(t.corners, i * 9) || touches(t.corners, i * 9)) continue;
        best = R[11]!;
        R[10] = best;
        out.triangle = t.source[i]!;
      }
    }
    while (top > 0 && entry[top - 1]! > best * SLACK + 1e-12) top--;
    if (top === 0) break;
    node = stack[--top]!;
  }
  out.distanceM = best;
  return out.triangle >= 0;
}

/** Distance along o + t·d to the plane of the triangle at a place of the tree. */
export function distanceTo(
  t: TriangleTree,
  place: number,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
): number {
  const c = t.corners;
  const at = place * 9;
  const nx = c[at + 4]! * c[at + 8]! - c[at + 5]! * c[at + 7]!;
  const ny = c[at + 5]! * c[at + 6]! - c[at + 3]! * c[at + 8]!;
  const nz = c[at + 3]! * c[at + 7]! - c[at + 4]! * c[at + 6]!;
  return (nx * (c[at]! - ox) + ny * (c[at + 1]! - oy) + nz * (c[at + 2]! - oz)) / (nx * dx + ny * dy + nz * dz);
}

/** Möller and Trumbore 1997, both sides, tMin < t < tMax. Edges are closed, so neighbours leave no gap. */
function meetsTriangle(c: Float64Array, at: number): boolean {
  const dx = R[3]!;
  const dy = R[4]!;
  const dz = R[5]!;
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
  if (det === 0) return false;
  const inv = 1 / det;
  const sx = R[0]! - c[at]!;
  const sy = R[1]! - c[at + 1]!;
  const sz = R[2]! - c[at + 2]!;
  const u = (sx * px + sy * py + sz * pz) * inv;
  if (!(u >= -1e-12 && u <= 1 + 1e-12)) return false;
  const qx = sy * e1z - sz * e1y;
  const qy = sz * e1x - sx * e1z;
  const qz = sx * e1y - sy * e1x;
  const v = (dx * qx + dy * qy + dz * qz) * inv;
  if (!(v >= -1e-12 && u + v <= 1 + 1e-12)) return false;
  const d = (e2x * qx + e2y * qy + e2z * qz) * inv;
  R[11] = d;
  return d > R[9]! && d < R[10]!;
}

/** Contact rule: the triangle lies below the receiver, or the origin in the triangle's plane, by 0.1 mm. */
function touches(c: Float64Array, at: number): boolean {
  const nx = R[12]!;
  const ny = R[13]!;
  const nz = R[14]!;
  if (nx === 0 && ny === 0 && nz === 0) return false;
  if (originInPlane(c, at)) return true;
  const h = nx * c[at]! + ny * c[at + 1]! + nz * c[at + 2]! - R[15]!;
  if (h > CONTACT_M) return false;
  if (h + nx * c[at + 3]! + ny * c[at + 4]! + nz * c[at + 5]! > CONTACT_M) return false;
  return h + nx * c[at + 6]! + ny * c[at + 7]! + nz * c[at + 8]! <= CONTACT_M;
}

function originInPlane(c: Float64Array, at: number): boolean {
  const nx = c[at + 4]! * c[at + 8]! - c[at + 5]! * c[at + 7]!;
  const ny = c[at + 5]! * c[at + 6]! - c[at + 3]! * c[at + 8]!;
  const nz = c[at + 3]! * c[at + 7]! - c[at + 4]! * c[at + 6]!;
  const over = nx * (c[at]! - R[0]!) + ny * (c[at + 1]! - R[1]!) + nz * (c[at + 2]! - R[2]!);
  return over * over <= CONTACT_M * CONTACT_M * (nx * nx + ny * ny + nz * nz);
}
