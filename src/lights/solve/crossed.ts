import { findMaterial } from '../../materials/index.ts';
import { fillInvalid, type TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';
import { toFace } from '../visibility/tile.ts';
import type { Layer } from './layer.ts';
import type { SolverState } from './state.ts';

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;
/** Every fourth sample either way is looked at. */
const STRIDE = 4;
const LOOKS = (TILE_SAMPLES / STRIDE) ** 2;
/**
 * Tangential light that one vector loses and two keep, over all light: from the first on, on enough samples of one tile, a face
 * counts as crossed, until none reaches the second. Of a crossed face every tile that has a sample above the third is crossed:
 * where the pictures of both programs meet, they agree.
 */
const CROSSED_FROM = 0.3;
const CROSSED_UNTIL = 0.2;
const SEEN_FROM = 0.03;
/** Share of the samples looked at. */
const LEAST_SHARE = 0.03;
const LEAST_LX = 0.3;
/** A beam that stays below this on a tile decides nothing. */
const LEAST_BEAM_LX = 0.1;
/** Axes, in a face, that may part its light into two sides, and what another one must bring more than the one that stands. */
const AXES = [0, 1, 2, 3].map((k) => [Math.cos((k * Math.PI) / 4), Math.sin((k * Math.PI) / 4)] as const);
const STAYS = 1.3;

const local = new Float64Array(3);

/** What parting its light along each axis would bring a tile: samples by the two limits, and the largest gain of one. */
interface Gains {
  from: number[];
  until: number[];
  most: number[];
}

/** Faces whose light is parted, by axis, and what was found on their tiles. */
export interface Crossing {
  axisOfFace: Map<number, number>;
  gains: Map<number, Map<TileNode, Gains>>;
}

export const createCrossing = (): Crossing => ({ axisOfFace: new Map(), gains: new Map() });

/** One layer with its weight (luminance) and the place of its lamp on the face. */
interface Beam {
  e: Float32Array;
  weight: number;
  highestLx: number;
  footS: number;
  footT: number;
  perH: number;
}

const weightOf = ({ mixed }: Layer): number => 0.2126 * mixed[0]! + 0.7152 * mixed[1]! + 0.0722 * mixed[2]!;
const highestOf = (layer: Layer): number =>
  weightOf(layer) * Math.max(layer.most[0]!, layer.most[1]!, layer.most[2]!, layer.most[3]!);

/** Beams of a tile that reach some light there. */
function beamsOn(state: SolverState, node: TileNode, leastLx: number): Beam[] {
  const out: Beam[] = [];
  for (const lit of state.order) {
    const layer = lit.layers.get(node)?.light;
    if (!layer) continue;
    const highestLx = highestOf(layer);
    if (highestLx <= leastLx) continue;
    const weight = weightOf(layer);
    toFace(node.frame, layer.emitter.at[0]!, layer.emitter.at[1]!, layer.emitter.at[2]!, local);
    out.push({ e: layer.e, weight, highestLx, footS: local[0]!, footT: local[1]!, perH: 1 / local[2]! });
  }
  return out;
}

/**
 * Share of a lamp's light that goes to the second side, by where the lamp lies seen from the sample: a smooth step over the axis,
 * the same on all tiles of a face, so that no seam can show.
 */
function secondShare(s: number, t: number, axis: readonly [number, number]): number {
  const x = Math.min(1, Math.max(0, 0.5 + (s * axis[0] + t * axis[1]) / Math.max(1e-9, Math.sqrt(s * s + t * t))));
  return x * x * (3 - 2 * x);
}

/**
 * What parting brings a tile.
 *
 * A slope lit without shadow answers E·(1 + g·T/E), linear in the tangential light T, so that sums need no parting; only the
 * relief's own shadows do. They matter where light comes in low from several sides: where Σ|T| of two sides is well above |ΣT|.
 */
function gainsOf(node: TileNode, beams: readonly Beam[]): Gains {
  const { s0M, t0M, cellM } = node.ref;
  const gains: Gains = { from: [0, 0, 0, 0], until: [0, 0, 0, 0], most: [0, 0, 0, 0] };
  if (beams.reduce((sum, beam) => sum + beam.highestLx, 0) <= LEAST_LX) return gains;
  const one = new Float64Array(AXES.length * 2);
  for (let n = 0; n < LOOKS; n++) {
    const i = (n % (TILE_SAMPLES / STRIDE)) * STRIDE + 2;
    const j = Math.floor(n / (TILE_SAMPLES / STRIDE)) * STRIDE + 2;
    let [lux, allS, allT] = [0, 0, 0];
    one.fill(0);
    for (const beam of beams) {
      const E = beam.e[j * TILE_SAMPLES + i]! * beam.weight;
      if (E === 0) continue;
      const s = (beam.footS - s0M - (i - 0.5) * cellM) * beam.perH;
      const t = (beam.footT - t0M - (j - 0.5) * cellM) * beam.perH;
      lux += E;
      allS += E * s;
      allT += E * t;
      for (const [a, axis] of AXES.entries()) {
        const share = secondShare(s, t, axis);
        one[2 * a]! += E * s * share;
        one[2 * a + 1]! += E * t * share;
      }
    }
    if (lux <= LEAST_LX) continue;
    for (let a = 0; a < AXES.length; a++) {
      const [s, t] = [one[2 * a]!, one[2 * a + 1]!];
      const two = Math.sqrt(s * s + t * t) + Math.sqrt((allS - s) ** 2 + (allT - t) ** 2);
      const gained = (two - Math.sqrt(allS * allS + allT * allT)) / lux;
      if (gained > CROSSED_FROM) gains.from[a]!++;
      if (gained > CROSSED_UNTIL) gains.until[a]!++;
      gains.most[a] = Math.max(gains.most[a]!, gained);
    }
  }
  return gains;
}

/** The axis that parts the light of a face best; undefined where one vector says enough. */
function axisOf(tiles: ReadonlyMap<TileNode, Gains>, standing: number | undefined): number | undefined {
  const sums = AXES.map((_, a) => {
    let [sum, most] = [0, 0];
    for (const [{ ref }, gains] of tiles) {
      const samples = (standing === undefined ? gains.from : gains.until)[a]!;
      sum += samples * ref.cellM ** 2;
      most = Math.max(most, samples);
    }
    return most > LEAST_SHARE * LOOKS - 1 ? sum * (a === standing ? STAYS : 1) : 0;
  });
  const best = sums.indexOf(Math.max(...sums));
  return sums[best]! > 0 ? best : undefined;
}

/** Joints, laps and stones with shadows of their own; loose ground and smooth faces have none to keep true. */
function hasJoints(state: SolverState, node: TileNode): boolean {
  const face = state.scene.faces[node.ref.face]!;
  const id = state.scene.materials[face.material]?.id;
  const sheet = id === undefined ? undefined : findMaterial(id);
  return sheet?.surfaceClass === 'masonry' && sheet.relief !== undefined;
}

/** Finds the tiles whose beams cross, once the light has settled: on the faces whose direct light changed. */
export function* markCrossed(state: SolverState): Generator<void, void, void> {
  const { atlas, crossed, crossing } = state;
  for (const node of crossed.keys()) if (node.ref.slot < 0) crossed.delete(node);
  for (const slot of [...atlas.field.second.keys()]) if (!atlas.bySlot[slot]?.ref.isCrossed) atlas.field.second.delete(slot);
  const faces = new Set<number>();
  for (const node of [...atlas.relit]) {
    atlas.relit.delete(node);
    if (!hasJoints(state, node)) continue;
    const { face } = node.ref;
    let tiles = crossing.gains.get(face);
    if (!tiles) {
      tiles = new Map();
      crossing.gains.set(face, tiles);
    }
    tiles.set(node, gainsOf(node, beamsOn(state, node, LEAST_BEAM_LX)));
    faces.add(face);
  }
  for (const face of faces) if (markFace(state, face)) yield;
}

/** Whether a tile became crossed or is so no more. */
function markFace(state: SolverState, face: number): boolean {
  const { atlas, crossed, crossing } = state;
  const tiles = crossing.gains.get(face)!;
  for (const node of tiles.keys()) if (node.ref.slot < 0) tiles.delete(node);
  const standing = crossing.axisOfFace.get(face);
  const axis = axisOf(tiles, standing);
  if (axis === undefined) crossing.axisOfFace.delete(face);
  else crossing.axisOfFace.set(face, axis);
  let changed = false;
  for (const [node, { most }] of tiles) {
    const isCrossed = axis !== undefined && most[axis]! > SEEN_FROM;
    if (isCrossed) crossed.set(node, axis);
    else crossed.delete(node);
    const was = node.ref.isCrossed === true;
    if (was !== isCrossed || (isCrossed && axis !== standing)) {
      atlas.dirty.add(node.ref.slot);
      atlas.secondStale.add(node);
    }
    if (was === isCrossed) continue;
    node.ref.isCrossed = isCrossed;
    if (!isCrossed) atlas.field.second.delete(node.ref.slot);
    state.tilesChanged = true;
    changed = true;
  }
  return changed;
}

/** Sums the second side's light vector of the tiles whose direct light changed, afresh from the layers. */
export function sumSeconds(state: SolverState): void {
  const { secondStale } = state.atlas;
  for (const node of secondStale) sumSecond(state, node);
  secondStale.clear();
}

function sumSecond(state: SolverState, node: TileNode): void {
  const axis = AXES[state.crossed.get(node) ?? -1];
  if (!axis) return;
  const out = new Float32Array(SAMPLES * 3);
  const { s0M, t0M, cellM } = node.ref;
  // Every beam: one left out for being weak here would stand out at the seam to where it is not.
  for (const beam of beamsOn(state, node, 0)) {
    for (let k = 0; k < SAMPLES; k++) {
      if (beam.e[k] === 0) continue;
      const s = (beam.footS - s0M - ((k & 31) - 0.5) * cellM) * beam.perH;
      const t = (beam.footT - t0M - ((k >> 5) - 0.5) * cellM) * beam.perH;
      const E = beam.e[k]! * beam.weight * secondShare(s, t, axis);
      out[3 * k]! += E * s;
      out[3 * k + 1]! += E * t;
      out[3 * k + 2]! += E;
    }
  }
  fillInvalid(node.fill, out, 0);
  state.atlas.field.second.set(node.ref.slot, out);
}
