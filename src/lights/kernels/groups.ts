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
  /** Places from which what stands between is looked for, in place of the points, with the place of each point. */
  eyes?: Eyes | undefined;
}

export interface Eyes {
  positions: Float32Array;
  /** Number of the eye of each point. */
  of: Uint16Array;
}

/** A run of a group's points with the sphere round it: a long bar is looked at piece by piece. */
interface Piece {
  from: number;
  count: number;
  centre: [number, number, number];
  radiusM: number;
}

/** Where one group's points lie: six lists of `padded` numbers at an address. */
interface PointsPlace {
  at: number;
  padded: number;
  pieces: Piece[];
  /** Where its eyes lie, three lists. */
  eyes?: PointsPlace;
}

/** Points of a piece, a multiple of four. */
const PIECE_POINTS = 64;

/** Where groups of points lie in one instance's memory. */
export interface GroupTables {
  places: WeakMap<KernelPoints, PointsPlace>;
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
    places: new WeakMap(),
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

/** A group's points in memory: x, y, z, normal x, y, z, each padded with points that no light falls on. */
function bringPoints(kernels: SceneKernels, points: KernelPoints, standOffM: number): PointsPlace {
  const { groups } = kernels;
  let place = groups.places.get(points);
  if (!place) {
    place = putPoints(kernels, points, standOffM);
    groups.places.set(points, place);
  }
  if (place.padded > groups.room) {
    groups.room = Math.max(64, place.padded);
    groups.lux = kernels.take(groups.room * 4);
    groups.depth = kernels.take(groups.room * 4);
    groups.result = kernels.take(groups.room * 8);
    tellGroups(kernels);
  }
  return place;
}

function putPoints(kernels: SceneKernels, points: KernelPoints, standOffM: number): PointsPlace {
  const { count, positions, normals, centre } = points;
  const n = padded(count);
  const at = kernels.take(n * 24);
  const { f32 } = kernels;
  for (let i = 0; i < n; i++) {
    const from = Math.min(i, count - 1) * 3;
    for (let c = 0; c < 3; c++) {
      const normal = normals[from + c]!;
      f32[at / 4 + c * n + i] = positions[from + c]! + standOffM * normal;
      f32[at / 4 + (3 + c) * n + i] = i < count ? normal : 0;
    }
  }
  if (points.eyes) return { at, padded: n, pieces: [], eyes: putEyes(kernels, points.eyes.positions) };
  const whole: Piece = { from: 0, count: n, centre: [centre[0]!, centre[1]!, centre[2]!], radiusM: points.radiusM + standOffM };
  return { at, padded: n, pieces: n <= PIECE_POINTS ? [whole] : piecesOf(f32, at / 4, n) };
}

/** Eyes in memory: x, y, z, each padded with the last. */
function putEyes(kernels: SceneKernels, positions: Float32Array): PointsPlace {
  const count = positions.length / 3;
  const n = padded(count);
  const at = kernels.take(n * 12);
  const { f32 } = kernels;
  for (let i = 0; i < n; i++) {
    for (let c = 0; c < 3; c++) f32[at / 4 + c * n + i] = positions[Math.min(i, count - 1) * 3 + c]!;
  }
  return { at, padded: n, pieces: piecesOf(f32, at / 4, n) };
}

function piecesOf(f32: Float32Array, at: number, n: number): Piece[] {
  const pieces: Piece[] = [];
  for (let from = 0; from < n; from += PIECE_POINTS) {
    pieces.push(pieceOf(f32, at, n, from, Math.min(PIECE_POINTS, n - from)));
  }
  return pieces;
}

function pieceOf(f32: Float32Array, at: number, n: number, from: number, count: number): Piece {
  const centre: [number, number, number] = [0, 0, 0];
  for (let c = 0; c < 3; c++) for (let i = from; i < from + count; i++) centre[c]! += f32[at + c * n + i]! / count;
  let radiusM = 0;
  for (let i = from; i < from + count; i++) {
    const [x, y, z] = [f32[at + i]! - centre[0], f32[at + n + i]! - centre[1], f32[at + 2 * n + i]! - centre[2]];
    radiusM = Math.max(radiusM, Math.sqrt(x * x + y * y + z * z));
  }
  return { from, count, centre, radiusM };
}

/** Depths of all points of a group into the scratch, piece by piece. */
function seeGroup(kernels: SceneKernels, { at, padded: n, pieces }: PointsPlace, oneSided: boolean): void {
  const { f64, calls, groups } = kernels;
  const p = PARAMS / 8 + PARAM_GROUP;
  for (const { from, count, centre, radiusM } of pieces) {
    f64[p] = centre[0];
    f64[p + 1] = centre[1];
    f64[p + 2] = centre[2];
    f64[p + 3] = radiusM;
    calls.seePoints(at + from * 4, count, n, oneSided ? 1 : 0, groups.depth + from * 4);
  }
}

function writeLamp(kernels: SceneKernels, lamp: KernelLamp, cutLx: number): void {
  writeBeam(kernels, lamp);
  const { f64 } = kernels;
  const p = PARAMS / 8;
  f64[p + PARAM_LAMP] = lamp.at[0]!;
  f64[p + PARAM_LAMP + 1] = lamp.at[1]!;
  f64[p + PARAM_LAMP + 2] = lamp.at[2]!;
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
  const place = bringPoints(kernels, points, rules.standOffM);
  writeLamp(kernels, lamp, rules.cutLx);
  const { calls, groups, f32 } = kernels;
  const n = place.padded;
  const oneSided = rules.sides === 1;
  if (calls.lightPoints(place.at, n, oneSided ? 1 : 0) === 0) return undefined;
  const { eyes } = points;
  let seen = known.get(points);
  if (!seen) {
    seeGroup(kernels, place.eyes ?? place, oneSided && !eyes);
    seen = keepShort(f32, groups.depth / 4, groups.depth / 4 + (eyes ? eyes.positions.length / 3 : points.count));
    known.set(points, seen);
  } else if (!eyes) f32.set(seen, groups.depth / 4);
  if (eyes) for (let i = 0; i < points.count; i++) f32[groups.depth / 4 + i] = seen[eyes.of[i]!]!;
  if (calls.dimPoints(n, rules.sides, rules.leavesOn ? 1 : 0) === 0) return undefined;
  return keepShort(f32, groups.result / 4, groups.result / 4 + points.count * rules.sides);
}
