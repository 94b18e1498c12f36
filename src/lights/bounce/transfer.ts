import { SKY_BASIS_COUNT, skyBasis } from '../../exposure/index.ts';
import type { SceneModel } from '../../scene/index.ts';
import type { PatchSet } from './patches.ts';
import { patchAt } from './grid.ts';
import { placeOn } from './patches.ts';
import { cosineDirection, sobol } from './sequence.ts';
import { createSheets } from './sheets.ts';
import type { BounceCaster, BounceHit } from './types.ts';

/** Rays start this far off their patch, metres: more would lose the light of inner corners. */
export const RAY_START_M = 0.0002;
export const FAR_M = 1e4;
/** What is nearer than this can change the light of a patch against its neighbour's, metres. */
const NEAR_M = 1.6;
/** Patches between two yields. */
const PATCHES_A_STEP = 8;
/** Rounds of balancing; what is left is put right by scaling rows. */
const BALANCE_ROUNDS = 8;

/** What the rays of one patch met so far; leaves on and bare kept apart. */
interface Row {
  columns: Int32Array;
  on: Float32Array;
  bare: Float32Array;
}

/** The transfer before any ray: no light comes or goes. */
export function noTransfer(patches: number): Transfer {
  const none = (): Float64Array => new Float64Array(patches);
  const on = new Float32Array(0);
  return {
    start: new Int32Array(patches + 1),
    column: new Int32Array(0),
    on,
    bare: on,
    escapedOn: none(),
    escapedBare: none(),
    skyOn: new Float64Array(patches * SKY_BASIS_COUNT),
    skyBare: new Float64Array(patches * SKY_BASIS_COUNT),
  };
}

/** Everything the rays found, before balancing. */
export interface RayTally {
  rays: number;
  rows: Row[];
  /** Share of each patch's rays that left, leaves on / bare. */
  escapedOn: Float64Array;
  escapedBare: Float64Array;
  /** Rays that met something nearer than `NEAR_M`. */
  near: Float64Array;
  /** Σ T·b_k(ω) over the rays that left toward the sky, `SKY_BASIS_COUNT` numbers a patch. */
  skyOn: Float64Array;
  skyBare: Float64Array;
}

/** Sparse rows: share of the flux leaving patch i that arrives at patch j. */
export interface Transfer {
  start: Int32Array;
  column: Int32Array;
  on: Float32Array;
  /** The same array as `on` when the scene has no leaves. */
  bare: Float32Array;
  /** Share of the flux leaving patch i that leaves the scene. */
  escapedOn: Float64Array;
  escapedBare: Float64Array;
  /** Illuminance of each sky function at 1 cd/m², lux, direct, `SKY_BASIS_COUNT` numbers a patch. */
  skyOn: Float64Array;
  skyBare: Float64Array;
}

export function emptyTally(patches: number): RayTally {
  const none = (): Row => ({ columns: new Int32Array(0), on: new Float32Array(0), bare: new Float32Array(0) });
  return {
    rays: 0,
    rows: Array.from({ length: patches }, none),
    escapedOn: new Float64Array(patches),
    escapedBare: new Float64Array(patches),
    near: new Float64Array(patches),
    skyOn: new Float64Array(patches * SKY_BASIS_COUNT),
    skyBare: new Float64Array(patches * SKY_BASIS_COUNT),
  };
}

/**
 * Shoot cosine-weighted rays from every patch until it has `rays` of them; counts stay raw (sums, not shares).
 * Yields every few patches. A tally given up half-way must not be used: work on a copy of the rows.
 */
export function* shootRays(
  scene: SceneModel,
  caster: BounceCaster,
  set: PatchSet,
  before: RayTally,
  rays: number,
): Generator<{ done: number; of: number }, RayTally, void> {
  const n = set.patches.length;
  const after: RayTally = {
    rays,
    rows: before.rows.slice(),
    escapedOn: before.escapedOn.slice(),
    escapedBare: before.escapedBare.slice(),
    near: before.near.slice(),
    skyOn: before.skyOn.slice(),
    skyBare: before.skyBare.slice(),
  };
  const shooter = createShooter(scene, caster, set);
  for (let patch = 0; patch < n; patch++) {
    shooter(patch, before.rays, rays, after);
    if (patch % PATCHES_A_STEP === 0) yield { done: patch, of: n };
  }
  yield { done: n, of: n };
  return after;
}

