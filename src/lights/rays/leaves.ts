import type { SceneModel } from '../../scene/index.ts';
import { type BoxTree, buildBoxTree } from './bvh.ts';

/** Projection of leaf area, spherical leaf angles (facts.md 8.2: K = G/cos θ, G = 0.5). */
export const LEAF_PROJECTION_G = 0.5;

/**
 * All leaves as ellipsoids of even leaf area: clumps of plants (spheres) and textbook crowns.
 * 7 numbers each: centre x, y, z, radii x, y, z, extinction per metre (G·Ω·LAD).
 */
export interface LeafBodies {
  count: number;
  data: Float64Array;
  /** 1 / radius, 3 numbers each. */
  inverseRadii: Float64Array;
  /** Plant of each body, −1 for textbook crowns. */
  plant: Int32Array;
  /** Body index of a plant's first clump. */
  firstOfPlant: Int32Array;
  tree: BoxTree;
}

/** Gathers clumps and crowns with their extinction coefficient. */
export function gatherLeaves(scene: SceneModel): LeafBodies {
  const rows: number[] = [];
  const plant: number[] = [];
  const firstOfPlant = new Int32Array(scene.plants.length);
  scene.plants.forEach((p, index) => {
    firstOfPlant[index] = plant.length;
    for (let i = 0; i + 4 < p.clumps.length; i += 5) {
      const r = p.clumps[i + 3]!;
      const k = LEAF_PROJECTION_G * p.clumping * p.clumps[i + 4]!;
      rows.push(p.clumps[i]!, p.clumps[i + 1]!, p.clumps[i + 2]!, r, r, r, k);
      plant.push(index);
    }
  });
  for (const e of scene.ellipsoids) {
    rows.push(...e.centre, ...e.radiiM, LEAF_PROJECTION_G * e.clumping * e.leafAreaDensityM2M3);
    plant.push(-1);
  }
  const count = plant.length;
  const boxes = new Float32Array(count * 6);
  for (let i = 0; i < count; i++) {
    for (let k = 0; k < 3; k++) {
      const pad = rows[i * 7 + 3 + k]! * (1 + 1e-5) + 1e-5;
      boxes[i * 6 + k] = rows[i * 7 + k]! - pad;
      boxes[i * 6 + 3 + k] = rows[i * 7 + k]! + pad;
    }
  }
  return {
    count,
    data: Float64Array.from(rows),
    inverseRadii: Float64Array.from({ length: count * 3 }, (_, i) => 1 / rows[((i / 3) | 0) * 7 + 3 + (i % 3)]!),
    plant: Int32Array.from(plant),
    firstOfPlant,
    tree: buildBoxTree(boxes, 4),
  };
}

/**
 * Share of o + t·d, tMin ≤ t ≤ tMax, inside one ellipsoid, times |d|: the chord in metres.
 */
export function chordM(
  data: Float64Array,
  at: number,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
  tMin: number,
  tMax: number,
): number {
  const rx = 1 / data[at + 3]!;
  const ry = 1 / data[at + 4]!;
  const rz = 1 / data[at + 5]!;
  const px = (ox - data[at]!) * rx;
  const py = (oy - data[at + 1]!) * ry;
  const pz = (oz - data[at + 2]!) * rz;
  const ex = dx * rx;
  const ey = dy * ry;
  const ez = dz * rz;
  const a = ex * ex + ey * ey + ez * ez;
  const b = px * ex + py * ey + pz * ez;
  const disc = b * b - a * (px * px + py * py + pz * pz - 1);
  if (disc <= 0) return 0;
  const root = Math.sqrt(disc);
  const t0 = Math.max(tMin, (-b - root) / a);
  const t1 = Math.min(tMax, (-b + root) / a);
  return t1 > t0 ? (t1 - t0) * Math.sqrt(dx * dx + dy * dy + dz * dz) : 0;
}

const stack = new Int32Array(256);

/** Optical depth Σ G·Ω·LAD·chord of the leaves on o + t·d, 0 ≤ t ≤ tMax. */
export function opticalDepth(
  leaves: LeafBodies,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
  tMax: number,
): number {
  if (leaves.count === 0) return 0;
  const { bounds: b, first, count, order } = leaves.tree;
  const { data, inverseRadii } = leaves;
  const ix = 1 / (dx || 1e-300);
  const iy = 1 / (dy || 1e-300);
  const iz = 1 / (dz || 1e-300);
  const qx = ix < 0 ? 3 : 0;
  const qy = iy < 0 ? 4 : 1;
  const qz = iz < 0 ? 5 : 2;
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  let depth = 0;
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
    if (low > high || high < 0 || low > tMax) continue;
    const n = count[node]!;
    const from = first[node]!;
    if (n === 0) {
      stack[top++] = from;
      stack[top++] = from + 1;
      continue;
    }
    for (let i = from; i < from + n; i++) {
      const body = order[i]!;
      const d = body * 7;
      const rx = inverseRadii[body * 3]!;
      const ry = inverseRadii[body * 3 + 1]!;
      const rz = inverseRadii[body * 3 + 2]!;
      const px = (ox - data[d]!) * rx;
      const py = (oy - data[d + 1]!) * ry;
      const pz = (oz - data[d + 2]!) * rz;
      const ex = dx * rx;
      const ey = dy * ry;
      const ez = dz * rz;
      const A = ex * ex + ey * ey + ez * ez;
      const B = px * ex + py * ey + pz * ez;
      const disc = B * B - A * (px * px + py * py + pz * pz - 1);
      if (disc <= 0) continue;
      const root = Math.sqrt(disc);
      let t0 = (-B - root) / A;
      let t1 = (-B + root) / A;
      if (t0 < 0) t0 = 0;
      if (t1 > tMax) t1 = tMax;
      if (t1 > t0) depth += data[d + 6]! * (t1 - t0) * length;
    }
  }
  return depth;
}

const REACH_HALVINGS = 24;

/** How far along a unit direction the leaves have an optical depth; maxM where they never have. Found by halving. */
export function reachOfDepth(
  leaves: LeafBodies,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
  maxM: number,
  depth: number,
): number {
  if (opticalDepth(leaves, ox, oy, oz, dx, dy, dz, maxM) <= depth) return maxM;
  let [low, high] = [0, maxM];
  for (let k = 0; k < REACH_HALVINGS; k++) {
    const middle = (low + high) / 2;
    if (opticalDepth(leaves, ox, oy, oz, dx, dy, dz, middle) < depth) low = middle;
    else high = middle;
  }
  return high;
}
