import { TILE_SAMPLES, type TileRef } from '../../lights/index.ts';

/** Tile slots a row of the atlas; 1,536 texels. */
export const ATLAS_COLUMNS = 48;
/** Rows of slots the atlas starts with and grows by. */
export const ATLAS_ROW_STEP = 16;
export const ATLAS_WIDTH_TEXELS = ATLAS_COLUMNS * TILE_SAMPLES;

/** Lower left texel of a slot. */
export function slotOriginTexel(slot: number): { x: number; y: number } {
  return { x: (slot % ATLAS_COLUMNS) * TILE_SAMPLES, y: Math.floor(slot / ATLAS_COLUMNS) * TILE_SAMPLES };
}

/**
 * Place on a face → place in the atlas, in texels. Sample (i, j) lies at the centre of its texel,
 * x = slotX + (s − s0)/cell + 1, so that s0 falls between samples 0 and 1, on the seam both tiles share.
 */
export function atlasTexel(
  tile: Pick<TileRef, 'slot' | 's0M' | 't0M' | 'cellM'>,
  s: number,
  t: number,
): { x: number; y: number } {
  const origin = slotOriginTexel(tile.slot);
  return { x: origin.x + (s - tile.s0M) / tile.cellM + 1, y: origin.y + (t - tile.t0M) / tile.cellM + 1 };
}

/** Rows of slots needed to hold a slot, in whole steps. */
export function rowsForSlot(slot: number): number {
  return Math.ceil((Math.floor(slot / ATLAS_COLUMNS) + 1) / ATLAS_ROW_STEP) * ATLAS_ROW_STEP;
}
