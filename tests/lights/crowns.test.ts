import { describe, expect, it } from 'vitest';
import { type Habit, LEAF_SHARE, type PlantModel } from '../../src/scene/index.ts';
import { growPlant } from '../../src/scene/plants/index.ts';
import { cardGap, clumpTransmittance } from '../scene/plantsRays.ts';
import { seeded } from './testScene.ts';

type Size = { heightM: number; spreadM: number; crownBaseM: number; lengthM?: number };

/** Not the sizes that anything was set by. */
const SIZES: Record<Habit, Size> = {
  round: { heightM: 5.4, spreadM: 4.1, crownBaseM: 1.7 },
  spreading: { heightM: 6.2, spreadM: 7, crownBaseM: 1.9 },
  columnar: { heightM: 6, spreadM: 1.5, crownBaseM: 0.5 },
  weeping: { heightM: 5, spreadM: 4, crownBaseM: 0.7 },
  conical: { heightM: 6.5, spreadM: 3, crownBaseM: 0.4 },
  multiStem: { heightM: 4.6, spreadM: 3.1, crownBaseM: 1.2 },
  palm: { heightM: 6, spreadM: 3, crownBaseM: 3.8 },
  clippedBall: { heightM: 1.1, spreadM: 1.1, crownBaseM: 0.05 },
  hedge: { heightM: 1.6, spreadM: 0.8, crownBaseM: 0.05, lengthM: 3 },
  shrub: { heightM: 1.4, spreadM: 1.9, crownBaseM: 0.05 },
  grass: { heightM: 0.8, spreadM: 0.8, crownBaseM: 0 },
  climber: { heightM: 2.6, spreadM: 1.8, crownBaseM: 0.1 },
};

function grow(habit: Habit, density: 'thin' | 'medium' | 'dense', seed: number): PlantModel {
  return growPlant({
    kind: 'plant',
    id: 'p',
    name: 'a plant',
    habit,
    at: [2, -1],
    baseM: 0,
    bearingDeg: 30,
    trunkDiameterM: 0.1,
    density,
    bark: 'brown',
    leanDeg: 0,
    leanBearingDeg: 0,
    growth: 'medium',
    evergreen: false,
    seed,
    ...SIZES[habit],
  }).model;
}

/** Mean of two measures, and the standard error of their difference, over random lines that meet a clump (even over place and direction). */
function means(model: PlantModel, rays: number, seed: number): { clumps: number; cards: number; error: number } {
  const random = seeded(seed);
  let [clumps, cards, squares, n] = [0, 0, 0, 0];
  while (n < rays) {
    const y = 2 * random() - 1;
    const phi = 2 * Math.PI * random();
    const s = Math.sqrt(1 - y * y);
    const d = [s * Math.cos(phi), y, s * Math.sin(phi)];
    const a = [-Math.sin(phi), 0, Math.cos(phi)];
    const b = [a[1]! * d[2]! - a[2]! * d[1]!, a[2]! * d[0]! - a[0]! * d[2]!, a[0]! * d[1]! - a[1]! * d[0]!];
    const r = model.radiusM * Math.sqrt(random());
    const q = 2 * Math.PI * random();
    const from = [0, 1, 2].map((k) => model.centre[k]! + r * (Math.cos(q) * a[k]! + Math.sin(q) * b[k]!) - 40 * d[k]!);
    const T = clumpTransmittance(model, from, d);
    if (T === 1) continue;
    n++;
    clumps += T / rays;
    const gap = cardGap(model, from, d, LEAF_SHARE);
    cards += gap / rays;
    squares += (T - gap) ** 2 / rays;
  }
  return { clumps, cards, error: Math.sqrt(squares / rays) };
}

describe('mean transmittance of a built crown against rays through its own leaf cards (bar 5 % beyond two standard errors of the dice; seed 61; rays 9)', () => {
  it.each(Object.keys(SIZES) as Habit[])('%s: thin, medium and dense', (habit) => {
    for (const density of ['thin', 'medium', 'dense'] as const) {
      const { clumps, cards, error } = means(grow(habit, density, 61), 1500, 9);
      const apart = Math.max(0, Math.abs(clumps - cards) - 2 * error);
      expect(apart / cards, `${density}: ${clumps} by clumps, ${cards} by cards, ± ${error}`).toBeLessThan(0.05);
    }
  });
});
