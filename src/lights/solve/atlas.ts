import { fillInvalid, type TileNode } from '../tiles/node.ts';
import { type LightField, TILE_SAMPLES } from '../types.ts';
import { toFace } from '../visibility/tile.ts';
import type { Layer } from './layer.ts';

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;

/** The field's arrays with their slots: which tile has which, which are free, which changed. */
export interface Atlas {
  field: LightField;
  capacity: number;
  /** Tile of each slot in use. */
  bySlot: (TileNode | undefined)[];
  free: number[];
  /** 1: the slot was in use and may hold old light; others are still as they were made, zero. */
  used: Uint8Array;
  /** Changed since the last `takeDirty`. */
  dirty: Set<number>;
  /** Whose direct light changed since it was last looked at for beams that cross. */
  relit: Set<TileNode>;
  /** Whose direct light, or the axis that parts it, changed since its second side was last summed. */
  secondStale: Set<TileNode>;
  /** Changed, and not yet filled outward. */
  unfilled: Set<TileNode>;
  /** The same for indirect light alone. */
  unfilledIndirect: Set<TileNode>;
  /** Tiles whose layers were changed since their last full sum. */
  drift: Map<TileNode, Drift>;
  /** Direct light of cards and strands apart from indirect; the field holds their sum. */
  cardsDirect: Float32Array;
  strandsDirect: Float32Array;
}

/** How far a tile's sum may be from a fresh one: bound of the rounding in lux, and changes so far. */
interface Drift {
  boundLx: number;
  changes: number;
}

/** Rounding that asks for a fresh sum, lux, and changes that do in any case. */
const DRIFT_LX = 0.0005;
export const MOST_CHANGES = 32;
/** Half a unit in the last place of float32, for the subtraction and the addition. */
const ROUNDING = 2 ** -23;

export function createAtlas(capacity: number, cards: number, strandVertices: number): Atlas {
  const room = capacity * SAMPLES;
  return {
    field: {
      tiles: [],
      slots: capacity,
      directRgb: new Float32Array(room * 3),
      vector: new Float32Array(room * 3),
      second: new Map(),
      indirectRgb: new Float32Array(room * 3),
      valid: new Uint8Array(room),
      cards: new Float32Array(cards * 6),
      strandRgb: new Float32Array(strandVertices * 3),
    },
    capacity,
    bySlot: new Array<TileNode | undefined>(capacity).fill(undefined),
    free: Array.from({ length: capacity }, (_, k) => capacity - 1 - k),
    used: new Uint8Array(capacity),
    dirty: new Set(),
    relit: new Set(),
    secondStale: new Set(),
    unfilled: new Set(),
    unfilledIndirect: new Set(),
    drift: new Map(),
    cardsDirect: new Float32Array(cards * 6),
    strandsDirect: new Float32Array(strandVertices * 3),
  };
}

/** Gives a tile a cleared slot. @throws {RangeError} none is free. */
export function takeSlot(atlas: Atlas, node: TileNode): void {
  const slot = atlas.free.pop();
  if (slot === undefined) throw new RangeError(`field: all ${atlas.capacity} tiles are in use`);
  node.ref.slot = slot;
  atlas.bySlot[slot] = node;
  const { field } = atlas;
  const at = slot * SAMPLES;
  if (atlas.used[slot])
    for (const list of [field.directRgb, field.vector, field.indirectRgb]) list.fill(0, at * 3, (at + SAMPLES) * 3);
  atlas.used[slot] = 1;
  for (let k = 0; k < SAMPLES; k++) field.valid[at + k] = (node.rows[k >> 5]! >>> (k & 31)) & 1;
  touch(atlas, node);
}

/** Hands a slot with its picture to another square of the same face: old light stays in view until it is lit anew. */
export function passSlot(atlas: Atlas, from: TileNode, to: TileNode): void {
  const slot = from.ref.slot;
  dropSlot(atlas, from);
  atlas.free.pop();
  to.ref.slot = slot;
  atlas.bySlot[slot] = to;
  for (let k = 0; k < SAMPLES; k++) atlas.field.valid[slot * SAMPLES + k] = (to.rows[k >> 5]! >>> (k & 31)) & 1;
  touch(atlas, to);
  touchIndirect(atlas, to);
}