function createShooter(scene: SceneModel, caster: BounceCaster, set: PatchSet) {
  const n = set.patches.length;
  const on = new Float32Array(n);
  const bare = new Float32Array(n);
  const seen = new Uint8Array(n);
  const touched = new Int32Array(n);
  const hit: BounceHit = { distanceM: 0, face: -1, s: 0, t: 0, fromFront: false };
  const random = new Float64Array(4);
  const place = new Float64Array(2);
  const ray = new Float64Array(6);
  const sky = new Float64Array(SKY_BASIS_COUNT);
  const leafy = hasLeaves(scene);
  const turnOver = createSheets(scene);
  const frames = scene.faces.map((face) => Float64Array.of(...face.u, ...face.v, ...face.normal));
  const direction = ray.subarray(3);

  const fromFace = (patch: number): void => {
    const { face } = set.patches[patch]!;
    const f = scene.faces[face]!;
    placeOn(set, patch, random[0]!, random[1]!, place);
    cosineDirection(random[2]!, random[3]!, frames[face]!, direction);
    for (let k = 0; k < 3; k++) ray[k] = f.origin[k]! + place[0]! * f.u[k]! + place[1]! * f.v[k]! + RAY_START_M * f.normal[k]!;
  };

  const fromLeaves = (patch: number): void => {
    const spots = set.leaves.spots[patch - set.flat]!;
    const from = Math.min(spots.length / 3 - 1, Math.floor((random[0]! * spots.length) / 3)) * 3;
    const y = 2 * random[2]! - 1;
    const r = Math.sqrt(Math.max(0, 1 - y * y));
    for (let k = 0; k < 3; k++) ray[k] = spots[from + k]!;
    ray[3] = r * Math.cos(2 * Math.PI * random[3]!);
    ray[4] = y;
    ray[5] = r * Math.sin(2 * Math.PI * random[3]!);
  };

  return (patch: number, from: number, to: number, tally: RayTally): void => {
    let count = 0;
    const fromLeaf = patch >= set.flat;
    const take = (j: number, withLeaves: number, without: number): void => {
      if (!seen[j]) {
        seen[j] = 1;
        touched[count++] = j;
      }
      on[j]! += withLeaves;
      bare[j]! += without;
    };
    const row = tally.rows[patch]!;
    for (let k = 0; k < row.columns.length; k++) take(row.columns[k]!, row.on[k]!, row.bare[k]!);
    for (let index = from; index < to; index++) {
      sobol(index, patch, random);
      if (fromLeaf) fromLeaves(patch);
      else fromFace(patch);
      const [ox, oy, oz] = [ray[0]!, ray[1]!, ray[2]!];
      const [dx, dy, dz] = [ray[3]!, ray[4]!, ray[5]!];
      const struck = caster.nearest(ox, oy, oz, dx, dy, dz, FAR_M, hit);
      const reach = struck ? hit.distanceM : FAR_M;
      const T = leafy ? caster.leafTransmittance(ox, oy, oz, dx, dy, dz, reach) : 1;
      if (T < 1) {
        const cell = set.leaves.met(ox, oy, oz, dx, dy, dz, reach, T, ((index * 0.6180339887) % 1) * 0.998 + 0.001);
        if (cell >= 0) take(set.flat + cell, 1 - T, 0);
      }
      const without = fromLeaf ? 0 : 1;
      if (struck) {
        if (hit.distanceM < NEAR_M) tally.near[patch]!++;
        turnOver(hit);
        if (hit.face < 0 || !hit.fromFront) continue;
        const j = patchAt(set.grids[hit.face], hit.s, hit.t, true);
        if (j >= 0 && j !== patch) take(j, T, without);
        continue;
      }
      tally.escapedOn[patch]! += T;
      tally.escapedBare[patch]! += without;
      if (dy <= 0) continue;
      skyBasis(dx, dy, dz, sky);
      for (let k = 0; k < SKY_BASIS_COUNT; k++) {
        tally.skyOn[patch * SKY_BASIS_COUNT + k]! += T * sky[k]!;
        tally.skyBare[patch * SKY_BASIS_COUNT + k]! += without * sky[k]!;
      }
    }
    tally.rows[patch] = packRow(touched.subarray(0, count).sort(), on, bare, seen);
  };
}

export const hasLeaves = (scene: SceneModel): boolean =>
  scene.ellipsoids.length > 0 || scene.plants.some((p) => p.clumps.length > 0);

/** Copy the touched entries out and clear the scratch. */
function packRow(columns: Int32Array, on: Float32Array, bare: Float32Array, seen: Uint8Array): Row {
  const row: Row = {
    columns: columns.slice(),
    on: new Float32Array(columns.length),
    bare: new Float32Array(columns.length),
  };
  columns.forEach((j, k) => {
    row.on[k] = on[j]!;
    row.bare[k] = bare[j]!;
    on[j] = 0;
    bare[j] = 0;
    seen[j] = 0;
  });
  return row;
}

/**
 * Turn raw counts into a transfer. Reciprocity A_i·F_ij = A_j·F_ji is met by averaging both ways' estimates, each weighted
 * by the other's area (the small patch's own rays know better): G_ij = A_i·A_j·(F_ij + F_ji)/(A_i + A_j). Then rows are
 * balanced symmetrically (Sinkhorn) to the share their own rays found landing, and last scaled so that
 * Σ_j F_ij + escaped + taken = 1 exactly: no light is made or lost. Yields between its passes.
 */
