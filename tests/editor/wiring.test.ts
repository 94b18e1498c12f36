import { describe, expect, it } from 'vitest';
import { createLight, freeLegs, isWired, joinNearestRun } from '../../src/editor/index.ts';
import type { RunRecord, SchemeRecord } from '../../src/scene/index.ts';
import { testProperty } from './property.ts';

const property = testProperty();
const good = property.schemes[0]!;
const run = good.runs[0]!;
const added = createLight(property, 'good', [-4, 0.1, 0.38], [0, 4, 0]);

const withRun = (change: Partial<RunRecord>): SchemeRecord => ({ ...good, runs: [{ ...run, ...change }] });
const leg = (id: string, fromId: string | undefined, lengthM: number, fixtureId?: string): RunRecord['legs'][number] => ({
  id,
  lengthM,
  lengthGuessed: false,
  ...(fromId === undefined ? {} : { fromId }),
  ...(fixtureId === undefined ? {} : { fixtureId }),
});
const joinedTo = (scheme: SchemeRecord): string | undefined => joinNearestRun(scheme, added).runs[0]!.legs.at(-1)!.fromId;

describe('joining a run', () => {
  it('goes to the open end of a daisy even when another light is nearer, and to the nearest node of a tee', () => {
    expect(joinedTo(good)).toBe('A-2');
    expect(joinedTo(withRun({ topology: 'tee' }))).toBe('A-1');
  });

  it('goes to the joint of a hub, amid the lights it feeds', () => {
    const legs = [leg('hub', undefined, 4), leg('a', 'hub', 1, 'L1'), leg('b', 'hub', 3, 'L2')];
    const joined = joinNearestRun(withRun({ topology: 'hub', legs }), added).runs[0]!.legs.at(-1)!;
    // Joint between L1 (x −4.5) and L2 (x −0.5) at x −2.5: 1.5 m away, × 1.2 = 1.8 m.
    expect(joined).toMatchObject({ fromId: 'hub', lengthM: 1.8, lengthGuessed: true });
  });

  it('starts at the transformer of a run without legs', () => {
    const joined = joinNearestRun(withRun({ legs: [] }), added).runs[0]!.legs;
    expect(joined).toHaveLength(1);
    expect(joined[0]!.fromId).toBeUndefined();
  });

  it('takes the nearest of several runs, and no light twice', () => {
    const near = { ...run, id: 'B', legs: [{ ...leg('B-1', undefined, 2), path: [[-4, 0, 1]] as [number, number, number][] }] };
    const scheme = joinNearestRun({ ...good, runs: [run, near] }, added);
    expect(scheme.runs[1]!.legs.at(-1)).toMatchObject({ id: 'B-2', fromId: 'B-1', fixtureId: added.id });
    expect(joinNearestRun(scheme, added)).toBe(scheme);
  });

  it('leaves a light not wired without a run', () => {
    expect(isWired(joinNearestRun({ ...good, runs: [] }, added), added.id)).toBe(false);
  });
});

describe('taking lights off a run', () => {
  it('joins two lengths where one cable goes on', () => {
    expect(freeLegs(run, ['L1']).legs).toEqual([leg('A-2', undefined, 8, 'L2')]);
  });

  it('drops the last leg, and a joint that feeds nothing more', () => {
    expect(freeLegs(run, ['L2']).legs).toEqual([leg('A-1', undefined, 3, 'L1')]);
    const legs = [leg('hub', undefined, 4), leg('a', 'hub', 1, 'L1')];
    expect(freeLegs({ ...run, legs }, ['L1']).legs).toEqual([]);
  });

  it('leaves a joint where several cables go on, so that no shared cable counts twice', () => {
    const legs = [leg('a', undefined, 4, 'L1'), leg('b', 'a', 1, 'L2'), leg('c', 'a', 2, 'L3')];
    expect(freeLegs({ ...run, legs }, ['L1']).legs).toEqual([leg('a', undefined, 4), legs[1], legs[2]]);
  });

  it('takes several at once and leaves other runs as they are', () => {
    expect(freeLegs(run, ['L1', 'L2']).legs).toEqual([]);
    expect(freeLegs(run, ['X'])).toBe(run);
  });

  it('keeps a guess marked as a guess when lengths are joined', () => {
    const legs = [{ ...leg('a', undefined, 4, 'L1'), lengthGuessed: true }, leg('b', 'a', 1, 'L2')];
    expect(freeLegs({ ...run, legs }, ['L1']).legs[0]).toMatchObject({ lengthM: 5, lengthGuessed: true });
  });
});
