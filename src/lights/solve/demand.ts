import type { TileNode } from '../tiles/node.ts';
import { toFace } from '../visibility/tile.ts';
import type { Layer } from './layer.ts';

/** An eye at distance D is served by cells of D/450: a shadow edge then blurs over some three pixels of a picture. */
const CELLS_A_DISTANCE = 450;
/** Contact shade has no edge: an eye is served by cells of D/200, 10 cm at 20 m. */
const SOFT_CELLS_A_DISTANCE = 200;
/** Distance at which a tile counts half as much when there are too few. */
const HALF_WORTH_M = 15;
/** Shadow edges of a source that brings less than this share of a place's light are not seen. */
const SEEN_EDGE_SHARE = 0.03;
/** Contact shade counts like the light of a lamp of so much, lux. */
const CONTACT_LX = 2;

const local = new Float64Array(3);
const totals = new Float64Array(4);

/**
 * Cell that one source asks for on a tile, metres.
 *
 * Linear interpolation errs by c²/8·|E''|/E. On a plane at distance d from a lamp E''/E is at most about 12/d², in a beam of
 * standard angle σ about 1/(σd)²: cells of .07 d and .2 σ d keep both under 1 %. Shadow edges ask for 4 cm, bright ones
 * for 2 cm, the surroundings of what is fixed to the face for 4 cm. Dim light is content with less, and so is what no eye
 * comes near.
 *
 * @param edgeLx highest lux at shadow edges that can be told from the rest of the light there.
 */
export function wantedCellM(node: TileNode, layer: Layer, edgeLx: number): number {
  const { most, emitter } = layer;
  const lit = Math.max(most[0]!, most[1]!, most[2]!, most[3]!);
  if (lit < 0.05 && edgeLx < 0.05) return Infinity;
  toFace(node.frame, emitter.at[0]!, emitter.at[1]!, emitter.at[2]!, local);
  const ds = Math.max(0, node.sMin - local[0]!, local[0]! - node.sMax);
  const dt = Math.max(0, node.tMin - local[1]!, local[1]! - node.tMax);
  const d = Math.sqrt(ds * ds + dt * dt + local[2]! * local[2]!);
  const sigma = emitter.halfAngleRad / 1.177;
  let cell = Math.min(0.07, 0.2 * sigma) * d;
  // One or two rows on a narrow face know little of how light changes across it.
  if (Math.min(node.sMax - node.sMin, node.tMax - node.tMin) < 2.5 * node.ref.cellM) cell *= 0.5;
  if (lit < 0.3) cell = Math.max(cell, 0.08);
  if (edgeLx > 2) cell = Math.min(cell, 0.02);
  else if (edgeLx > 0.4) cell = Math.min(cell, 0.04);
  else if (edgeLx > 0.1) cell = Math.min(cell, 0.08);
  if (node.nearCover && lit > 1) cell = Math.min(cell, 0.04);
  if (layer.visibility.depth && lit > 1) cell = Math.min(cell, 0.08);
  return Math.max(cell, node.viewerM / CELLS_A_DISTANCE);
}

/** Highest lux at the shadow edges of a layer where it is a visible share of all light of that quarter. */
function visibleEdgeLx(layer: Layer): number {
  let edge = 0;
  for (let q = 0; q < 4; q++) {
    const e = layer.most[4 + q]!;
    if (e > edge && e > SEEN_EDGE_SHARE * totals[q]!) edge = e;
  }
  return edge;
}

/** Slots that splitting a tile takes beyond its own: three, one or none where only some quarters meet valid samples. */
function slotsToSplit(node: TileNode): number {
  const half = 15 * node.ref.cellM;
  const across = (min: number, max: number, from: number): number => (min < from + half && max > from + half ? 2 : 1);
  return across(node.sMin, node.sMax, node.ref.s0M) * across(node.tMin, node.tMax, node.ref.t0M) - 1;
}

/**
 * How much a tile would gain over cells of `cellM`, from all its layers: √lux × (cell / wanted cell)², and from contact
 * shade, which asks for `contactM` whatever the hour, as from one dim layer; by the root of its
 * share of valid samples, for each slot that its split takes, and less the farther it is from where eyes come. 0 when
 * content.
 */
export function gainOver(cellM: number, node: TileNode, layers: readonly Layer[], contactM = Infinity): number {
  if (node.isShifted) return 0;
  totals.fill(0);
  for (const { most } of layers) for (let q = 0; q < 4; q++) totals[q]! += most[q]!;
  let gain = 0;
  for (const layer of layers) {
    const edge = visibleEdgeLx(layer);
    const cell = wantedCellM(node, layer, edge);
    if (cell > cellM * 0.75) continue;
    const m = layer.most;
    const lit = Math.max(edge, m[0]!, m[1]!, m[2]!, m[3]!);
    gain += Math.sqrt(lit) * Math.min(16, cellM / cell) ** 2;
  }
  const shade = Math.max(contactM, node.viewerM / SOFT_CELLS_A_DISTANCE);
  if (shade <= cellM * 0.75) gain += Math.sqrt(CONTACT_LX) * Math.min(16, cellM / shade) ** 2;
  const worth = Math.sqrt(node.validCount / 1024) / (1 + node.viewerM / HALF_WORTH_M);
  return (gain * worth) / Math.max(0.5, slotsToSplit(node));
}
