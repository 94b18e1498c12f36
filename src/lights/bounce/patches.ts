import type { Face, SceneModel, Vec2 } from '../../scene/index.ts';
import type { Rect } from './clip.ts';
import { boundsOf, clipToRect, insideLoops, loopArea, loopSigns, meetsRect } from './clip.ts';
import type { CutSizes, Footprint, InnerLines } from './cuts.ts';
import { coarsenessAt, coarsenessOf, cutsOf, footprintsOn, innerLinesOf } from './cuts.ts';
import type { FaceGrid } from './grid.ts';
import { emptyGrid, fillNearest } from './grid.ts';
import { type LeafCells, leafCellsOf } from './leafCells.ts';
import { sobol } from './sequence.ts';
import type { BounceCaster, Patch } from './types.ts';

/** Points tried on a patch to learn which part of it is free and what it is made of. */
const PROBES = 25;
const probes = probePoints();
const CHANNELS = [0, 1, 2] as const;
const BLACK = [0, 0, 0] as const;
/** Points of `pointsOf`. */
const POINTS = 8;
/** Points of direct light stand this far off their face, metres. */
export const STAND_OFF_M = 0.005;

function probePoints(): Float64Array {
  const out = new Float64Array(PROBES * 2);
  for (let k = 0; k < PROBES; k++) sobol(k, 0, out.subarray(k * 2, k * 2 + 2));
  return out;
}

/** Patches of a whole scene, and where they are. */
export interface PatchSet {
  patches: Patch[];
  areaM2: Float64Array;
  /** 3 numbers a patch. */
  reflectance: Float64Array;
  grids: (FaceGrid | undefined)[];
  /** Rectangle to draw points from, 4 numbers a patch: bounds of the part of the cell on the face. */
  bounds: Float64Array;
  /** Points (s, t) on the free part of a patch that does not fill its bounds; `undefined`: every point of them is free. */
  spots: (Float64Array | undefined)[];
  /** Patches on faces; cells of leaves follow. */
  flat: number;
  leaves: LeafCells;
}

/**
 * Cut every face into patches. Where the grid would have more cells than `most`, all sizes grow until it fits: cells are
 * counted first, then cut once. Yields between rows of cells.
 */
export function* patchSteps(
  scene: SceneModel,
  caster: BounceCaster,
  sizes: CutSizes,
  most: number,
): Generator<void, PatchSet, void> {
  const faces: CutFace[] = [];
  for (const face of scene.faces) {
    faces.push(toCut(face, scene, caster));
    if (faces.length % FACES_A_STEP === 0) yield;
  }
  let { patchM, farPatchM } = sizes;
  for (let attempt = 0; attempt < 12; attempt++) {
    let cells = 0;
    for (const { face, near, inner, coarseness } of faces) {
      const cuts = cutsOf(face, near, inner, { ...sizes, patchM, farPatchM }, coarseness);
      cells += (cuts.s.length - 1) * (cuts.t.length - 1);
    }
    if (cells <= most) break;
    const grow = Math.max(1.06, Math.sqrt(cells / most) ** 0.8);
    patchM *= grow;
    farPatchM *= grow;
    yield;
  }
  const leaves = leafCellsOf(scene, caster);
  yield;
  return yield* cutAll(scene, faces, { ...sizes, patchM, farPatchM }, leaves);
}

/** Faces looked over between two pauses. */
const FACES_A_STEP = 16;

/** A face with what stands on it and rises from it. */
interface CutFace {
  face: Face;
  footprints: Footprint[];
  /** Those that cut it finely: ground does not for what stands far outside the property. */
  near: Rect[];
  inner: InnerLines;
  coarseness: number;
}

function toCut(face: Face, scene: SceneModel, caster: BounceCaster): CutFace {
  const footprints = footprintsOn(face, scene);
  const coarseness = coarsenessOf(scene, face);
  const near = footprints.filter(({ block }) => {
    const { min, max } = scene.blocks[block]!;
    return coarsenessAt(scene, min, max) <= coarseness;
  });
  return { face, footprints, near: near.map((f) => f.rect), inner: innerLinesOf(face, caster), coarseness };
}

