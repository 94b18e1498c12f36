import { TILE_SAMPLES, type TileRef } from '../../lights/index.ts';

/** Tile slots a row of the atlas; 1,536 texels. */
export const ATLAS_COLUMNS = 48;
/** Rows of slots the atlas starts with and grows by: a band. */
export const ATLAS_ROW_STEP = 16;
export const ATLAS_WIDTH_TEXELS = ATLAS_COLUMNS * TILE_SAMPLES;
const BAND_SLOTS = ATLAS_COLUMNS * ATLAS_ROW_STEP;

/** Lower left texel of a slot. Slots run up a band, column by column, so that a run of them is one image of a tile's width. */
export function slotOriginTexel(slot: number): { x: number; y: number } {
  const inBand = slot % BAND_SLOTS;
  const row = Math.floor(slot / BAND_SLOTS) * ATLAS_ROW_STEP + (inBand % ATLAS_ROW_STEP);
  return { x: Math.floor(inBand / ATLAS_ROW_STEP) * TILE_SAMPLES, y: row * TILE_SAMPLES };
}

/** Slot that holds a texel. */
export function slotAtTexel(x: number, y: number): number {
  const row = Math.floor(y / TILE_SAMPLES);
  const column = Math.floor(x / TILE_SAMPLES);
  return Math.floor(row / ATLAS_ROW_STEP) * BAND_SLOTS + column * ATLAS_ROW_STEP + (row % ATLAS_ROW_STEP);
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

/** Rows of slots needed to hold a slot, in whole bands. */
export function rowsForSlot(slot: number): number {
  return (Math.floor(slot / BAND_SLOTS) + 1) * ATLAS_ROW_STEP;
}

/** True where the next slot lies right above this one. */
export const nextIsAbove = (slot: number): boolean => (slot + 1) % ATLAS_ROW_STEP !== 0;
