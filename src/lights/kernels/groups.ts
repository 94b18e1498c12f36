import { PARAM_CUT, PARAM_GROUP, PARAM_LAMP, PARAMS } from './layout.ts';
import type { SceneKernels } from './scene.ts';
import { keepShort } from './slab.ts';
import { type KernelLamp, writeBeam } from './tiles.ts';

/** Points lit together, as the kernels read them. */
export interface KernelPoints {
  count: number;
  positions: Float32Array;
  normals: Float32Array;
  centre: Float64Array;
  radiusM: number;
}

/** Where groups of points lie in one instance's memory. */
export interface GroupTables {
  /** Address of a group's points, padded to fours. */
  at: WeakMap<KernelPoints, number>;
  /** Most points (padded) the scratch has room for, and its parts: lux, depth, result. */
  room: number;
  lux: number;
  depth: number;
  result: number;
  /** The list of groups whose spheres are kept, with their address and that of the indices found. */
  spheresOf: readonly KernelPoints[] | undefined;
  spheres: number;
  reached: number;
  /** Groups the two lists have room for. */
  spheresRoom: number;
}

export function createGroupTables(): GroupTables {
  return {
    at: new WeakMap(),
    room: 0,
    lux: 0,
    depth: 0,
    result: 0,
    spheresOf: undefined,
    spheres: 0,
    reached: 0,
    spheresRoom: 0,
  };
}

const padded = (n: number): number => (n + 3) & ~3;

/**
 * Indices of the groups of a list to which a lamp can bring `cutLx` or more to a surface square to it; a view, good until
 * the next call.
 */
export function reachedGroups(
  kernels: SceneKernels,
  groups: readonly KernelPoints[],
  lamp: KernelLamp,
  cutLx: number,
): Int32Array {
  bringSpheres(kernels, groups);
  writeLamp(kernels, lamp, cutLx);
  const n = kernels.calls.reachGroups();
  return kernels.i32.subarray(kernels.groups.reached / 4, kernels.groups.reached / 4 + n);
}

function bringSpheres(kernels: SceneKernels, groups: readonly KernelPoints[]): void {
  const tables = kernels.groups;
  if (tables.spheresOf === groups) return;
  tables.spheresOf = groups;
  const n = padded(groups.length);
  if (n > tables.spheresRoom) {
    tables.spheresRoom = n;
    tables.spheres = kernels.take(n * 16);
    tables.reached = kernels.take(n * 4);
  }
  const { f32 } = kernels;
  const at = tables.spheres / 4;
  f32.fill(0, at, at + n * 4);
  groups.forEach(({ centre, radiusM }, k) => {
    for (let c = 0; c < 3; c++) f32[at + c * n + k] = centre[c]!;
    f32[at + 3 * n + k] = radiusM;
  });
  tellGroups(kernels);
}

function tellGroups(kernels: SceneKernels): void {
  const { spheres, spheresOf, reached, lux, depth, result } = kernels.groups;
  kernels.calls.setGroups(spheres, spheresOf?.length ?? 0, reached, lux, depth, result);
}

/** Address of a group's points: x, y, z, normal x, y, z, each padded with points that no light falls on. */
function bringPoints(kernels: SceneKernels, points: KernelPoints, standOffM: number): number {
  const { groups } = kernels;
  let at = groups.at.get(points);
  const n = padded(points.count);
  if (at === undefined) {
    at = kernels.take(n * 24);
    groups.at.set(points, at);
    const { f32 } = kernels;
    for (let i = 0; i < n; i++) {
      const from = Math.min(i, points.count - 1) * 3;
      for (let c = 0; c < 3; c++) {
        const normal = points.normals[from + c]!;
        f32[at / 4 + c * n + i] = points.positions[from + c]! + standOffM * normal;
        f32[at / 4 + (3 + c) * n + i] = i < points.count ? normal : 0;
      }
    }
  }
  if (n > groups.room) {
    groups.room = Math.max(64, n);
    groups.lux = kernels.take(groups.room * 4);
    groups.depth = kernels.take(groups.room * 4);
    groups.result = kernels.take(groups.room * 8);
    tellGroups(kernels);
  }
  return at;
}

function writeLamp(kernels: SceneKernels, lamp: KernelLamp, cutLx: number): void {
  writeBeam(kernels, lamp);
  const { f64 } = kernels;
  const p = PARAMS / 8;
  for (let k = 0; k < 3; k++) f64[p + PARAM_LAMP + k] = lamp.at[k]!;
  f64[p + PARAM_CUT] = cutLx;
}

/** How a group is lit: sides a point has, how far points stand off along their normals. */
export interface GroupRules {
  sides: 1 | 2;
  standOffM: number;
  cutLx: number;
  leavesOn: boolean;
}

/**
 * Light of one lamp on a group: one number a point, or two (side of the normal, other side); undefined where none is above
 * the cut. What stands between is read from `known`, and written there the first time.
 */
export function lightGroupPoints<K extends KernelPoints>(
  kernels: SceneKernels,
  lamp: KernelLamp,
  points: K,
  rules: GroupRules,
  known: Map<K, Float32Array>,
): Float32Array | undefined {
  const at = bringPoints(kernels, points, rules.standOffM);
  writeLamp(kernels, lamp, rules.cutLx);
  const { calls, groups, f32, f64 } = kernels;
  const n = padded(points.count);
  if (calls.lightPoints(at, n, rules.sides === 1 ? 1 : 0) === 0) return undefined;
  const seen = known.get(points);
  if (seen) f32.set(seen, groups.depth / 4);
  else {
    const p = PARAMS / 8 + PARAM_GROUP;
    for (let k = 0; k < 3; k++) f64[p + k] = points.centre[k]!;
    f64[p + 3] = points.radiusM + rules.standOffM;
    calls.seePoints(at, n);
    known.set(points, keepShort(f32.subarray(groups.depth / 4, groups.depth / 4 + points.count)));
  }
  if (calls.dimPoints(n, rules.sides, rules.leavesOn ? 1 : 0) === 0) return undefined;
  return keepShort(f32.subarray(groups.result / 4, groups.result / 4 + points.count * rules.sides));
}