function* cutAll(
  scene: SceneModel,
  faces: readonly CutFace[],
  sizes: CutSizes,
  leaves: LeafCells,
): Generator<void, PatchSet, void> {
  const draft: PatchDraft = { patches: [], bounds: [], spots: [] };
  const grids: (FaceGrid | undefined)[] = [];
  for (let index = 0; index < faces.length; index++) grids.push(yield* cutFace(scene, index, faces[index]!, sizes, draft));
  const flat = draft.patches.length;
  leaves.areaM2.forEach((areaM2, cell) => {
    const [r, g, b] = leaves.reflectance.subarray(cell * 3, cell * 3 + 3);
    draft.patches.push({ ...NO_PLACE, face: -1, leaves: true, areaM2, reflectanceRgb: [r!, g!, b!] });
    draft.bounds.push(0, 0, 0, 0);
    draft.spots.push(undefined);
  });
  return {
    flat,
    leaves,
    patches: draft.patches,
    areaM2: Float64Array.from(draft.patches, (p) => p.areaM2),
    reflectance: Float64Array.from(draft.patches.flatMap((p) => p.reflectanceRgb)),
    grids,
    bounds: Float64Array.from(draft.bounds),
    spots: draft.spots,
  };
}

const NO_PLACE = { s0M: 0, t0M: 0, s1M: 0, t1M: 0 } as const;

interface PatchDraft {
  patches: Patch[];
  bounds: number[];
  spots: (Float64Array | undefined)[];
}

function* cutFace(
  scene: SceneModel,
  index: number,
  { footprints, near, inner, coarseness }: CutFace,
  sizes: CutSizes,
  draft: PatchDraft,
): Generator<void, FaceGrid | undefined, void> {
  const face = scene.faces[index]!;
  if (!(face.widthM > 0 && face.heightM > 0) || face.loops.length === 0) return undefined;
  const free = freeTest(face, scene, footprints);
  const obstacles = [...face.covers, ...footprints.map((f) => f.rect)];
  const cuts = cutsOf(face, near, inner, sizes, coarseness);
  const materialAt = materialTest(face);
  const grid = emptyGrid(cuts.s, cuts.t);
  const signs = loopSigns(face.loops);
  for (let j = 0; j < grid.rows; j++) {
    for (let i = 0; i < grid.columns; i++) {
      const rect = { s0: grid.s[i]!, t0: grid.t[j]!, s1: grid.s[i + 1]!, t1: grid.t[j + 1]! };
      const cut = cutCell(scene, face, signs, rect, obstacles, free, materialAt);
      if (!cut) continue;
      grid.cell[j * grid.columns + i] = draft.patches.length;
      draft.patches.push({
        face: index,
        leaves: false,
        s0M: rect.s0,
        t0M: rect.t0,
        s1M: rect.s1,
        t1M: rect.t1,
        areaM2: cut.areaM2,
        reflectanceRgb: cut.reflectanceRgb,
      });
      draft.bounds.push(cut.bounds.s0, cut.bounds.t0, cut.bounds.s1, cut.bounds.t1);
      draft.spots.push(cut.whole ? undefined : spotsIn(cut.bounds, free));
    }
    yield;
  }
  fillNearest(grid);
  return grid;
}

/** Points kept for a patch that does not fill its bounds, and how many places are tried to find them. */
const SPOTS = 24;
const SPOT_TRIES = 192;

