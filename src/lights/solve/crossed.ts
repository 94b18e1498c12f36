import { findMaterial } from '../../materials/index.ts';
import { fillInvalid, type TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';
import { toFace } from '../visibility/tile.ts';
import type { Layer } from './layer.ts';
import type { Lit, SolverState } from './state.ts';

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;
/** Every fourth sample either way is looked at. */
const STRIDE = 4;
/** Tangential light of the lesser side over all light: from here on a tile counts as crossed, until it falls below the second. */
const CROSSED_FROM = 0.12;
const CROSSED_UNTIL = 0.08;
/** Share of the samples looked at. */
const LEAST_SHARE = 0.03;
const LEAST_LX = 0.3;

const local = new Float64Array(3);

/** One layer with its weight (luminance) and the place of its lamp on the face. */
interface Beam {
  lit: Lit;
  e: Float32Array;
  weight: number;
  footS: number;
  footT: number;
  perH: number;
}

function beamsOn(state: SolverState, node: TileNode): Beam[] {
  const out: Beam[] = [];
  for (const lit of state.order) {
    const layer: Layer | undefined = lit.layers.get(node)?.light;
    if (!layer) continue;
    const [r, g, b] = layer.mixed;
    const weight = 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
    if (weight <= 0) continue;
    toFace(node.frame, layer.emitter.at[0]!, layer.emitter.at[1]!, layer.emitter.at[2]!, local);
    out.push({ lit, e: layer.e, weight, footS: local[0]!, footT: local[1]!, perH: 1 / local[2]! });
  }
  return out;
}

/**
 * The sources whose light a tile keeps apart, when beams graze it from opposite sides: those that come from the other side
 * than the strongest. Undefined where one vector says enough.
 *
 * A slope lit without shadow answers E·(1 + g·T/E), linear in the tangential light T, so that sums need no parting; only the
 * relief's own shadows do. They matter where both sides come in low: where the lesser |T| is a good part of E.
 */
export function crossingOf(node: TileNode, beams: readonly Beam[], wasCrossed: boolean): ReadonlySet<Lit> | undefined {
  if (beams.length < 2) return undefined;
  const { s0M, t0M, cellM } = node.ref;
  const count = Math.ceil(TILE_SAMPLES / STRIDE) ** 2;
  const tangents = beams.map(() => new Float64Array(count * 2));
  const lux = new Float64Array(count);
  const mean = beams.map(() => [0, 0]);
  for (let n = 0; n < count; n++) {
    const i = (n % (TILE_SAMPLES / STRIDE)) * STRIDE + 2;
    const j = Math.floor(n / (TILE_SAMPLES / STRIDE)) * STRIDE + 2;
    beams.forEach((beam, b) => {
      const E = beam.e[j * TILE_SAMPLES + i]! * beam.weight;
      lux[n]! += E;
      const x = E * (beam.footS - s0M - (i - 0.5) * cellM) * beam.perH;
      const y = E * (beam.footT - t0M - (j - 0.5) * cellM) * beam.perH;
      tangents[b]![2 * n] = x;
      tangents[b]![2 * n + 1] = y;
      mean[b]![0]! += x;
      mean[b]![1]! += y;
    });
  }
  const axis = mean.reduce((a, b) => (Math.hypot(b[0]!, b[1]!) > Math.hypot(a[0]!, a[1]!) ? b : a));
  const opposite = mean.map((m) => m[0]! * axis[0]! + m[1]! * axis[1]! < 0);
  if (!opposite.includes(true)) return undefined;
  const from = wasCrossed ? CROSSED_UNTIL : CROSSED_FROM;
  let crossed = 0;
  for (let n = 0; n < count; n++) {
    const sums = [0, 0, 0, 0];
    tangents.forEach((t, b) => {
      const k = opposite[b] ? 2 : 0;
      sums[k]! += t[2 * n]!;
      sums[k + 1]! += t[2 * n + 1]!;
    });
    const lesser = Math.min(Math.hypot(sums[0]!, sums[1]!), Math.hypot(sums[2]!, sums[3]!));
    if (lux[n]! > LEAST_LX && lesser > from * lux[n]!) crossed++;
  }
  if (crossed < LEAST_SHARE * count) return undefined;
  return new Set(beams.filter((_, b) => opposite[b]).map((beam) => beam.lit));
}

/** Joints, laps and stones with shadows of their own; loose ground and smooth faces have none to keep true. */
function hasJoints(state: SolverState, node: TileNode): boolean {
  const face = state.scene.faces[node.ref.face]!;
  const id = state.scene.materials[face.material]?.id;
  const sheet = id === undefined ? undefined : findMaterial(id);
  return sheet?.surfaceClass === 'masonry' && sheet.relief !== undefined;
}

/** Finds the tiles whose beams cross, once the light has settled. */
export function* markCrossed(state: SolverState): Generator<void, void, void> {
  const { atlas, crossed } = state;
  for (const node of crossed.keys()) if (node.ref.slot < 0) crossed.delete(node);
  for (const slot of [...atlas.field.second.keys()]) if (!atlas.bySlot[slot]?.ref.isCrossed) atlas.field.second.delete(slot);
  for (const node of state.leaves) {
    if (!hasJoints(state, node)) continue;
    const sources = crossingOf(node, beamsOn(state, node), node.ref.isCrossed === true);
    if (sources) crossed.set(node, sources);
    else crossed.delete(node);
    if ((sources !== undefined) === (node.ref.isCrossed === true)) continue;
    node.ref.isCrossed = sources !== undefined;
    if (!sources) atlas.field.second.delete(node.ref.slot);
    atlas.dirty.add(node.ref.slot);
    state.tilesChanged = true;
    yield;
  }
}

/** Sums the light vector of the sources that a crossed tile keeps apart, afresh from their layers. */
export function sumSecond(state: SolverState, node: TileNode): void {
  const sources = state.crossed.get(node);
  if (!sources) return;
  const out = new Float32Array(SAMPLES * 3);
  const { s0M, t0M, cellM } = node.ref;
  for (const beam of beamsOn(state, node)) {
    if (!sources.has(beam.lit)) continue;
    for (let k = 0; k < SAMPLES; k++) {
      const E = beam.e[k]! * beam.weight;
      if (E === 0) continue;
      out[3 * k]! += E * (beam.footS - s0M - ((k & 31) - 0.5) * cellM) * beam.perH;
      out[3 * k + 1]! += E * (beam.footT - t0M - ((k >> 5) - 0.5) * cellM) * beam.perH;
      out[3 * k + 2]! += E;
    }
  }
  fillInvalid(node.fill, out, 0, 3);
  state.atlas.field.second.set(node.ref.slot, out);
}
