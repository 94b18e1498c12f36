import { describe, expect, it } from 'vitest';
import { createCaster } from '../../src/lights/rays/index.ts';
import { buildScene, createEmptyProperty, type PropertyDocument, plantingRecord } from '../../src/scene/index.ts';

const common = { kind: 'plant', baseM: 0, trunkDiameterM: 0.1, seed: 5 };
const planting = [
  {
    ...common,
    id: 'hedge',
    name: 'a hedge',
    habit: 'hedge',
    at: [0, 0],
    heightM: 2,
    spreadM: 0.7,
    lengthM: 3,
    crownBaseM: 0,
    evergreen: true,
  },
  {
    ...common,
    id: 'crown',
    name: 'a crown',
    habit: 'round',
    at: [8, 0],
    heightM: 4,
    spreadM: 3,
    crownBaseM: 0.8,
    evergreen: false,
  },
].map((record) => plantingRecord.parse(record));
const casterIn = (season: PropertyDocument['site']['season']) => {
  const property = createEmptyProperty('seasons');
  return createCaster(buildScene({ ...property, site: { ...property.site, season }, planting }));
};

/** Optical depths of rays along +Z, from a lamp's side to a wall behind the plant. */
function depths(season: PropertyDocument['site']['season'], x0: number, halfM: number, low: number, high: number): number[] {
  const caster = casterIn(season);
  return Array.from({ length: 400 }, (_, k) =>
    caster.leafDepth(x0 - halfM + (2 * halfM * (k % 20)) / 19, low + ((high - low) * Math.floor(k / 20)) / 19, -3, 0, 0, 1, 6),
  );
}
const mean = (list: number[]) => list.reduce((a, b) => a + b, 0) / list.length;

/* Common practice, no source: evergreens keep their leaves in winter, broad crowns drop theirs and keep twigs. */
describe('light through plants by the season of the property', () => {
  it('winter lets no more through an evergreen hedge, ray by ray', () => {
    const summer = depths('summer', 0, 0.6, 0.4, 1.6);
    expect(mean(summer)).toBeGreaterThan(0.8);
    for (const season of ['autumn', 'winter', 'spring'] as const) expect(depths(season, 0, 0.6, 0.4, 1.6)).toEqual(summer);
  });

  it('a deciduous crown dims less as its leaves go: summer, autumn, spring, bare winter', () => {
    const all = (['summer', 'autumn', 'spring', 'winter'] as const).map((season) => depths(season, 8, 1.5, 0.8, 4));
    const [summer, autumn, spring, winter] = all.map(mean) as [number, number, number, number];
    expect(summer).toBeGreaterThan(autumn);
    expect(autumn).toBeGreaterThan(spring);
    expect(spring).toBeGreaterThan(winter);
    /* Of all rays that meet the crown in leaf; gap fraction of bare deciduous crowns 40 to 80 % (facts 8.2). */
    const through = all[3]!.filter((_, k) => all[0]![k]! > 0).map((depth) => Math.exp(-depth));
    expect(mean(through)).toBeGreaterThan(0.4);
    expect(mean(through)).toBeLessThan(0.8);
  });
});
