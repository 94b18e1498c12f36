import { clipFaceToRect, type Face, isInsideBlock, pointCovered, pointInFace, type SceneModel } from '../../scene/index.ts';
import { TILE_CELLS, TILE_SAMPLES, type TileRef } from '../types.ts';

/** Cell of level 0, metres; each level halves it. */
export const COARSEST_CELL_M = 0.32;
export const FINEST_LEVEL = 4;
/** Samples are judged hidden this far off their face. */
const STAND_OFF_M = 0.001;
const MEAN_ROUNDS = 6;

/** Origin, u, v, normal of a face: 12 numbers. */
export type FaceFrame = Float64Array;

/** One square of samples in the quadtree of a face. Leaves of the tree are the tiles of the field. */
export interface TileNode {
  ref: TileRef;
  frame: FaceFrame;
  i: number;
  j: number;
  children: TileNode[] | undefined;
  /** Bit i of row j: the sample lies on the face and is not hidden. */
  rows: Uint32Array;
  validCount: number;
  /** Rectangle round the valid samples, half a cell wider, in face coordinates. */
  sMin: number;
  sMax: number;
  tMin: number;
  tMax: number;
  /** How invalid samples read their valid neighbours: target, count, neighbours, again and again. */
  fill: Int32Array;
  /** Something is fixed to the face within 0.5 m. */
  nearCover: boolean;
  /** Its grid was shifted so that a sample falls on the little that is left of a covered face: it is never split. */
  isShifted: boolean;
  /** Metres from its valid samples to the nearest place where eyes come; 0 where nothing is known of eyes. */
  viewerM: number;
}

export function faceFrame(face: Face): FaceFrame {
  return Float64Array.from([...face.origin, ...face.u, ...face.v, ...face.normal]);
}

export const cellOfLevel = (level: number): number => COARSEST_CELL_M / 2 ** level;

/** Coarsest cell of narrow faces. */
const NARROW_CELL_M = 0.16;

/**
 * Coarsest level of a face: a narrow face starts with cells that fit it, or with one row of 16 cm along its middle; a small one
 * with the finest cells with which it still takes one tile.
 */
export function baseLevel(face: Face): number {
  const wanted = Math.max(Math.min(face.widthM, face.heightM) / 1.5, NARROW_CELL_M);
  const longest = Math.max(face.widthM, face.heightM);
  let level = 0;
  while (level < FINEST_LEVEL && cellOfLevel(level + 1) >= face.finestM * 0.99) {
    const fitsFiner = longest < (TILE_CELLS - 1) * cellOfLevel(level + 1);
    if (cellOfLevel(level) <= wanted && !fitsFiner) break;
    level++;
  }
  return level;
}

/** Where tile `k` begins along a side of a face; a face narrower than a cell lies with its middle on the first samples. */
function tileStartM(sizeM: number, cellM: number, k: number): number {
  return cellM > sizeM ? (sizeM - cellM) / 2 : k * cellM * TILE_CELLS;
}

/** Finest level a face may ask for. */
export function finestLevel(face: Face): number {
  let level = 0;
  while (level < FINEST_LEVEL && cellOfLevel(level + 1) >= face.finestM * 0.99) level++;
  return Math.max(level, baseLevel(face));
}

/** Static coarse cover of a face. */
export function rootNodes(scene: SceneModel, index: number): TileNode[] {
  const face = scene.faces[index]!;
  const level = baseLevel(face);
  const side = cellOfLevel(level) * TILE_CELLS;
  const frame = faceFrame(face);
  const out: TileNode[] = [];
  for (let j = 0; j * side < face.heightM - 1e-6; j++) {
    for (let i = 0; i * side < face.widthM - 1e-6; i++) {
      const node = createNode(scene, index, frame, level, i, j);
      if (node) out.push(node);
    }
  }
  return out;
}

/** Where the one tile of a face must begin so that a sample falls on a visible place; undefined where there is none. */
function startThroughVisible(scene: SceneModel, node: TileNode): [number, number] | undefined {
  const { face: index, cellM } = node.ref;
  const place = visiblePlace(scene, scene.faces[index]!, node.frame);
  const start = (at: number): number => at - cellM / 2 - Math.ceil(at / cellM - 0.5) * cellM;
  return place && [start(place[0]), start(place[1])];
}

const SEARCH = 48;
/** What is left of a covered face is mostly a strip along an edge. */
const EDGE_M = 0.004;

