import type { ConvexBlock, SceneModel } from '../../scene/index.ts';
import { beamCandela, largestCandelaBeyond } from '../beam.ts';
import { lightTile, type TileLux } from '../kernels/index.ts';
import { type Caster, hasKernels } from '../rays/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';
import { edgeSamples, smoothEdges, smoothEdgesFast } from '../visibility/edges.ts';
import { type TileVisibility, tileVisibility, toFace } from '../visibility/tile.ts';
import type { Emitter } from './emitter.ts';
import type { GroupSight } from './points.ts';

/** Illuminance below this at full output is left out of layers; its flux is counted. */
export const LAYER_CUT_LX = 0.002;
/** Edges are smoothed where the unshadowed light is above this. */
const EDGE_FROM_LX = 0.1;
const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;

/** Direct light of one source at full output on one tile. */
export interface Layer {
  emitter: Emitter;
  /** Weight × colour with which it stands in the field now, linear RGB. */
  mixed: Float64Array;
  /** Its shadow edges were looked at. */
  smooth: boolean;
  visibility: TileVisibility;
  /** Lux per sample; 0 where hidden or invalid. */
  e: Float32Array;
  /** Highest lux in each quarter (s low t low, s high t low, s low t high, s high t high), then highest at shadow edges. */
  most: Float32Array;
}

/** What the layers of one scene share. */
export interface LayerContext {
  scene: SceneModel;
  caster: Caster;
  /** The largest solid bodies: they hide whole tiles at once. */
  big: readonly ConvexBlock[];
  /** Visibility by place, then tile. */
  places: Map<string, Map<TileNode, TileVisibility>>;
  /** What each place sees of leaves and strands. */
  groupPlaces: Map<string, GroupSight>;
  leavesOn: boolean;
  droppedFluxLm: number;
}

const local = new Float64Array(3);

/** Upper bound of the lux that a source can bring to any sample of a tile; 0 when the lamp lies behind it. */
export function mostPossibleLx(emitter: Emitter, node: TileNode): number {
  const f = node.frame;
  toFace(f, emitter.at[0]!, emitter.at[1]!, emitter.at[2]!, local);
  const h = local[2]!;
  if (!(h > 0) || node.validCount === 0) return 0;
  const ds = Math.max(0, node.sMin - local[0]!, local[0]! - node.sMax);
  const dt = Math.max(0, node.tMin - local[1]!, local[1]! - node.tMax);
  const d2 = ds * ds + dt * dt + h * h;
  const I = largestCandelaBeyond(emitter.beam, nearestCosine(emitter, node));
  return (I * h) / (Math.sqrt(d2) * (d2 + emitter.lensRadiusM * emitter.lensRadiusM));
}

/** Cosine of the smallest angle between the beam's axis and any place of a tile (its bounding sphere). */
function nearestCosine(emitter: Emitter, node: TileNode): number {
  const f = node.frame;
  const s = (node.sMin + node.sMax) / 2;
  const t = (node.tMin + node.tMax) / 2;
  const R2 = ((node.sMax - node.sMin) ** 2 + (node.tMax - node.tMin) ** 2) / 4;
  const x = f[0]! + s * f[3]! + t * f[6]! - emitter.at[0]!;
  const y = f[1]! + s * f[4]! + t * f[7]! - emitter.at[1]!;
  const z = f[2]! + s * f[5]! + t * f[8]! - emitter.at[2]!;
  const D2 = x * x + y * y + z * z;
  if (D2 <= R2) return 1;
  const F = emitter.frame;
  const cos = (x * F[0]! + y * F[1]! + z * F[2]!) / Math.sqrt(D2);
  const sinR = Math.sqrt(R2 / D2);
  const cosR = Math.sqrt(1 - sinR * sinR);
  if (cos >= cosR) return 1;
  return cos * cosR + Math.sqrt(Math.max(0, 1 - cos * cos)) * sinR;
}

/** Visibility of a tile from a place, kept for the next aim, lamp or colour. */
export function visibilityOf(context: LayerContext, emitter: Emitter, node: TileNode): TileVisibility {
  let tiles = context.places.get(emitter.placeKey);
  if (!tiles) {
    tiles = new Map();
    context.places.set(emitter.placeKey, tiles);
  }
  let found = tiles.get(node);
  if (!found) {
    toFace(node.frame, emitter.at[0]!, emitter.at[1]!, emitter.at[2]!, local);
    found = tileVisibility(context.caster, context.big, node, local, emitter.at);
    tiles.set(node, found);
  }
  return found;
}

/**
 * Direct layer of one source on one tile, or undefined where it brings nothing above the cut.
 *
 *     E = I(w) · cos θ / (d² + r²) · seen · exp(−depth)
 *
 * r is the lens radius: exact on the axis of an even disc (facts.md 2.3).
 */
