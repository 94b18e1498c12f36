import { describe, expect, it } from 'vitest';
import { TILE_CELLS, TILE_SAMPLES } from '../../src/lights/index.ts';
import { ATLAS_COLUMNS, atlasTexel, nextIsAbove, rowsForSlot, slotAtTexel, slotOriginTexel } from '../../src/view/field/atlas.ts';

describe('field atlas', () => {
  const tile = { slot: ATLAS_COLUMNS + 5, s0M: 1.2, t0M: 2.4, cellM: 0.04 };

  it('puts sample (i, j) on the centre of its own texel', () => {
    const origin = slotOriginTexel(tile.slot);
    for (const [i, j] of [
      [0, 0],
      [1, 7],
      [31, 31],
      [12, 30],
    ] as const) {
      // Sample places as the tile contract states them: s = s0M + (i − 0.5)·cellM.
      const { x, y } = atlasTexel(tile, tile.s0M + (i - 0.5) * tile.cellM, tile.t0M + (j - 0.5) * tile.cellM);
      expect(x).toBeCloseTo(origin.x + i + 0.5, 9);
      expect(y).toBeCloseTo(origin.y + j + 0.5, 9);
    }
  });

  it('keeps the half texel of filtering inside the slot over the whole tile', () => {
    const origin = slotOriginTexel(tile.slot);
    const far = atlasTexel(tile, tile.s0M + TILE_CELLS * tile.cellM, tile.t0M + TILE_CELLS * tile.cellM);
    const near = atlasTexel(tile, tile.s0M, tile.t0M);
    expect(near.x - origin.x).toBeGreaterThanOrEqual(0.5);
    expect(far.x - origin.x).toBeLessThanOrEqual(TILE_SAMPLES - 0.5);
  });

  it('meets its neighbour on the seam: both read the same two samples half and half', () => {
    const next = { ...tile, slot: 3, s0M: tile.s0M + TILE_CELLS * tile.cellM };
    const seam = tile.s0M + TILE_CELLS * tile.cellM;
    const here = atlasTexel(tile, seam, tile.t0M).x - slotOriginTexel(tile.slot).x;
    const there = atlasTexel(next, seam, tile.t0M).x - slotOriginTexel(next.slot).x;
    // Samples 30 and 31 here are samples 0 and 1 there.
    expect(here - 30).toBeCloseTo(there, 9);
  });

  it('knows the slot of every texel, and which slots lie above each other', () => {
    const seen = new Set<string>();
    for (let slot = 0; slot < 2000; slot++) {
      const { x, y } = slotOriginTexel(slot);
      seen.add(`${x},${y}`);
      expect([slotAtTexel(x, y), slotAtTexel(x + 31, y + 31)]).toEqual([slot, slot]);
      expect(y).toBeLessThan(rowsForSlot(slot) * TILE_SAMPLES);
      const next = slotOriginTexel(slot + 1);
      expect(next.x === x && next.y === y + TILE_SAMPLES).toBe(nextIsAbove(slot));
    }
    expect(seen.size).toBe(2000);
  });

  it('grows in whole steps', () => {
    expect(rowsForSlot(0)).toBe(16);
    expect(rowsForSlot(ATLAS_COLUMNS * 16 - 1)).toBe(16);
    expect(rowsForSlot(ATLAS_COLUMNS * 16)).toBe(32);
  });
});
