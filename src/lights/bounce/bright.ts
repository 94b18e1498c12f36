import type { SceneModel } from '../../scene/index.ts';
import type { PatchSet } from './patches.ts';
import { placeOn } from './patches.ts';
import { quadFactor } from './quadFactor.ts';
import { sobol } from './sequence.ts';
import type { Transfer } from './transfer.ts';
import type { BounceCaster } from './types.ts';

/** Bright patches are sharpened until this share of all reflected flux leaves by sharp rows, and no more than so many. */
const SHARE = 0.9;
const MOST = 400;
/** Pairs nearer than this many times the larger patch are taken by Lambert's polygon sum: from four points, from one. */
const NEAR = 2.5;
const MIDDLE = 6;
const RAYS = { near: 4, middle: 2, far: 1 } as const;
const OFF_M = 0.0002;
const SHORT_M = 0.0006;
/** Pairs that could exchange less than this share of a patch's light are left to the others. */
const LEAST_SHARE = 1e-6;

/** Where the light of one patch goes, worked out without dice: shares of its flux, before scaling. */
interface SharpRow {
  column: Int32Array;
  on: Float32Array;
  bare: Float32Array;
}

/** A sharp row scaled to what the rays of its patch found landing; leaf cells as the rays found them. */
export interface BrightRow {
  column: Int32Array;
  on: Float32Array;
  bare: Float32Array;
}

/**
 * Few patches send most of the bounced light: the foot of a wall above a grazer. Rays of all others seldom meet them, so
 * what they bring would be as uneven as dice. The rows of these are worked out to every patch that faces them: the
 * configuration factor (Lambert) times the share of rays between the two that pass.
 */
export interface Bright {
  /** Rows of sharpened patches, by patch. */
  rows: (BrightRow | undefined)[];
  /** Sharpens what is bright in this light and not sharp yet; yields between patches. */
  sharpen(directRgb: ArrayLike<number>, transfer: Transfer): Generator<void, void, void>;
  /** The rays are new: rows are scaled to them. */
  rescale(transfer: Transfer): void;
}

export function createBright(scene: SceneModel, caster: BounceCaster, set: PatchSet, leafy: boolean): Bright {
  const sharp = new Map<number, SharpRow>();
  const rows: (BrightRow | undefined)[] = [];
  const shapes = describe(scene, set);
  return {
    rows,
    *sharpen(directRgb, transfer) {
      for (const patch of brightest(set, directRgb)) {
        if (sharp.has(patch)) continue;
        const row = sharpRow(scene, caster, set, shapes, patch, leafy);
        sharp.set(patch, row);
        rows[patch] = scaled(set, transfer, patch, row);
        yield;
      }
    },
    rescale(transfer) {
      for (const [patch, row] of sharp) rows[patch] = scaled(set, transfer, patch, row);
    },
  };
}

/** Patches on faces by reflected flux, brightest first, until their share is reached. */
function brightest(set: PatchSet, directRgb: ArrayLike<number>): number[] {
  const flux = new Float64Array(set.flat);
  let all = 0;
  for (let i = 0; i < set.flat; i++) {
    for (let c = 0; c < 3; c++) flux[i]! += Math.abs(directRgb[i * 3 + c]!) * set.reflectance[i * 3 + c]! * set.areaM2[i]!;
    all += flux[i]!;
  }
  const order = Array.from(flux.keys()).sort((a, b) => flux[b]! - flux[a]!);
  let [sum, count] = [0, 0];
  while (count < Math.min(MOST, order.length) && sum < SHARE * all && flux[order[count]!]! > 0) sum += flux[order[count++]!]!;
  return order.slice(0, count);
}

interface Shapes {
  centre: Float64Array;
  normal: Float64Array;
  corners: Float64Array;
  reach: Float64Array;
  fill: Float64Array;
}

function describe(scene: SceneModel, set: PatchSet): Shapes {
  const n = set.flat;
  const out: Shapes = {
    centre: new Float64Array(n * 3),
    normal: new Float64Array(n * 3),
    corners: new Float64Array(n * 12),
    reach: new Float64Array(n),
    fill: new Float64Array(n),
  };
  for (let i = 0; i < n; i++) {
    const face = scene.faces[set.patches[i]!.face]!;
    const [s0, t0, s1, t1] = [0, 1, 2, 3].map((k) => set.bounds[i * 4 + k]!) as [number, number, number, number];
    const ring = [s0, t0, s1, t0, s1, t1, s0, t1];
    for (let k = 0; k < 3; k++) {
      const at = (s: number, t: number): number => face.origin[k]! + s * face.u[k]! + t * face.v[k]!;
      out.centre[i * 3 + k] = at((s0 + s1) / 2, (t0 + t1) / 2);
      out.normal[i * 3 + k] = face.normal[k]!;
      for (let c = 0; c < 4; c++) out.corners[i * 12 + c * 3 + k] = at(ring[c * 2]!, ring[c * 2 + 1]!);
    }
    out.reach[i] = Math.max(s1 - s0, t1 - t0);
    out.fill[i] = set.areaM2[i]! / Math.max(1e-12, (s1 - s0) * (t1 - t0));
  }
  return out;
}

const p = new Float64Array(3);
const place = new Float64Array(2);
const four = new Float64Array(4);

