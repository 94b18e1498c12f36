import { describe, expect, it } from 'vitest';
import { dirtFactorOfMount, resolveSources } from '../../src/lights/sources.ts';
import { mount } from '../../src/scene/index.ts';
import { testProperty } from './property.ts';

const property = testProperty();
const weights = (after: boolean, dirt: 'asShown' | 'judgedFirstNight', doc = property) =>
  Object.fromEntries(resolveSources(doc, 'good', { after, dirt }).map((s) => [s.id, s.weight]));

// Design table "weight of a source": output × dim × dirt × on; .80 staked, .60 in-grade, .90 sheltered.
describe('weight of a source', () => {
  it('is dim × dirt of its mount with dirt, dim alone on the first night', () => {
    const shown = weights(true, 'asShown');
    expect(shown.porch).toBeCloseTo(0.9, 12);
    expect(shown.L1).toBeCloseTo(0.8, 12);
    expect(shown.L2).toBeCloseTo(0.5 * 0.6, 12);
    expect(weights(true, 'judgedFirstNight')).toEqual({ porch: 1, L1: 1, L2: 0.5 });
  });

  it('leaves only existing fixtures on before', () => {
    const sources = resolveSources(property, 'good', { after: false, dirt: 'judgedFirstNight' });
    expect(sources.map((s) => [s.id, s.existing, s.weight])).toEqual([
      ['porch', true, 1],
      ['L1', false, 0],
      ['L2', false, 0],
    ]);
  });

  it('takes a dirt factor of its own, and nothing from a light that is off', () => {
    const fixtures = property.schemes[0]!.fixtures.map((f, i) => (i === 0 ? { ...f, dirtFactor: 1 } : { ...f, on: false }));
    const doc = { ...property, schemes: [{ ...property.schemes[0]!, fixtures }] };
    expect(weights(true, 'asShown', doc)).toMatchObject({ L1: 1, L2: 0 });
  });

  it('has a dirt factor for every mount', () => {
    const staked = ['stake', 'riser', 'pot', 'free'];
    for (const m of mount.options) expect(dirtFactorOfMount(m), m).toBe(m === 'inGrade' ? 0.6 : staked.includes(m) ? 0.8 : 0.9);
  });

  it('names the scheme or lamp that is missing', () => {
    expect(() => resolveSources(property, 'none', { after: true, dirt: 'asShown' })).toThrow('scheme none');
    const doc = { ...property, catalogue: { lamps: [] } };
    expect(() => resolveSources(doc, 'good', { after: true, dirt: 'asShown' })).toThrow('fixtures(id = porch).lampId');
  });
});
