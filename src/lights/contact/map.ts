import { isInsideBlock, pointCovered, pointInFace, type Face, type SceneModel } from '../../scene/index.ts';
import { faceFrame } from '../tiles/node.ts';
import { type Body, smallBodies } from './bodies.ts';
import { castShadow, countMarks, createShadow, DIRECTIONS, type FaceBody, markShadow, REACH_M, SIDE, toFrame } from './shade.ts';

/** Cell of the map, metres: that of tiles of level 3, whose samples lie where the map's do. */
export const CONTACT_CELL_M = 0.04;
export const SQUARE_M = (SIDE - 2) * CONTACT_CELL_M;

/** Share of the hemisphere hidden by small bodies near by, on one square of a face. */
export interface ContactSquare {
  s0M: number;
  t0M: number;
  /** Hidden directions of `DIRECTIONS` at sample (i, j). */
  hidden: Uint8Array;
  /** Bit i of row j: the sample lies on the face and in no body. */
  rows: Uint32Array;
  /** Cell with which straight lines between samples follow the shade, metres; ∞: any. */
  wantedCellM: number;
  /** Bodies and place that it was made from. */
  key: string;
}

/** Contact shade of one massing: squares where there is any, by face and `squareNumber`. */
export interface ContactMap {
  faces: ReadonlyMap<string, ReadonlyMap<number, ContactSquare>>;
  /** Tiles that it asks for, about. */
  asked: number;
}

export const squareNumber = (i: number, j: number): number => j * 65536 + i;

/** Kinds that look up and have nothing standing on them that anyone sees. */
const NO_GROUND: ReadonlySet<Face['kind']> = new Set([
  'roof',
  'water',
  'gable',
  'wallTop',
  'tread',
  'sill',
  'course',
  'lintel',
  'fascia',
]);
const UPWARD = 0.9;
const LEAST_SIDE_M = 0.5;

const receives = (face: Face): boolean =>
  face.sampled && face.normal[1] > UPWARD && Math.min(face.widthM, face.heightM) >= LEAST_SIDE_M && !NO_GROUND.has(face.kind);

/** Tiles that come with each square as fine as the map: itself, and what its coarser neighbours are cut into. */
const TILES_A_SQUARE = 1.4;

/**
 * Works out the contact shade of a massing; squares that stand as they did in `before` are taken over. Yields between
 * directions.
 */
export function* traceContact(scene: SceneModel, before?: ContactMap): Generator<void, ContactMap, void> {
  const receivers = scene.faces
    .filter(receives)
    .map((face) => ({ face, room: roomOver(faceFrame(face), face.widthM, face.heightM, REACH_M) }));
  const bodies = smallBodies(scene, (min, max) => receivers.some(({ room }) => !isApart({ min, max }, room)));
  yield;
  const faces = new Map<string, ReadonlyMap<number, ContactSquare>>();
  let asked = 0;
  for (const { face, room } of receivers) {
    const near = bodiesNear(
      face,
      bodies.filter((body) => !isApart(body, room)),
    );
    yield;
    if (near.length === 0) continue;
    const squares = yield* traceFace(scene, face, near, before?.faces.get(face.id));
    if (squares.size > 0) faces.set(face.id, squares);
    for (const { wantedCellM } of squares.values()) asked += TILES_A_SQUARE * Math.min(1, (CONTACT_CELL_M / wantedCellM) ** 2);
  }
  return { faces, asked: Math.ceil(asked) };
}

/** A body that may shade a face, with the squares it reaches. */
interface Near {
  body: FaceBody;
  key: string;
  squares: Draft[];
}

interface Draft {
  square: ContactSquare;
  marks: Uint32Array;
  counts: Uint16Array;
}

function bodiesNear(face: Face, bodies: readonly Body[]): Near[] {
  const frame = faceFrame(face);
  const out: Near[] = [];
  for (const body of bodies) {
    const own = toFrame(body, frame);
    const { min, max } = own;
    if (max[2] < 0.01 || min[2] > REACH_M) continue;
    if (max[0] < -REACH_M || max[1] < -REACH_M || min[0] > face.widthM + REACH_M || min[1] > face.heightM + REACH_M) continue;
    out.push({ body: own, key: body.key, squares: [] });
  }
  return out;
}

function* traceFace(
  scene: SceneModel,
  face: Face,
  near: Near[],
  before: ReadonlyMap<number, ContactSquare> | undefined,
): Generator<void, ReadonlyMap<number, ContactSquare>, void> {
  const frame = faceFrame(face);
  const place = [frame.join(), ...face.covers.map((c) => Object.values(c).join())].join(' ');
  const out = new Map<number, ContactSquare>();
  const drafts: Draft[] = [];
  for (const [number, list] of reached(face, near)) {
    const square = emptySquare(number & 65535, number >> 16);
    const blocks = blocksOver(scene, frame, square);
    square.key = [place, ...list.map(({ key }) => key), ...blocks.map((b) => b.planes.join())].join('|');
    const old = before?.get(number);
    out.set(number, old?.key === square.key ? old : square);
    if (old?.key === square.key) continue;
    markValid(face, frame, square, blocks);
    yield;
    const draft = { square, marks: new Uint32Array(SIDE), counts: new Uint16Array(SIDE * SIDE) };
    drafts.push(draft);
    for (const one of list) one.squares.push(draft);
  }
  yield;
  if (drafts.length > 0) yield* countHidden(near, drafts);
  for (const { square, counts } of drafts) {
    square.hidden.set(counts);
    square.wantedCellM = wantedCell(square);
  }
  for (const [number, { hidden }] of out) if (!hidden.some((n) => n > 0)) out.delete(number);
  return out;
}