/** Evenly spread points of the free part; the middle of the bounds where none is found. */
function spotsIn(r: Rect, free: (s: number, t: number) => boolean): Float64Array {
  const out = new Float64Array(SPOTS * 2);
  const p = new Float64Array(2);
  let n = 0;
  for (let k = 0; k < SPOT_TRIES && n < SPOTS; k++) {
    sobol(k, 1, p);
    const s = r.s0 + (r.s1 - r.s0) * p[0]!;
    const t = r.t0 + (r.t1 - r.t0) * p[1]!;
    if (!free(s, t)) continue;
    out[n * 2] = s;
    out[n * 2 + 1] = t;
    n++;
  }
  return n > 0 ? out.slice(0, n * 2) : Float64Array.of((r.s0 + r.s1) / 2, (r.t0 + r.t1) / 2);
}

/** One test a face: on it, under no cover, in no solid. */
function freeTest(face: Face, scene: SceneModel, footprints: readonly Footprint[]) {
  return (s: number, t: number): boolean => {
    if (!insideLoops(s, t, face.loops)) return false;
    for (const c of face.covers) if (s > c.s0 && s < c.s1 && t > c.t0 && t < c.t1) return false;
    for (const { rect, block } of footprints) {
      if (s < rect.s0 || s > rect.s1 || t < rect.t0 || t > rect.t1) continue;
      const p = (axis: 0 | 1 | 2): number =>
        face.origin[axis] + s * face.u[axis] + t * face.v[axis] + STAND_OFF_M * face.normal[axis];
      if (insideBlock(scene.blocks[block]!.planes, p(0), p(1), p(2))) return false;
    }
    return true;
  };
}

function insideBlock(planes: Float32Array, x: number, y: number, z: number): boolean {
  for (let i = 0; i < planes.length; i += 4) {
    if (planes[i]! * x + planes[i + 1]! * y + planes[i + 2]! * z > planes[i + 3]!) return false;
  }
  return true;
}

interface CutCell {
  areaM2: number;
  reflectanceRgb: readonly [number, number, number];
  bounds: Rect;
  whole: boolean;
}

/** The part of a cell that lies on the face and is free; `undefined` when nothing is left. */
function cutCell(
  scene: SceneModel,
  face: Face,
  signs: readonly number[],
  rect: Rect,
  obstacles: readonly Rect[],
  free: (s: number, t: number) => boolean,
  materialAt: (s: number, t: number) => number,
): CutCell | undefined {
  let area = 0;
  const bounds = { s0: Infinity, t0: Infinity, s1: -Infinity, t1: -Infinity };
  face.loops.forEach((loop, i) => {
    if (!meetsRect(loop, rect)) return;
    const part = clipToRect(loop, rect);
    if (part.length < 3) return;
    area += signs[i]! * loopArea(part);
    if (signs[i]! > 0) widen(bounds, part);
  });
  const full = (rect.s1 - rect.s0) * (rect.t1 - rect.t0);
  if (area < 1e-6 * full || area < 1e-7) return undefined;
  const clear = obstacles.every((o) => o.s1 <= rect.s0 || o.s0 >= rect.s1 || o.t1 <= rect.t0 || o.t0 >= rect.t1);
  const filled = area > full * (1 - 1e-9);
  if (filled && clear && face.patches.every(({ loop }) => !meetsRect(loop, rect))) {
    return { areaM2: area, reflectanceRgb: scene.materials[face.material]?.reflectanceRgb ?? BLACK, bounds, whole: true };
  }
  const found = probe(scene, face, bounds, filled, clear ? undefined : free, materialAt);
  if (found.freeShare <= 0) return undefined;
  const whole = filled && found.freeShare === 1;
  return { areaM2: area * found.freeShare, reflectanceRgb: found.reflectanceRgb, bounds, whole };
}

function widen(bounds: Rect, loop: readonly Vec2[]): void {
  for (const [s, t] of loop) {
    bounds.s0 = Math.min(bounds.s0, s);
    bounds.s1 = Math.max(bounds.s1, s);
    bounds.t0 = Math.min(bounds.t0, t);
    bounds.t1 = Math.max(bounds.t1, t);
  }
}

/**
 * Free share of what lies on the face, and the mean reflectance of it. `filled`: the cell lies on the face wholly;
 * `free` is absent where nothing is in the way.
 */
