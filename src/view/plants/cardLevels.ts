import type { LeafSheet, PlantModel } from '../../scene/index.ts';

/** Cards smaller than this many drawn pixels are halved in number and doubled in area; then once more. */
const HALVE_BELOW_PX = 10;
const QUARTER_BELOW_PX = 5;

export interface DetailLevel {
  /** The first so many cards of the order. */
  cards: number;
  /** Factor on the side of each, so that the leaf area stays. */
  grow: number;
}

export interface DetailLevels {
  /** Cards in the order they are drawn in: any first part of it is an even choice. */
  order: Uint32Array;
  levelFor(cardPx: number): DetailLevel;
}

/** Drawn as one piece: cards that cannot be left out. */
const WHOLE = new Set<LeafSheet>(['frond', 'blade', 'twig']);

/**
 * Far crowns are drawn with fewer, larger cards of the same clumps, each with the light it has: every second, then every fourth card,
 * its area doubled each time.
 */
export function createLevels(plant: PlantModel): DetailLevels {
  const count = plant.cards.length / 8;
  const order = new Uint32Array(count);
  const ends: number[] = [];
  let n = 0;
  for (const [step, offset] of [
    [4, 0],
    [4, 2],
    [2, 1],
  ] as const) {
    for (let i = offset; i < count; i += step) order[n++] = i;
    ends.push(n);
  }
  const level = (cards: number): DetailLevel => ({ cards, grow: cards > 0 ? Math.sqrt(count / cards) : 1 });
  const [quarter, half, all] = [level(ends[0]!), level(ends[1]!), level(count)];
  const whole = WHOLE.has(plant.leafSheet);
  return {
    order,
    levelFor(cardPx) {
      if (whole || cardPx >= HALVE_BELOW_PX) return all;
      return cardPx >= QUARTER_BELOW_PX ? half : quarter;
    },
  };
}