export function computeLayer(context: LayerContext, emitter: Emitter, node: TileNode): Layer | undefined {
  const bound = mostPossibleLx(emitter, node);
  if (bound === 0) return undefined;
  if (bound < LAYER_CUT_LX) {
    context.droppedFluxLm += (bound / 2) * node.validCount * node.ref.cellM ** 2;
    return undefined;
  }
  const visibility = visibilityOf(context, emitter, node);
  if (visibility.state === 'dark') return undefined;
  if (context.caster.kernels) return layerByKernels(context, emitter, node, visibility);
  const layer = newLayer(emitter, visibility, new Float32Array(SAMPLES), new Float32Array(8));
  fillLayer(context, emitter, node, layer);
  if (brightest(layer.most) >= LAYER_CUT_LX) return layer;
  dropLayer(context, node, layer.e);
  return undefined;
}

/** The same by the kernels: arrays of its own only for a layer that stays. */
function layerByKernels(context: LayerContext, emitter: Emitter, node: TileNode, visibility: TileVisibility): Layer | undefined {
  const found = lightByKernels(context, emitter, node, visibility);
  if (brightest(found.most) >= LAYER_CUT_LX) return newLayer(emitter, visibility, found.lux.slice(), found.most.slice());
  dropLayer(context, node, found.lux);
  return undefined;
}

function newLayer(emitter: Emitter, visibility: TileVisibility, e: Float32Array, most: Float32Array): Layer {
  return { emitter, mixed: new Float64Array(3), smooth: false, visibility, e, most };
}

function brightest(most: Float32Array): number {
  return Math.max(most[0]!, most[1]!, most[2]!, most[3]!);
}

/** Counts the flux of a layer that is left out. */
function dropLayer(context: LayerContext, node: TileNode, e: Float32Array): void {
  let sum = 0;
  for (let k = 0; k < SAMPLES; k++) sum += e[k]!;
  context.droppedFluxLm += sum * node.ref.cellM ** 2;
}

/** Writes the lux of every sample from visibility, beam and leaves. */
export function fillLayer(context: LayerContext, emitter: Emitter, node: TileNode, layer: Layer): void {
  if (context.caster.kernels) {
    const found = lightByKernels(context, emitter, node, layer.visibility);
    layer.e.set(found.lux);
    layer.most.set(found.most);
    return;
  }
  const { visibility, e, most } = layer;
  const { shadow, edges } = visibility;
  const depth = context.leavesOn ? visibility.depth : undefined;
  const ray = sampleRay(emitter, node);
  most.fill(0);
  for (let j = 0; j < TILE_SAMPLES; j++) {
    const bits = node.rows[j]! & (shadow ? ~shadow[j]! : -1);
    if (bits === 0) continue;
    const quarter = j < 16 ? 0 : 2;
    for (let i = 0; i < TILE_SAMPLES; i++) {
      if (((bits >>> i) & 1) === 0) continue;
      const k = j * TILE_SAMPLES + i;
      let value = ray(i, j);
      if (depth) value *= Math.exp(-depth[k]!);
      e[k] = value;
      const q = quarter + (i >> 4);
      if (value > most[q]!) most[q] = value;
    }
  }
  if (!shadow) return;
  if (edges) {
    for (let n = 0; n < edges.at.length; n++) {
      const k = edges.at[n]!;
      e[k] = ray(k & 31, k >> 5) * edges.seen[n]! * (depth ? Math.exp(-depth[k]!) : 1);
    }
  }
  for (const k of edgeSamples(node, shadow)) {
    const q = 4 + ((k & 31) >> 4) + (k >> 9) * 2;
    const value = ray(k & 31, k >> 5);
    if (value > most[q]!) most[q] = value;
  }
}

/** Lux by the kernels, shadow edges smoothed where that is known; views, good until the kernels' next call. */
function lightByKernels(context: LayerContext, emitter: Emitter, node: TileNode, visibility: TileVisibility): TileLux {
  const { shadow, depth, edges } = visibility;
  const leaves = context.leavesOn ? depth : undefined;
  const found = lightTile(context.caster.kernels!, node, emitter, shadow, leaves, EDGE_FROM_LX);
  if (!edges) return found;
  for (let n = 0; n < edges.at.length; n++) {
    const k = edges.at[n]!;
    found.lux[k] = found.open[k]! * edges.seen[n]! * (leaves ? Math.exp(-leaves[k]!) : 1);
  }
  return found;
}

