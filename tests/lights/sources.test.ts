import { describe, expect, it } from 'vitest';
import { dirtFactorOf, dirtFactorOfMount, resolveSources } from '../../src/lights/index.ts';
import { KINDS } from '../../src/review/kinds/index.ts';
import { fixtureRecord, type Mount, parseProperty } from '../../src/scene/index.ts';
import { wiredUplight } from '../power/halogen.ts';

/** Design table "weight of a source": staked .80, in-grade .60, sheltered .90 (common practice, no source: facts.md 10). */
const DIRT: Record<Mount, number> = {
  stake: 0.8,
  riser: 0.8,
  pot: 0.8,
  free: 0.8,
  inGrade: 0.6,
  wall: 0.9,
  soffit: 0.9,
  hanging: 0.9,
  cap: 0.9,
  gutter: 0.9,
  tree: 0.9,
  post: 0.9,
  step: 0.9,
};
const fixture = (mount: Mount, dirtFactor?: number) =>
  fixtureRecord.parse({ id: 'u', at: [0, 0, 0], aim: [0, 1, 0], lampId: 'l', mount, dirtFactor });

describe('dirt', () => {
  it.each(Object.entries(DIRT) as [Mount, number][])('%s keeps %d of its light; a written factor rules', (mount, share) => {
    expect(dirtFactorOfMount(mount)).toBe(share);
    expect(dirtFactorOf(fixture(mount))).toBe(share);
    expect(dirtFactorOf(fixture(mount, 0.45))).toBe(0.45);
  });

  it('weighs a source as shown, and not on the first night', () => {
    const parsed = parseProperty(wiredUplight(1));
    if (!parsed.ok) throw new Error('not read');
    const { document } = parsed;
    const fixtures = [fixture('inGrade'), { ...fixture('wall', 0.5), id: 'v', dim: 0.5 }].map((f) => ({ ...f, lampId: 'l450' }));
    document.schemes[0]!.fixtures = fixtures;
    const weights = (dirt: 'asShown' | 'judgedFirstNight') =>
      resolveSources(document, 'only', { after: true, dirt }).map((s) => s.weight);
    expect(weights('asShown')).toEqual([0.6, 0.25]);
    expect(weights('judgedFirstNight')).toEqual([1, 0.5]);
  });

  it('each finding is judged with the lenses that the design table says', () => {
    const nightOf = (kind: string) => KINDS.find((k) => k.kind === kind)?.night;
    for (const kind of ['seatGlare', 'veil', 'windowLight', 'hotSpot', 'clippedPicture', 'skyLoss'])
      expect(nightOf(kind)).toBe('clean');
    for (const kind of ['weakOnTarget', 'stepDark', 'darkGap', 'darkSide']) expect(nightOf(kind)).toBe('dirty');
  });
});
