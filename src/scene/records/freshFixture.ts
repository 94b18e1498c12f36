import type { FixtureRecord } from './fixture.ts';

type Given = Pick<FixtureRecord, 'id' | 'at' | 'aim' | 'lampId'> & Partial<FixtureRecord>;

/**
 * A fixture with every field at its default but those given: what `fixtureRecord.parse(given)` returns, without the
 * validator, so that workers need not carry it.
 *
 * @see tests/scene/document/freshFixture.test.ts
 */
export function freshFixture(given: Given): FixtureRecord {
  return {
    name: '',
    rollDeg: 0,
    mount: 'stake',
    lens: { kind: 'clear', rollDeg: 0 },
    shield: { kind: 'none', cutOffDeg: 45, rollDeg: 0 },
    leadLengthM: 3,
    wantedLx: 20,
    dim: 1,
    on: true,
    locks: { place: false, aim: false, lamp: false },
    reason: '',
    rank: 2,
    ...given,
  };
}
