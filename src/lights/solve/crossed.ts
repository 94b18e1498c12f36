import { findMaterial } from '../../materials/index.ts';
import { fillInvalid, type TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';
import { toFace } from '../visibility/tile.ts';
import type { Layer } from './layer.ts';
import type { Lit, SolverState } from './state.ts';

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;
/** Every fourth sample either way is looked at. */
const STRIDE = 4;
const LOOKS = (TILE_SAMPLES / STRIDE) ** 2;
/**
 * Tangential light that one vector loses and two keep, over all light: from here on a tile counts as crossed, until it falls
 * below the second.
 */
const CROSSED_FROM = 0.3;
const CROSSED_UNTIL = 0.2;
/** Beams that may lead a side. */
const MOST_LEADERS = 5;
/** Share of the samples looked at. */
const LEAST_SHARE = 0.03;
const LEAST_LX = 0.3;
/** A beam whose highest light is below this share of the strongest one's leads no side and turns none. */
const LEAST_BEAM = 0.03;

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

const weightOf = ({ mixed }: Layer): number => 0.2126 * mixed[0]! + 0.7152 * mixed[1]! + 0.0722 * mixed[2]!;
const highestOf = (layer: Layer): number =>
  weightOf(layer) * Math.max(layer.most[0]!, layer.most[1]!, layer.most[2]!, layer.most[3]!);

/** Beams on a tile; none where all of them together stay below the light that is looked at. */
function beamsOn(state: SolverState, node: TileNode, leastShare: number): Beam[] {
  const layers: [Lit, Layer, number][] = [];
  let [all, most] = [0, 0];
  for (const lit of state.order) {
    const layer = lit.layers.get(node)?.light;
    if (!layer) continue;
    const highest = highestOf(layer);
    if (highest <= 0) continue;
    layers.push([lit, layer, highest]);
    all += highest;
    most = Math.max(most, highest);
  }
  if (leastShare > 0 && all <= LEAST_LX) return [];
  const out: Beam[] = [];
  for (const [lit, layer, highest] of layers) {
    if (highest < leastShare * most) continue;
    const weight = weightOf(layer);
    toFace(node.frame, layer.emitter.at[0]!, layer.emitter.at[1]!, layer.emitter.at[2]!, local);
    out.push({ lit, e: layer.e, weight, footS: local[0]!, footT: local[1]!, perH: 1 / local[2]! });
  }
  return out;
}

/** Light on some samples of a tile: tangential light of each beam (2 numbers a sample), its sum over them, and all lux. */
interface Survey {
  lux: Float64Array;
  tangents: Float64Array[];
  mean: [number, number][];
}

function survey(node: TileNode, beams: readonly Beam[]): Survey {
  const { s0M, t0M, cellM } = node.ref;
  const lux = new Float64Array(LOOKS);
  const mean: [number, number][] = [];
  const tangents = beams.map((beam) => {
    const out = new Float64Array(LOOKS * 2);
    const sum: [number, number] = [0, 0];
    for (let n = 0; n < LOOKS; n++) {
      const i = (n % (TILE_SAMPLES / STRIDE)) * STRIDE + 2;
      const j = Math.floor(n / (TILE_SAMPLES / STRIDE)) * STRIDE + 2;
      const E = beam.e[j * TILE_SAMPLES + i]! * beam.weight;
      lux[n]! += E;
      out[2 * n] = E * (beam.footS - s0M - (i - 0.5) * cellM) * beam.perH;
      out[2 * n + 1] = E * (beam.footT - t0M - (j - 0.5) * cellM) * beam.perH;
      sum[0] += out[2 * n]!;
      sum[1] += out[2 * n + 1]!;
    }
    mean.push(sum);
    return out;
  });
  return { lux, tangents, mean };
}

/** Samples where two sides keep more tangential light than one sum, by a share of all light. */
function samplesGained({ lux, tangents }: Survey, side: readonly boolean[], from: number): number {
  let gained = 0;
  for (let n = 0; n < LOOKS; n++) {
    if (lux[n]! <= LEAST_LX) continue;
    let [s0, t0, s1, t1] = [0, 0, 0, 0];
    for (let b = 0; b < tangents.length; b++) {
      const s = tangents[b]![2 * n]!;
      const t = tangents[b]![2 * n + 1]!;
      if (side[b]) {
        s1 += s;
        t1 += t;
      } else {
        s0 += s;
        t0 += t;
      }
    }
    const two = Math.sqrt(s0 * s0 + t0 * t0) + Math.sqrt(s1 * s1 + t1 * t1);
    if (two - Math.sqrt((s0 + s1) ** 2 + (t0 + t1) ** 2) > from * lux[n]!) gained++;
  }
  return gained;
}

/** Every beam to the leader whose direction is nearer; true: to the second. */
function sidesOf(mean: readonly (readonly [number, number])[], first: number, second: number): boolean[] {
  const unit = (v: readonly [number, number]): [number, number] => {
    const size = Math.hypot(v[0], v[1]) || 1;
    return [v[0] / size, v[1] / size];
  };
  const [a, b] = [unit(mean[first]!), unit(mean[second]!)];
  return mean.map((m) => m[0] * b[0] + m[1] * b[1] > m[0] * a[0] + m[1] * a[1]);
}

/**
 * The sources whose light a tile keeps apart; undefined where one vector says enough.
 *
 * A slope lit without shadow answers E·(1 + g·T/E), linear in the tangential light T, so that sums need no parting; only the
 * relief's own shadows do. They matter where light comes in low from several sides: where Σ|T| of two sides is well above
 * |ΣT|. Of all pairs of leading beams the one that keeps most is taken.
 */
export function crossingOf(node: TileNode, beams: readonly Beam[], wasCrossed: boolean): ReadonlySet<Lit> | undefined {
  if (beams.length < 2) return undefined;
  const found = survey(node, beams);
  const size = (b: number): number => Math.hypot(found.mean[b]![0], found.mean[b]![1]);
  const leaders = beams
    .map((_, b) => b)
    .sort((a, b) => size(b) - size(a))
    .slice(0, MOST_LEADERS);
  const from = wasCrossed ? CROSSED_UNTIL : CROSSED_FROM;
  let most = LEAST_SHARE * LOOKS - 1;
  let best: boolean[] | undefined;
  for (const [k, first] of leaders.entries()) {
    for (const second of leaders.slice(k + 1)) {
      const side = sidesOf(found.mean, first, second);
      const gained = samplesGained(found, side, from);
      if (gained <= most) continue;
      most = gained;
      best = side;
    }
  }
  return best && new Set(beams.filter((_, b) => best[b]).map((beam) => beam.lit));
}

/** Joints, laps and stones with shadows of their own; loose ground and smooth faces have none to keep true. */
function hasJoints(state: SolverState, node: TileNode): boolean {
  const face = state.scene.faces[node.ref.face]!;
  const id = state.scene.materials[face.material]?.id;
  const sheet = id === undefined ? undefined : findMaterial(id);
  return sheet?.surfaceClass === 'masonry' && sheet.relief !== undefined;
}

/** Finds the tiles whose beams cross, once the light has settled: among those whose direct light changed. */
export function* markCrossed(state: SolverState): Generator<void, void, void> {
  const { atlas, crossed } = state;
  for (const node of crossed.keys()) if (node.ref.slot < 0) crossed.delete(node);
  for (const slot of [...atlas.field.second.keys()]) if (!atlas.bySlot[slot]?.ref.isCrossed) atlas.field.second.delete(slot);
  for (const node of [...atlas.relit]) {
    atlas.relit.delete(node);
    if (!hasJoints(state, node)) continue;
    const sources = crossingOf(node, beamsOn(state, node, LEAST_BEAM), node.ref.isCrossed === true);
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
  for (const beam of beamsOn(state, node, 0)) {
    if (!sources.has(beam.lit)) continue;
    for (let k = 0; k < SAMPLES; k++) {
      const E = beam.e[k]! * beam.weight;
      if (E === 0) continue;
      out[3 * k]! += E * (beam.footS - s0M - ((k & 31) - 0.5) * cellM) * beam.perH;
      out[3 * k + 1]! += E * (beam.footT - t0M - ((k >> 5) - 0.5) * cellM) * beam.perH;
      out[3 * k + 2]! += E;
    }
  }
  fillInvalid(node.fill, out, 0);
  state.atlas.field.second.set(node.ref.slot, out);
}