function worldOf(scene: SceneModel, set: PatchSet, patch: number, u: number, v: number): void {
  const face = scene.faces[set.patches[patch]!.face]!;
  placeOn(set, patch, u, v, place);
  for (let k = 0; k < 3; k++) p[k] = face.origin[k]! + place[0]! * face.u[k]! + place[1]! * face.v[k]! + OFF_M * face.normal[k]!;
}

function sharpRow(scene: SceneModel, caster: BounceCaster, set: PatchSet, shapes: Shapes, i: number, leafy: boolean): SharpRow {
  const { centre: C, normal: N, reach } = shapes;
  const column: number[] = [];
  const on: number[] = [];
  const bare: number[] = [];
  const [nx, ny, nz] = [N[i * 3]!, N[i * 3 + 1]!, N[i * 3 + 2]!];
  for (let j = 0; j < set.flat; j++) {
    const dx = C[j * 3]! - C[i * 3]!;
    const dy = C[j * 3 + 1]! - C[i * 3 + 1]!;
    const dz = C[j * 3 + 2]! - C[i * 3 + 2]!;
    const slack = reach[i]! + reach[j]!;
    const here = dx * nx + dy * ny + dz * nz;
    const there = -(dx * N[j * 3]! + dy * N[j * 3 + 1]! + dz * N[j * 3 + 2]!);
    const d2 = dx * dx + dy * dy + dz * dz;
    const ratio = (2 * Math.sqrt(d2)) / slack;
    if (ratio > MIDDLE ? here <= 0 || there <= 0 : here <= -slack || there <= -slack) continue;
    if (j === i) continue;
    const share =
      ratio > MIDDLE
        ? (here * there * set.areaM2[j]!) / (Math.PI * d2 * d2)
        : nearShare(scene, set, shapes, i, j, ratio > NEAR ? 1 : 4);
    if (share < LEAST_SHARE) continue;
    const rays = ratio > MIDDLE ? RAYS.far : ratio > NEAR ? RAYS.middle : RAYS.near;
    const seen = look(scene, caster, set, i, j, rays, leafy);
    if (seen.bare === 0) continue;
    column.push(j);
    on.push(share * seen.on);
    bare.push(share * seen.bare);
  }
  return { column: Int32Array.from(column), on: Float32Array.from(on), bare: Float32Array.from(bare) };
}

/** F from i to j of a near pair: the larger seen from points of the smaller. */
function nearShare(scene: SceneModel, set: PatchSet, shapes: Shapes, i: number, j: number, points: number): number {
  const [small, large] = set.areaM2[i]! <= set.areaM2[j]! ? [i, j] : [j, i];
  let F = 0;
  for (let k = 0; k < points; k++) {
    if (points === 1) worldOf(scene, set, small, 0.5, 0.5);
    else worldOf(scene, set, small, 0.25 + 0.5 * (k & 1), 0.25 + 0.5 * (k >> 1));
    F +=
      (quadFactor(shapes.corners, large * 12, shapes.normal, large * 3, p, shapes.normal, small * 3) * shapes.fill[large]!) /
      points;
  }
  return (F * set.areaM2[small]!) / set.areaM2[i]!;
}

const seen = { on: 0, bare: 0 };

function look(
  scene: SceneModel,
  caster: BounceCaster,
  set: PatchSet,
  i: number,
  j: number,
  rays: number,
  leafy: boolean,
): { on: number; bare: number } {
  let [open, passed] = [0, 0];
  for (let k = 0; k < rays; k++) {
    sobol(k, (i * 7919 + j) | 0, four);
    worldOf(scene, set, i, four[0]!, four[1]!);
    const [x, y, z] = [p[0]!, p[1]!, p[2]!];
    worldOf(scene, set, j, four[2]!, four[3]!);
    const [dx, dy, dz] = [p[0]! - x, p[1]! - y, p[2]! - z];
    const d = Math.sqrt(dx * dx + dy * dy + dz * dz);
    if (d > SHORT_M && caster.blocked(x, y, z, dx / d, dy / d, dz / d, d - SHORT_M)) continue;
    open++;
    passed += leafy && d > 0 ? caster.leafTransmittance(x, y, z, dx / d, dy / d, dz / d, d) : 1;
  }
  seen.on = passed / rays;
  seen.bare = open / rays;
  return seen;
}

/** Scales a row so that as much lands as the rays of the patch found landing on faces; leaves keep what the rays found. */
function scaled(set: PatchSet, transfer: Transfer, patch: number, row: SharpRow): BrightRow {
  const [from, to] = [transfer.start[patch]!, transfer.start[patch + 1]!];
  let split = to;
  while (split > from && transfer.column[split - 1]! >= set.flat) split--;
  const leafColumns = transfer.column.subarray(split, to);
  const fit = (weights: Float32Array, mine: Float32Array): Float32Array => {
    let [wanted, sum] = [0, 0];
    for (let e = from; e < split; e++) wanted += weights[e]!;
    for (const w of mine) sum += w;
    const scale = sum > 0 ? wanted / sum : 0;
    const out = new Float32Array(mine.length + leafColumns.length);
    for (let k = 0; k < mine.length; k++) out[k] = mine[k]! * scale;
    out.set(weights.subarray(split, to), mine.length);
    return out;
  };
  const column = new Int32Array(row.column.length + leafColumns.length);
  column.set(row.column);
  column.set(leafColumns, row.column.length);
  const on = fit(transfer.on, row.on);
  return { column, on, bare: transfer.bare === transfer.on ? on : fit(transfer.bare, row.bare) };
}