/** A place of a face that nothing hides: strips along its edges first, then a grid. */
function visiblePlace(scene: SceneModel, face: Face, f: FaceFrame): [number, number] | undefined {
  const near = { blocks: blocksNear(scene, f, 0, 0, Math.max(face.widthM, face.heightM)) };
  const places = (sizeM: number): number[] => [
    Math.min(EDGE_M, sizeM / 2),
    Math.max(sizeM - EDGE_M, sizeM / 2),
    ...Array.from({ length: SEARCH }, (_, k) => ((k + 0.5) / SEARCH) * sizeM),
  ];
  const across = places(face.widthM);
  for (const t of places(face.heightM)) {
    for (const s of across) {
      if (!pointInFace(face, s, t) || pointCovered(face, s, t)) continue;
      const p = [0, 1, 2].map((c) => f[c]! + s * f[3 + c]! + t * f[6 + c]! + STAND_OFF_M * f[9 + c]!);
      if (!isInsideBlock(near, p as [number, number, number])) return [s, t];
    }
  }
  return undefined;
}

/** The quarters of a tile that meet the face, with cells half as wide. */
export function childNodes(scene: SceneModel, node: TileNode): TileNode[] {
  const out: TileNode[] = [];
  for (let q = 0; q < 4; q++) {
    const child = createNode(scene, node.ref.face, node.frame, node.ref.level + 1, 2 * node.i + (q & 1), 2 * node.j + (q >> 1));
    if (child) out.push(child);
  }
  return out;
}

/** The square of a face at a level and place, with its own samples marked; undefined where nothing of the face lies in it. */
export function nodeAt(
  scene: SceneModel,
  face: number,
  frame: FaceFrame,
  level: number,
  i: number,
  j: number,
): TileNode | undefined {
  return createNode(scene, face, frame, level, i, j);
}

function createNode(
  scene: SceneModel,
  faceIndex: number,
  frame: FaceFrame,
  level: number,
  i: number,
  j: number,
  start?: readonly [number, number],
): TileNode | undefined {
  const face = scene.faces[faceIndex]!;
  const cellM = cellOfLevel(level);
  const side = cellM * TILE_CELLS;
  const ref: TileRef = {
    id: `${face.id}#${level}/${i}/${j}`,
    slot: -1,
    face: faceIndex,
    level,
    cellM,
    s0M: start?.[0] ?? tileStartM(face.widthM, cellM, i),
    t0M: start?.[1] ?? tileStartM(face.heightM, cellM, j),
  };
  if ((i > 0 && ref.s0M <= 0) || (j > 0 && ref.t0M <= 0)) return undefined;
  if (ref.s0M >= face.widthM || ref.t0M >= face.heightM) return undefined;
  const node: TileNode = {
    ref,
    frame,
    i,
    j,
    children: undefined,
    rows: new Uint32Array(TILE_SAMPLES),
    validCount: 0,
    sMin: Infinity,
    sMax: -Infinity,
    tMin: Infinity,
    tMax: -Infinity,
    fill: new Int32Array(0),
    nearCover: face.covers.some(
      (c) => c.s0 < ref.s0M + side + 0.5 && c.s1 > ref.s0M - 0.5 && c.t0 < ref.t0M + side + 0.5 && c.t1 > ref.t0M - 0.5,
    ),
    isShifted: start !== undefined,
    viewerM: 0,
  };
  markValid(scene, face, node);
  if (node.validCount === 0 && start === undefined && Math.max(face.widthM, face.heightM) < side - cellM) {
    const through = startThroughVisible(scene, node);
    if (through) return createNode(scene, faceIndex, frame, level, i, j, through);
  }
  if (node.validCount === 0 && clipFaceToRect(face, ref.s0M, ref.t0M, ref.s0M + side, ref.t0M + side).length === 0) {
    return undefined;
  }
  node.fill = fillPlan(face, node);
  node.viewerM = distanceToViewers(scene, node);
  return node;
}

/** Distance of the bounding sphere of the valid samples from the nearest viewer. */
function distanceToViewers(scene: SceneModel, node: TileNode): number {
  if (node.validCount === 0 || !scene.viewersM?.length) return 0;
  const f = node.frame;
  const s = (node.sMin + node.sMax) / 2;
  const t = (node.tMin + node.tMax) / 2;
  let least = Infinity;
  for (const v of scene.viewersM) {
    const x = f[0]! + s * f[3]! + t * f[6]! - v[0];
    const y = f[1]! + s * f[4]! + t * f[7]! - v[1];
    const z = f[2]! + s * f[5]! + t * f[8]! - v[2];
    least = Math.min(least, x * x + y * y + z * z);
  }
  return Math.max(0, Math.sqrt(least) - Math.hypot(node.sMax - node.sMin, node.tMax - node.tMin) / 2);
}