export function* balancedTransfer(set: PatchSet, tally: RayTally, leafy: boolean): Generator<void, Transfer, void> {
  const { start, column, twin } = symmetricPattern(tally.rows);
  yield;
  const on = yield* balance(set, tally, start, column, twin, (row) => row.on);
  yield;
  const bare = leafy ? yield* balance(set, tally, start, column, twin, (row) => row.bare) : on;
  const perRay = 1 / tally.rays;
  const lux = Math.PI / tally.rays;
  return {
    start,
    column,
    on,
    bare,
    escapedOn: tally.escapedOn.map((v) => v * perRay),
    escapedBare: tally.escapedBare.map((v) => v * perRay),
    skyOn: tally.skyOn.map((v) => v * lux),
    skyBare: tally.skyBare.map((v) => v * lux),
  };
}

/** Union of both directions, columns ascending; `twin` is the place of (j, i) for each (i, j). */
function symmetricPattern(rows: readonly Row[]): { start: Int32Array; column: Int32Array; twin: Int32Array } {
  const n = rows.length;
  const incoming = transpose(rows);
  const start = new Int32Array(n + 1);
  let total = 0;
  for (let i = 0; i < n; i++) total += rows[i]!.columns.length + incoming.start[i + 1]! - incoming.start[i]!;
  const column = new Int32Array(total);
  let at = 0;
  for (let i = 0; i < n; i++) {
    start[i] = at;
    const own = rows[i]!.columns;
    let a = 0;
    let b = incoming.start[i]!;
    const end = incoming.start[i + 1]!;
    while (a < own.length || b < end) {
      const ja = a < own.length ? own[a]! : n;
      const jb = b < end ? incoming.row[b]! : n;
      column[at++] = Math.min(ja, jb);
      if (ja <= jb) a++;
      if (jb <= ja) b++;
    }
  }
  start[n] = at;
  return { start, column: column.slice(0, at), twin: twins(start, column, at) };
}

function transpose(rows: readonly Row[]): { start: Int32Array; row: Int32Array } {
  const n = rows.length;
  const start = new Int32Array(n + 1);
  for (const row of rows) for (const j of row.columns) start[j + 1]!++;
  for (let i = 0; i < n; i++) start[i + 1]! += start[i]!;
  const fill = start.slice();
  const row = new Int32Array(start[n]!);
  rows.forEach((r, i) => {
    for (const j of r.columns) row[fill[j]!++] = i;
  });
  return { start, row };
}

/** Rows are read in ascending order, so the next free place of row j is where (j, i) stands. */
function twins(start: Int32Array, column: Int32Array, total: number): Int32Array {
  const twin = new Int32Array(total);
  const next = start.slice();
  for (let i = 0; i + 1 < start.length; i++) {
    for (let e = start[i]!; e < start[i + 1]!; e++) twin[e] = next[column[e]!]!++;
  }
  return twin;
}

function* balance(
  set: PatchSet,
  tally: RayTally,
  start: Int32Array,
  column: Int32Array,
  twin: Int32Array,
  of: (row: Row) => Float32Array,
): Generator<void, Float32Array, void> {
  const n = set.patches.length;
  const A = set.areaM2;
  const F = new Float32Array(column.length);
  const landed = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const row = tally.rows[i]!;
    const weights = of(row);
    let e = start[i]!;
    for (let k = 0; k < weights.length; k++) {
      while (column[e]! < row.columns[k]!) e++;
      F[e] = weights[k]! / tally.rays;
      landed[i]! += F[e]!;
    }
  }
  const G = new Float32Array(column.length);
  for (let i = 0; i < n; i++) {
    for (let e = start[i]!; e < start[i + 1]!; e++) {
      const j = column[e]!;
      G[e] = ((A[i]! * A[j]!) / (A[i]! + A[j]!)) * (F[e]! + F[twin[e]!]!);
    }
  }
  yield;
  const d = yield* scalings(n, start, column, G, (i) => A[i]! * landed[i]!);
  for (let i = 0; i < n; i++) {
    let sum = 0;
    for (let e = start[i]!; e < start[i + 1]!; e++) {
      G[e]! *= d[i]! * d[column[e]!]!;
      sum += G[e]!;
    }
    const scale = sum > 0 ? landed[i]! / sum : 0;
    for (let e = start[i]!; e < start[i + 1]!; e++) G[e]! *= scale;
  }
  return G;
}

/** d with Σ_j d_i·G_ij·d_j near the wanted row sums: d_i ← d_i·√(wanted/now), a symmetric Sinkhorn step. */
function* scalings(
  n: number,
  start: Int32Array,
  column: Int32Array,
  G: Float32Array,
  wanted: (i: number) => number,
): Generator<void, Float64Array, void> {
  const d = new Float64Array(n).fill(1);
  const now = new Float64Array(n);
  for (let round = 0; round < BALANCE_ROUNDS; round++) {
    for (let i = 0; i < n; i++) {
      let sum = 0;
      for (let e = start[i]!; e < start[i + 1]!; e++) sum += G[e]! * d[column[e]!]!;
      now[i] = sum * d[i]!;
    }
    for (let i = 0; i < n; i++) if (now[i]! > 0) d[i]! *= Math.min(2, Math.sqrt(wanted(i) / now[i]!));
    yield;
  }
  return d;
}