/** Makes room for `more` tiles beyond those there is room for. */
export function growAtlas(atlas: Atlas, more: number): void {
  const capacity = atlas.capacity + more;
  const { field } = atlas;
  field.slots = capacity;
  field.directRgb = enlarged(field.directRgb, capacity * SAMPLES * 3);
  field.vector = enlarged(field.vector, capacity * SAMPLES * 3);
  field.indirectRgb = enlarged(field.indirectRgb, capacity * SAMPLES * 3);
  const used = new Uint8Array(capacity);
  used.set(atlas.used);
  atlas.used = used;
  const valid = new Uint8Array(capacity * SAMPLES);
  valid.set(field.valid);
  field.valid = valid;
  for (let slot = capacity - 1; slot >= atlas.capacity; slot--) {
    atlas.bySlot[slot] = undefined;
    atlas.free.unshift(slot);
  }
  atlas.capacity = capacity;
}

function enlarged(list: Float32Array, length: number): Float32Array {
  const out = new Float32Array(length);
  out.set(list);
  return out;
}

export function dropSlot(atlas: Atlas, node: TileNode): void {
  const slot = node.ref.slot;
  atlas.bySlot[slot] = undefined;
  atlas.free.push(slot);
  node.ref.slot = -1;
  node.ref.isCrossed = false;
  atlas.field.second.delete(slot);
  atlas.relit.delete(node);
  atlas.secondStale.delete(node);
  atlas.unfilled.delete(node);
  atlas.unfilledIndirect.delete(node);
  atlas.drift.delete(node);
  atlas.dirty.delete(slot);
}

function touch(atlas: Atlas, node: TileNode): void {
  atlas.relit.add(node);
  atlas.secondStale.add(node);
  atlas.unfilled.add(node);
  atlas.dirty.add(node.ref.slot);
}

/** The indirect light of a tile was written. */
export function touchIndirect(atlas: Atlas, node: TileNode): void {
  atlas.unfilledIndirect.add(node);
  atlas.dirty.add(node.ref.slot);
}

const local = new Float64Array(3);

/** Brings a layer's weight in the field to (r, g, b), luminance-weighted Y for the light vector. */
export function mixLayer(atlas: Atlas, node: TileNode, layer: Layer, r: number, g: number, b: number): void {
  const dr = r - layer.mixed[0]!;
  const dg = g - layer.mixed[1]!;
  const db = b - layer.mixed[2]!;
  if (dr === 0 && dg === 0 && db === 0) return;
  addLayer(atlas, node, layer, dr, dg, db);
  if (layer.mixed[0] !== 0 || layer.mixed[1] !== 0 || layer.mixed[2] !== 0) noteDrift(atlas, node, layer);
  layer.mixed[0] = r;
  layer.mixed[1] = g;
  layer.mixed[2] = b;
  touch(atlas, node);
}

/** A layer that stood in the sum was changed: what was rounded while it stood there stays. */
function noteDrift(atlas: Atlas, node: TileNode, layer: Layer): void {
  let drift = atlas.drift.get(node);
  if (!drift) {
    drift = { boundLx: 0, changes: 0 };
    atlas.drift.set(node, drift);
  }
  const { most, mixed } = layer;
  const lit = Math.max(most[0]!, most[1]!, most[2]!, most[3]!) * Math.max(mixed[0]!, mixed[1]!, mixed[2]!);
  drift.boundLx += lit * ROUNDING;
  drift.changes++;
}

/** Asks for a fresh sum of a tile when things settle. */
export function sumSoon(atlas: Atlas, node: TileNode): void {
  atlas.drift.set(node, { boundLx: Infinity, changes: MOST_CHANGES });
}

/** Tiles that a fresh sum is due for. */
export function* driftedTiles(atlas: Atlas): Generator<TileNode, void, void> {
  for (const [node, { boundLx, changes }] of atlas.drift) {
    if (boundLx > DRIFT_LX || changes >= MOST_CHANGES) yield node;
  }
}

