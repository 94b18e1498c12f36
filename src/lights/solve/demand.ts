import type { TileNode } from '../tiles/node.ts';
import { toFace } from '../visibility/tile.ts';
import type { Layer } from './layer.ts';

const local = new Float64Array(3);

/**
 * Cell that one source asks for on a tile, metres.
 *
 * Linear interpolation errs by c²/8·|E''|/E. On a plane at distance d from a lamp E''/E is at most about 12/d², in a beam of
 * standard angle σ about 1/(σd)²: cells of .07 d and .2 σ d keep both under 1 %. Shadow edges ask for 4 cm, bright ones
 * for 2 cm, the surroundings of what is fixed to the face for 4 cm. Dim light is content with less.
 */
export function wantedCellM(node: TileNode, layer: Layer): number {
  const { most, emitter } = layer;
  const lit = Math.max(most[0]!, most[1]!, most[2]!, most[3]!);
  const edge = Math.max(most[4]!, most[5]!, most[6]!, most[7]!);
  if (lit < 0.05 && edge < 0.05) return Infinity;
  toFace(node.frame, emitter.at[0]!, emitter.at[1]!, emitter.at[2]!, local);
  const ds = Math.max(0, node.sMin - local[0]!, local[0]! - node.sMax);
  const dt = Math.max(0, node.tMin - local[1]!, local[1]! - node.tMax);
  const d = Math.sqrt(ds * ds + dt * dt + local[2]! * local[2]!);
  const sigma = emitter.halfAngleRad / 1.177;
  let cell = Math.min(0.07, 0.2 * sigma) * d;
  if (lit < 0.3) cell = Math.max(cell, 0.08);
  if (edge > 2) cell = Math.min(cell, 0.02);
  else if (edge > 0.4) cell = Math.min(cell, 0.04);
  else if (edge > 0.1) cell = Math.min(cell, 0.08);
  if (node.nearCover && lit > 1) cell = Math.min(cell, 0.04);
  if (layer.visibility.depth && lit > 1) cell = Math.min(cell, 0.08);
  return cell;
}

/** How much a tile would gain over cells of `cellM`, from all its layers: √lux × (cell / wanted cell)². 0 when content. */
export function gainOver(cellM: number, node: TileNode, layers: Iterable<Layer>): number {
  let gain = 0;
  for (const layer of layers) {
    const cell = wantedCellM(node, layer);
    if (cell > cellM * 0.75) continue;
    const m = layer.most;
    let lit = 0;
    for (let q = 0; q < 8; q++) if (m[q]! > lit) lit = m[q]!;
    gain += Math.sqrt(lit) * Math.min(16, cellM / cell) ** 2;
  }
  return gain;
}
