import { describe, expect, it } from 'vitest';
import { parseProperty, serialiseProperty } from '../../src/scene/index.ts';
import { cutPackage, PACKAGES, packageShown } from '../../src/ui/state/schemes.ts';
import { testProperty } from '../editor/property.ts';

function ranked() {
  const property = testProperty();
  const scheme = property.schemes[0]!;
  scheme.fixtures.forEach((f, i) => {
    f.rank = i === 0 ? 1 : 3;
  });
  return { property, scheme };
}

describe('packages cut by rank', () => {
  it('Core holds the lights of rank 1; gauge, tap and transformers stay as the last phase needs them (screens 11, task 10)', () => {
    const { property, scheme } = ranked();
    const cut = cutPackage(property, scheme, PACKAGES[0]);
    const core = cut.schemes.find((s) => s.name.endsWith('Core'))!;
    expect(core.fixtures.map((f) => f.id)).toEqual([scheme.fixtures[0]!.id]);
    expect(core.runs.map((r) => [r.gauge, r.tapV])).toEqual(scheme.runs.map((r) => [r.gauge, r.tapV]));
    expect(core.transformers).toEqual(scheme.transformers);
    expect(cut.schemes.find((s) => s.id === scheme.id)).toBe(scheme);
    expect(parseProperty(serialiseProperty(cut)).ok).toBe(true);
  });

  it('is cut afresh, not added twice, and knows its base', () => {
    const { property, scheme } = ranked();
    const once = cutPackage(property, scheme, PACKAGES[0]);
    const twice = cutPackage(once, scheme, PACKAGES[0]);
    expect(twice.schemes).toHaveLength(once.schemes.length);
    const core = twice.schemes.find((s) => s.name.endsWith('Core'))!;
    expect(packageShown(twice, core.id)).toMatchObject({ base: { id: scheme.id }, rank: 1 });
    expect(packageShown(twice, scheme.id)).toMatchObject({ base: { id: scheme.id }, rank: 3 });
  });
});