/** Squares of a face that bodies reach, with those bodies. */
function reached(face: Face, near: readonly Near[]): Map<number, Near[]> {
  const out = new Map<number, Near[]>();
  const last = (sizeM: number): number => Math.max(0, Math.ceil(sizeM / SQUARE_M - 1e-6) - 1);
  const [lastI, lastJ] = [last(face.widthM), last(face.heightM)];
  for (const one of near) {
    const { min, max } = one.body;
    const room = Math.sqrt(REACH_M ** 2 - Math.max(0, min[2]) ** 2);
    const span = (low: number, high: number, end: number): [number, number] => [
      Math.max(0, Math.floor((low - room) / SQUARE_M)),
      Math.min(end, Math.floor((high + room) / SQUARE_M)),
    ];
    const [i0, i1] = span(min[0], max[0], lastI);
    const [j0, j1] = span(min[1], max[1], lastJ);
    for (let j = j0; j <= j1; j++) {
      for (let i = i0; i <= i1; i++) {
        const list = out.get(squareNumber(i, j));
        if (list) list.push(one);
        else out.set(squareNumber(i, j), [one]);
      }
    }
  }
  return out;
}

const emptySquare = (i: number, j: number): ContactSquare => ({
  s0M: i * SQUARE_M,
  t0M: j * SQUARE_M,
  hidden: new Uint8Array(SIDE * SIDE),
  rows: new Uint32Array(SIDE),
  wantedCellM: Infinity,
  key: '',
});

function* countHidden(near: readonly Near[], drafts: readonly Draft[]): Generator<void, void, void> {
  const shadow = createShadow();
  for (let k = 0; k < DIRECTIONS; k++) {
    for (const { body, squares } of near) {
      if (squares.length === 0 || !castShadow(body, k, shadow)) continue;
      for (const { square, marks } of squares) {
        const half = CONTACT_CELL_M / 2;
        markShadow(shadow, square.s0M - half, square.t0M - half, CONTACT_CELL_M, marks);
      }
    }
    for (const { marks, counts } of drafts) countMarks(marks, counts);
    yield;
  }
}

const STAND_OFF_M = 0.001;

function markValid(face: Face, f: Float64Array, square: ContactSquare, blocks: SceneModel['blocks']): void {
  const p: [number, number, number] = [0, 0, 0];
  for (let j = 0; j < SIDE; j++) {
    const t = square.t0M + (j - 0.5) * CONTACT_CELL_M;
    let row = 0;
    for (let i = 0; i < SIDE; i++) {
      const s = square.s0M + (i - 0.5) * CONTACT_CELL_M;
      if (!pointInFace(face, s, t) || pointCovered(face, s, t)) continue;
      if (blocks.length > 0) {
        for (let k = 0; k < 3; k++) p[k] = f[k]! + s * f[3 + k]! + t * f[6 + k]! + STAND_OFF_M * f[9 + k]!;
        if (isInsideBlock({ blocks }, p)) continue;
      }
      row |= 1 << i;
    }
    square.rows[j] = row >>> 0;
  }
}

function blocksOver(scene: SceneModel, f: Float64Array, { s0M, t0M }: ContactSquare): SceneModel['blocks'] {
  const corner = Float64Array.from(f);
  for (let k = 0; k < 3; k++) corner[k]! += s0M * f[3 + k]! + t0M * f[6 + k]!;
  const room = roomOver(corner, SQUARE_M, SQUARE_M, CONTACT_CELL_M);
  return scene.blocks.filter((block) => !isApart(block, room));
}

interface Room {
  low: number[];
  high: number[];
}

/** Bounds, world axes, of all within `reachM` of a rectangle with its corner at the frame's origin. */
function roomOver(f: Float64Array, widthM: number, heightM: number, reachM: number): Room {
  const corner = (k: number): number[] => [0, f[3 + k]! * widthM, f[6 + k]! * heightM, f[3 + k]! * widthM + f[6 + k]! * heightM];
  return {
    low: [0, 1, 2].map((k) => f[k]! + Math.min(...corner(k)) - reachM),
    high: [0, 1, 2].map((k) => f[k]! + Math.max(...corner(k)) + reachM),
  };
}

const isApart = ({ min, max }: Pick<Body, 'min' | 'max'>, { low, high }: Room): boolean =>
  max[0] < low[0]! || max[1] < low[1]! || max[2] < low[2]! || min[0] > high[0]! || min[1] > high[1]! || min[2] > high[2]!;

/** Largest error of the share read straight between samples that is not seen. */
const UNSEEN = 0.035 * DIRECTIONS;

/** The coarsest cell, of those tiles have, with which the shade between samples is right within what is seen. */
function wantedCell({ hidden, rows }: ContactSquare): number {
  for (const step of [1, 2, 4]) if (mostBend(hidden, rows, step) / 2 > UNSEEN) return CONTACT_CELL_M * step;
  return Infinity;
}

/** Largest second difference over `step` samples to both sides, all three valid. */
function mostBend(hidden: Uint8Array, rows: Uint32Array, step: number): number {
  let most = 0;
  for (let j = 0; j < SIDE; j++) {
    const along = rows[j]! & (rows[j]! >>> step) & (rows[j]! << step);
    const across = j >= step && j + step < SIDE ? rows[j]! & rows[j - step]! & rows[j + step]! : 0;
    for (let i = 0; i < SIDE; i++) {
      const k = j * SIDE + i;
      if ((along >>> i) & 1) most = Math.max(most, Math.abs(hidden[k - step]! + hidden[k + step]! - 2 * hidden[k]!));
      if ((across >>> i) & 1) {
        most = Math.max(most, Math.abs(hidden[k - step * SIDE]! + hidden[k + step * SIDE]! - 2 * hidden[k]!));
      }
    }
  }
  return most;
}