/** Unshadowed lux at sample (i, j). */
function sampleRay(emitter: Emitter, node: TileNode): (i: number, j: number) => number {
  const f = node.frame;
  const F = emitter.frame;
  const beam = emitter.beam;
  const r2 = emitter.lensRadiusM * emitter.lensRadiusM;
  toFace(f, emitter.at[0]!, emitter.at[1]!, emitter.at[2]!, local);
  const h = local[2]!;
  const { s0M, t0M, cellM } = node.ref;
  const x0 = s0M - 0.5 * cellM - local[0]!;
  const y0 = t0M - 0.5 * cellM - local[1]!;
  const as = F[0]! * f[3]! + F[1]! * f[4]! + F[2]! * f[5]!;
  const at = F[0]! * f[6]! + F[1]! * f[7]! + F[2]! * f[8]!;
  const an = h * (F[0]! * f[9]! + F[1]! * f[10]! + F[2]! * f[11]!);
  if (beam.planes === 1) {
    const table = beam.candela;
    const scale = beam.steps / Math.SQRT2;
    const last = beam.steps - 1;
    return (i, j) => {
      const x = x0 + i * cellM;
      const y = y0 + j * cellM;
      const d2 = x * x + y * y + h * h;
      const d = Math.sqrt(d2);
      const c = 1 - (x * as + y * at - an) / d;
      const q = c > 0 ? Math.sqrt(c) * scale : 0;
      const n = q < last ? q | 0 : last;
      const I = table[n]! + (q - n) * (table[n + 1]! - table[n]!);
      return (I * h) / (d * (d2 + r2));
    };
  }
  const rs = F[3]! * f[3]! + F[4]! * f[4]! + F[5]! * f[5]!;
  const rt = F[3]! * f[6]! + F[4]! * f[7]! + F[5]! * f[8]!;
  const rn = h * (F[3]! * f[9]! + F[4]! * f[10]! + F[5]! * f[11]!);
  const us = F[6]! * f[3]! + F[7]! * f[4]! + F[8]! * f[5]!;
  const ut = F[6]! * f[6]! + F[7]! * f[7]! + F[8]! * f[8]!;
  const un = h * (F[6]! * f[9]! + F[7]! * f[10]! + F[8]! * f[11]!);
  return (i, j) => {
    const x = x0 + i * cellM;
    const y = y0 + j * cellM;
    const d2 = x * x + y * y + h * h;
    const d = Math.sqrt(d2);
    const I = beamCandela(beam, (x * as + y * at - an) / d, x * rs + y * rt - rn, x * us + y * ut - un);
    return (I * h) / (d * (d2 + r2));
  };
}

/** True when the layer has shadow edges in light worth smoothing that its place has not smoothed yet. */
export function edgesMissing(context: LayerContext, emitter: Emitter, node: TileNode, layer: Layer): boolean {
  const { visibility, most } = layer;
  if (!visibility.shadow || Math.max(most[4]!, most[5]!, most[6]!, most[7]!) < EDGE_FROM_LX) return false;
  if (!visibility.edges) return true;
  const known = new Uint32Array(TILE_SAMPLES);
  for (const k of visibility.edges.at) known[k >> 5]! |= 1 << (k & 31);
  return edgeRows(context, emitter, node, visibility).some((bits, j) => (bits & ~known[j]!) !== 0);
}

/** Samples at shadow edges that get `EDGE_FROM_LX` or more without shadow and leaves: bit i of row j. */
function edgeRows(context: LayerContext, emitter: Emitter, node: TileNode, visibility: TileVisibility): Uint32Array {
  const { kernels } = context.caster;
  if (kernels) return lightTile(kernels, node, emitter, visibility.shadow, undefined, EDGE_FROM_LX).edgeRows;
  const rows = new Uint32Array(TILE_SAMPLES);
  const ray = sampleRay(emitter, node);
  for (const k of edgeSamples(node, visibility.shadow!)) {
    if (ray(k & 31, k >> 5) >= EDGE_FROM_LX) rows[k >> 5]! |= 1 << (k & 31);
  }
  return rows;
}

/** Smooths the shadow edges of a layer and writes its lux again. The layer must not stand in the field meanwhile. */
export function refineEdges(context: LayerContext, emitter: Emitter, node: TileNode, layer: Layer): void {
  const rows = edgeRows(context, emitter, node, layer.visibility);
  const face = context.scene.faces[node.ref.face]!;
  const { caster } = context;
  if (hasKernels(caster)) smoothEdgesFast(caster, face, node, layer.visibility, emitter.edgeRadiusM, rows);
  else smoothEdges(caster, face, node, layer.visibility, emitter.at, emitter.edgeRadiusM, rows);
  layer.e.fill(0);
  fillLayer(context, emitter, node, layer);
}
