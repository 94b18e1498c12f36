import { describe, expect, it } from 'vitest';
import type { PlantRecord } from '../../src/scene/index.ts';
import { detailOf } from '../../src/scene/massing/plants.ts';
import { growPlant, LEAF_SHARE, MOST_LOW_CARDS, MOST_TREE_CARDS, TWIG_SHARE } from '../../src/scene/plants/index.ts';

const tree: PlantRecord = {
  kind: 'plant',
  id: 'tree-1',
  name: 'a tree',
  habit: 'round',
  at: [0, 0],
  baseM: 0,
  heightM: 6,
  spreadM: 4.5,
  bearingDeg: 0,
  crownBaseM: 2,
  trunkDiameterM: 0.18,
  density: 'medium',
  bark: 'brown',
  leanDeg: 0,
  leanBearingDeg: 0,
  growth: 'medium',
  evergreen: false,
  seed: 9,
};
const luminous = (c: readonly number[]) => 0.2126 * c[0]! + 0.7152 * c[1]! + 0.0722 * c[2]!;
const in_ = (season: 'spring' | 'summer' | 'autumn' | 'winter', more: Partial<PlantRecord> = {}) =>
  growPlant({ ...tree, ...more }, { season });

describe('seasons of one tree, seed 9', () => {
  const summer = in_('summer');

  it('share their wood; with less detail leaves hide twigs that show when bare', () => {
    expect(in_('spring').limbs).toEqual(summer.limbs);
    expect(in_('autumn').limbs).toEqual(summer.limbs);
    expect(in_('winter').limbs).toEqual(summer.limbs);
    const few = (season: 'summer' | 'winter') => growPlant(tree, { season, detail: 0.75 }).limbs.length;
    expect(few('winter')).toBeGreaterThan(few('summer'));
  });

  it('spring is thin and fresh: half the leaf area, more light through each leaf', () => {
    const spring = in_('spring').model;
    expect(spring.leafAreaM2 / summer.model.leafAreaM2).toBeCloseTo(0.5, 1);
    expect(luminous(spring.leafTransmittanceRgb)).toBeGreaterThan(luminous(summer.model.leafTransmittanceRgb));
  });

  it('autumn turns the colour asked for: red over green, a little thinner', () => {
    const autumn = in_('autumn', { autumn: 'orange' }).model;
    expect(autumn.leafReflectanceRgb[0]).toBeGreaterThan(1.5 * autumn.leafReflectanceRgb[1]);
    expect(autumn.leafAreaM2).toBeLessThan(summer.model.leafAreaM2);
  });

  it('winter has twigs for leaves: a crown lets 40 to 80 % through (gap fraction of bare deciduous crowns, facts 8.2)', () => {
    const { model } = in_('winter');
    expect(model.leafSheet).toBe('twig');
    expect(model.cardCover).toBe(TWIG_SHARE);
    expect(luminous(model.leafTransmittanceRgb)).toBe(0);
    /* Twig area over the crown's shadow, random (Poisson) over it: exp(−G·Ω·area / shadow·…), mean depth of a ball 4/3·r. */
    const depth = (0.5 * model.clumping * model.leafAreaM2) / (Math.PI * (tree.spreadM / 2) ** 2);
    expect(Math.exp(-depth)).toBeGreaterThan(0.4);
    expect(Math.exp(-depth)).toBeLessThan(0.95);
  });

  it('evergreens keep everything through the year and say so', () => {
    const green = in_('summer', { evergreen: true }).model;
    expect(green.evergreen).toBe(true);
    for (const season of ['spring', 'autumn', 'winter'] as const) expect(in_(season, { evergreen: true }).model).toEqual(green);
  });

  it('grasses stand dry through the winter', () => {
    const grass: Partial<PlantRecord> = { habit: 'grass', heightM: 1.2, spreadM: 1.2, crownBaseM: 0, trunkDiameterM: 0.02 };
    expect(in_('winter', grass).model.cards).toEqual(in_('summer', grass).model.cards);
    expect(in_('winter', grass).model.leafReflectanceRgb[0]).toBeGreaterThan(in_('winter', grass).model.leafReflectanceRgb[1]);
  });
});