/** V = E⊥·ω of one lamp at (x, y) from its foot: E·(−x/h, −y/h, 1) in the face frame. */
function addLayer(atlas: Atlas, node: TileNode, layer: Layer, dr: number, dg: number, db: number): void {
  const { directRgb, vector } = atlas.field;
  const dY = 0.2126 * dr + 0.7152 * dg + 0.0722 * db;
  const { at, e } = { at: layer.emitter.at, e: layer.e };
  toFace(node.frame, at[0]!, at[1]!, at[2]!, local);
  const perH = 1 / local[2]!;
  const { s0M, t0M, cellM } = node.ref;
  let o = node.ref.slot * SAMPLES * 3;
  for (let j = 0; j < TILE_SAMPLES; j++) {
    const y = (local[1]! - t0M - (j - 0.5) * cellM) * perH;
    if (node.rows[j] === 0) {
      o += TILE_SAMPLES * 3;
      continue;
    }
    for (let i = 0; i < TILE_SAMPLES; i++, o += 3) {
      const E = e[j * TILE_SAMPLES + i]!;
      if (E === 0) continue;
      directRgb[o]! += dr * E;
      directRgb[o + 1]! += dg * E;
      directRgb[o + 2]! += db * E;
      const EY = dY * E;
      vector[o]! += EY * (local[0]! - s0M - (i - 0.5) * cellM) * perH;
      vector[o + 1]! += EY * y;
      vector[o + 2]! += EY;
    }
  }
}

/** Sums a tile afresh from its layers, so that nothing drifts. */
export function sumAfresh(atlas: Atlas, node: TileNode, layers: Iterable<Layer>): void {
  const at = node.ref.slot * SAMPLES * 3;
  atlas.field.directRgb.fill(0, at, at + SAMPLES * 3);
  atlas.field.vector.fill(0, at, at + SAMPLES * 3);
  for (const layer of layers) {
    const [r, g, b] = layer.mixed;
    if (r !== 0 || g !== 0 || b !== 0) addLayer(atlas, node, layer, r!, g!, b!);
  }
  touch(atlas, node);
  atlas.drift.delete(node);
}

/** Fills invalid samples from valid neighbours on every tile that changed. */
export function fillTouched(atlas: Atlas): void {
  const { directRgb, vector, indirectRgb } = atlas.field;
  for (const node of atlas.unfilled) fillTile(atlas, node, [directRgb, vector]);
  atlas.unfilled.clear();
  for (const node of atlas.unfilledIndirect) fillTile(atlas, node, [indirectRgb]);
  atlas.unfilledIndirect.clear();
}

function fillTile(atlas: Atlas, node: TileNode, lists: readonly Float32Array[]): void {
  const at = node.ref.slot * SAMPLES * 3;
  if (node.validCount > 0) {
    for (const values of lists) fillInvalid(node.fill, values, at);
    return;
  }
  // A sliver of face without a sample of its own reads the nearest valid sample of the face.
  const from = nearestSample(atlas, node);
  if (from < 0) return;
  for (const values of lists) {
    values.copyWithin(at, from * 3, from * 3 + 3);
    for (let done = 3; done < SAMPLES * 3; done *= 2) values.copyWithin(at + done, at, at + Math.min(done, SAMPLES * 3 - done));
  }
}

function nearestSample(atlas: Atlas, node: TileNode): number {
  const s = node.ref.s0M;
  const t = node.ref.t0M;
  let best = -1;
  let least = Infinity;
  for (const other of atlas.bySlot) {
    if (!other || other.ref.face !== node.ref.face || other.validCount === 0) continue;
    const ds = Math.max(0, other.sMin - s, s - other.sMax);
    const dt = Math.max(0, other.tMin - t, t - other.tMax);
    if (ds * ds + dt * dt >= least) continue;
    const { s0M, t0M, cellM, slot } = other.ref;
    for (let k = 0; k < SAMPLES; k++) {
      if (((other.rows[k >> 5]! >>> (k & 31)) & 1) === 0) continue;
      const d = (s0M + ((k & 31) - 0.5) * cellM - s) ** 2 + (t0M + ((k >> 5) - 0.5) * cellM - t) ** 2;
      if (d < least) {
        least = d;
        best = slot * SAMPLES + k;
      }
    }
  }
  return best;
}