function markValid(scene: SceneModel, face: Face, node: TileNode): void {
  const { cellM, s0M, t0M } = node.ref;
  const side = cellM * TILE_CELLS;
  const f = node.frame;
  const near = { blocks: blocksNear(scene, f, s0M - cellM, t0M - cellM, side + 2 * cellM) };
  const covered = face.covers.length > 0;
  const p: [number, number, number] = [0, 0, 0];
  for (let j = 0; j < TILE_SAMPLES; j++) {
    const t = t0M + (j - 0.5) * cellM;
    if (t < 0 || t > face.heightM) continue;
    let row = 0;
    for (let i = 0; i < TILE_SAMPLES; i++) {
      const s = s0M + (i - 0.5) * cellM;
      if (s > face.widthM) break;
      if (!pointInFace(face, s, t) || (covered && pointCovered(face, s, t))) continue;
      if (near.blocks.length > 0) {
        for (let k = 0; k < 3; k++) p[k] = f[k]! + s * f[3 + k]! + t * f[6 + k]! + STAND_OFF_M * f[9 + k]!;
        if (isInsideBlock(near, p)) continue;
      }
      row |= 1 << i;
      node.validCount++;
      node.sMin = Math.min(node.sMin, s - cellM / 2);
      node.sMax = Math.max(node.sMax, s + cellM / 2);
      node.tMin = Math.min(node.tMin, t - cellM / 2);
      node.tMax = Math.max(node.tMax, t + cellM / 2);
    }
    node.rows[j] = row >>> 0;
  }
}

function blocksNear(scene: SceneModel, f: FaceFrame, s0: number, t0: number, side: number): SceneModel['blocks'] {
  if (scene.blocks.length === 0) return [];
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  for (let c = 0; c < 4; c++) {
    for (let k = 0; k < 3; k++) {
      const x = f[k]! + (s0 + (c & 1) * side) * f[3 + k]! + (t0 + (c >> 1) * side) * f[6 + k]! + STAND_OFF_M * f[9 + k]!;
      min[k] = Math.min(min[k]!, x);
      max[k] = Math.max(max[k]!, x);
    }
  }
  return scene.blocks.filter((b) => [0, 1, 2].every((k) => b.max[k]! >= min[k]! && b.min[k]! <= max[k]!));
}

const known = new Uint8Array(TILE_SAMPLES * TILE_SAMPLES);
const grown = new Int16Array(TILE_SAMPLES * TILE_SAMPLES);
const plan = new Int32Array(TILE_SAMPLES * TILE_SAMPLES * 10);

/** First and last sample whose linear interpolation reaches a side of a face. */
function reach(sizeM: number, startM: number, cellM: number): [number, number] {
  const low = Math.floor((0 - startM) / cellM + 0.5);
  const high = Math.ceil((sizeM - startM) / cellM + 0.5);
  return [Math.max(0, low), Math.min(TILE_SAMPLES - 1, high)];
}

/**
 * Grow valid samples outward by rounds, as far as the face goes; every new sample is the mean of the eight neighbours known
 * before its round, and after six rounds, far under a cover, a copy of one.
 */
function fillPlan(face: Face, node: TileNode): Int32Array {
  if (node.validCount === 0) return new Int32Array(0);
  const { rows } = node;
  const { s0M, t0M, cellM } = node.ref;
  for (let k = 0; k < known.length; k++) known[k] = (rows[k >> 5]! >>> (k & 31)) & 1;
  const [iLow, iHigh] = reach(face.widthM, s0M, cellM);
  const [jLow, jHigh] = reach(face.heightM, t0M, cellM);
  let length = 0;
  for (let round = 0; ; round++) {
    const most = round < MEAN_ROUNDS ? 8 : 1;
    let count = 0;
    for (let j = jLow; j <= jHigh; j++) {
      for (let k = j * TILE_SAMPLES + iLow; k <= j * TILE_SAMPLES + iHigh; k++) {
        if (known[k]) continue;
        const n = Math.min(most, knownNeighbours(k, length + 2));
        if (n === 0) continue;
        plan[length] = k;
        plan[length + 1] = n;
        length += 2 + n;
        grown[count++] = k;
      }
    }
    if (count === 0) break;
    for (let g = 0; g < count; g++) known[grown[g]!] = 1;
  }
  return plan.slice(0, length);
}

function knownNeighbours(k: number, at: number): number {
  const i = k & 31;
  const j = k >> 5;
  let n = 0;
  for (let b = Math.max(0, j - 1); b <= Math.min(31, j + 1); b++) {
    for (let a = Math.max(0, i - 1); a <= Math.min(31, i + 1); a++) {
      if (known[b * 32 + a]) plan[at + n++] = b * 32 + a;
    }
  }
  return n;
}

/** Applies a fill plan to the three numbers of each sample, starting at `at`. */
export function fillInvalid(plan: Int32Array, values: Float32Array, at: number): void {
  for (let p = 0; p < plan.length; ) {
    const n = plan[p + 1]!;
    let [x, y, z] = [0, 0, 0];
    for (let k = p + 2; k < p + 2 + n; k++) {
      const from = at + plan[k]! * 3;
      x += values[from]!;
      y += values[from + 1]!;
      z += values[from + 2]!;
    }
    const target = at + plan[p]! * 3;
    values[target] = x / n;
    values[target + 1] = y / n;
    values[target + 2] = z / n;
    p += 2 + n;
  }
}