describe('number of cards', () => {
  const big: [PlantRecord['habit'], Partial<PlantRecord>, number][] = [
    ['spreading', { heightM: 15, spreadM: 18, crownBaseM: 3.2, trunkDiameterM: 0.9 }, MOST_TREE_CARDS],
    ['conical', { heightM: 21, spreadM: 8, crownBaseM: 1.2, trunkDiameterM: 0.5 }, MOST_TREE_CARDS],
    ['weeping', { heightM: 12, spreadM: 11, crownBaseM: 0.8, trunkDiameterM: 0.5 }, MOST_TREE_CARDS],
    ['hedge', { heightM: 2, spreadM: 0.8, lengthM: 40, crownBaseM: 0, trunkDiameterM: 0.03 }, 1.5 * MOST_LOW_CARDS],
    ['climber', { heightM: 6, spreadM: 20, crownBaseM: 0, trunkDiameterM: 0.03, density: 'dense' }, MOST_LOW_CARDS],
  ];
  it.each(big)('of a large %s stays bounded', (habit, size, most) => {
    const cards = growPlant({ ...tree, habit, ...size }).model.cards.length / 8;
    expect(cards).toBeLessThan(1.1 * most);
    expect(cards).toBeGreaterThan(0.3 * most);
  });

  it('falls with detail, leaf area stays: fewer cards, each larger', () => {
    const whole = growPlant(tree).model;
    const coarse = growPlant(tree, { detail: 0.4 }).model;
    expect(coarse.cards.length / whole.cards.length).toBeCloseTo(0.4, 1);
    expect(Math.abs(coarse.leafAreaM2 / whole.leafAreaM2 - 1)).toBeLessThan(0.08);
    expect(coarse.cards[6]).toBeGreaterThan(1.2 * whole.cards[6]!);
    expect(whole.cardCover).toBe(LEAF_SHARE);
  });

  it('of a planting of 30 trees stays about 110,000; eight trees have all of theirs', () => {
    const planting = (n: number) => Array.from({ length: n }, (_, i) => ({ ...tree, id: `t${i}`, seed: i }));
    expect(detailOf(planting(8))).toBe(1);
    const detail = detailOf(planting(30));
    const cards = [0, 1, 2].reduce((sum, i) => sum + growPlant(planting(3)[i]!, { detail }).model.cards.length / 8, 0);
    expect(cards * 10).toBeLessThan(120_000);
  });
});

describe('habits', () => {
  it('a climber of thin growth has leaves for two fifths of its wall, clings to it and grows over it in one piece', () => {
    const record: PlantRecord = {
      ...tree,
      habit: 'climber',
      heightM: 2.7,
      spreadM: 3,
      crownBaseM: 0,
      density: 'thin',
      evergreen: true,
    };
    const { model } = growPlant({ ...record, bearingDeg: 90 });
    const cells = new Set<string>();
    for (let i = 0; i < model.cards.length; i += 8) {
      expect(model.cards[i + 2]!).toBeGreaterThan(0);
      expect(model.cards[i + 2]!).toBeLessThan(0.16);
      cells.add(`${Math.floor(model.cards[i]! / 0.3)},${Math.floor(model.cards[i + 1]! / 0.3)}`);
    }
    /* 1.9 layers of leaves where it is full (common practice, no source). */
    expect(model.leafAreaM2 / (1.9 * 0.4 * 2.7 * 3)).toBeGreaterThan(0.9);
    expect(model.leafAreaM2 / (1.9 * 0.4 * 2.7 * 3)).toBeLessThan(1.12);
    expect((cells.size * 0.3 * 0.3) / (2.7 * 3)).toBeGreaterThan(0.55);
    expect((cells.size * 0.3 * 0.3) / (2.7 * 3)).toBeLessThan(0.95);
    expect(largestPiece(cells) / cells.size).toBeGreaterThan(0.9);
  });

  it('a conifer has one straight trunk up to its tip, its widest branches low', () => {
    const { limbs, model } = growPlant({ ...tree, habit: 'conical', heightM: 12, spreadM: 5, crownBaseM: 0.6, evergreen: true });
    const trunk = limbs.reduce((a, b) => (b.radiiM[0]! > a.radiiM[0]! ? b : a));
    for (let i = 0; i < trunk.radiiM.length; i++)
      expect(Math.hypot(trunk.ringsM[i * 3]!, trunk.ringsM[i * 3 + 2]!)).toBeLessThan(0.35);
    let [low, high] = [0, 0];
    for (let i = 0; i < model.cards.length; i += 8) {
      const reach = Math.hypot(model.cards[i]!, model.cards[i + 2]!);
      if (model.cards[i + 1]! < 4) low = Math.max(low, reach);
      if (model.cards[i + 1]! > 8.5) high = Math.max(high, reach);
    }
    expect(high).toBeLessThan(0.6 * low);
  });

  it('a palm is bare up to its crown base, its trunk of one width', () => {
    const record: PlantRecord = { ...tree, habit: 'palm', heightM: 8, spreadM: 5, crownBaseM: 4.6, trunkDiameterM: 0.34 };
    const { limbs, model } = growPlant(record);
    for (let i = 0; i < model.cards.length; i += 8) expect(model.cards[i + 1]!).toBeGreaterThan(4.4);
    const trunk = limbs.reduce((a, b) => (b.radiiM[0]! > a.radiiM[0]! ? b : a));
    const half = trunk.radiiM.findIndex((_, i) => trunk.ringsM[i * 3 + 1]! > 3);
    expect(trunk.radiiM[half]).toBeCloseTo(0.17, 2);
  });
});

/** Cells of the largest set that hangs together, corners included. */
function largestPiece(cells: ReadonlySet<string>): number {
  const left = new Set(cells);
  let most = 0;
  for (const seed of cells) {
    const queue = left.delete(seed) ? [seed] : [];
    for (let n = 0; n < queue.length; n++) {
      const [x, y] = queue[n]!.split(',').map(Number) as [number, number];
      for (const dx of [-1, 0, 1])
        for (const dy of [-1, 0, 1]) {
          const next = `${x + dx},${y + dy}`;
          if (left.delete(next)) queue.push(next);
        }
    }
    most = Math.max(most, queue.length);
  }
  return most;
}
