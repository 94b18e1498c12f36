import { describe, expect, it } from 'vitest';
import { fixtureRecord, freshFixture } from '../../../src/scene/index.ts';

describe('freshFixture', () => {
  it('gives what the validator gives, defaults and all', () => {
    const given = { id: 'L1', at: [1, 2, 3] as const, aim: [1, 3, 3] as const, lampId: 'warm' };
    const asWritten = { ...given, at: [1, 2, 3] as [number, number, number], aim: [1, 3, 3] as [number, number, number] };
    expect(freshFixture(asWritten)).toEqual(fixtureRecord.parse(given));
    expect(freshFixture({ ...asWritten, mount: 'wall', dim: 0.5 })).toEqual(
      fixtureRecord.parse({ ...given, mount: 'wall', dim: 0.5 }),
    );
  });
});