function probe(
  scene: SceneModel,
  face: Face,
  r: Rect,
  filled: boolean,
  free: ((s: number, t: number) => boolean) | undefined,
  materialAt: (s: number, t: number) => number,
): { freeShare: number; reflectanceRgb: readonly [number, number, number] } {
  const sum: [number, number, number] = [0, 0, 0];
  let [on, kept] = [0, 0];
  for (let k = 0; k < PROBES; k++) {
    const s = r.s0 + (r.s1 - r.s0) * probes[k * 2]!;
    const t = r.t0 + (r.t1 - r.t0) * probes[k * 2 + 1]!;
    if (!filled && !insideLoops(s, t, face.loops)) continue;
    on++;
    if (free && !free(s, t)) continue;
    kept++;
    const rho = scene.materials[materialAt(s, t)]?.reflectanceRgb ?? BLACK;
    for (const c of CHANNELS) sum[c] += rho[c];
  }
  if (on === 0) return { freeShare: 1, reflectanceRgb: scene.materials[face.material]?.reflectanceRgb ?? BLACK };
  const mean = Math.max(1, kept);
  return { freeShare: kept / on, reflectanceRgb: [sum[0] / mean, sum[1] / mean, sum[2] / mean] };
}

/** Material at a place: the last painted area that holds it, else the face's own. */
function materialTest(face: Face): (s: number, t: number) => number {
  const painted = face.patches.map((p) => ({ bounds: boundsOf(p.loop), loops: [p.loop], material: p.material }));
  painted.reverse();
  return (s, t) => {
    for (const { bounds: b, loops, material } of painted) {
      if (s >= b.s0 && s <= b.s1 && t >= b.t0 && t <= b.t1 && insideLoops(s, t, loops)) return material;
    }
    return face.material;
  };
}

/** Place (s, t) of a patch for two numbers 0…1, into `out`. */
export function placeOn(set: PatchSet, patch: number, p: number, q: number, out: Float64Array): void {
  const spots = set.spots[patch];
  if (spots) {
    const k = Math.min(spots.length / 2 - 1, Math.floor((p * spots.length) / 2)) * 2;
    out[0] = spots[k]!;
    out[1] = spots[k + 1]!;
    return;
  }
  const b = patch * 4;
  out[0] = set.bounds[b]! + (set.bounds[b + 2]! - set.bounds[b]!) * p;
  out[1] = set.bounds[b + 1]! + (set.bounds[b + 3]! - set.bounds[b + 1]!) * q;
}

/** Points spread evenly over the free part of a patch, world axes, off the face by `STAND_OFF_M`; 3 numbers each. */
export function pointsOf(set: PatchSet, scene: SceneModel, patch: number, count: number = POINTS): Float64Array {
  if (patch >= set.flat) return leafPoints(set, patch, count);
  const face = scene.faces[set.patches[patch]!.face]!;
  const out = new Float64Array(count * 3);
  const p = new Float64Array(2);
  for (let k = 0; k < count; k++) {
    sobol(k, patch, p);
    placeOn(set, patch, p[0]!, p[1]!, p);
    for (const axis of CHANNELS) {
      out[k * 3 + axis] = face.origin[axis] + p[0]! * face.u[axis] + p[1]! * face.v[axis] + STAND_OFF_M * face.normal[axis];
    }
  }
  return out;
}

/** Some of the places of a cell of leaves, evenly drawn. */
function leafPoints(set: PatchSet, patch: number, count: number): Float64Array {
  const spots = set.leaves.spots[patch - set.flat]!;
  const all = spots.length / 3;
  const n = Math.min(count, all);
  const out = new Float64Array(n * 3);
  for (let k = 0; k < n; k++) {
    const from = Math.floor(((k + 0.5) * all) / n) * 3;
    out.set(spots.subarray(from, from + 3), k * 3);
  }
  return out;
}
