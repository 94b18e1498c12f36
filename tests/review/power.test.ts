import { describe, expect, it } from 'vitest';
import { type Finding, findRemedy, reviewScheme } from '../../src/review/index.ts';
import type { PropertyDocument } from '../../src/scene/index.ts';
import { input, light, property, type TestLamp } from './helpers.ts';

interface Wiring {
  lamps?: TestLamp[];
  count?: number;
  feedM?: number;
  spacingM?: number;
  awg?: number;
  tapV?: number;
  capacityVa?: number;
  protectionA?: number | null;
}

/** `count` equal lamps in a daisy chain: a feed of `feedM`, then `spacingM` between lamps. */
function chain({
  lamps,
  count = 1,
  feedM = 1,
  spacingM = 1,
  awg = 12,
  tapV = 12,
  capacityVa = 300,
  protectionA = 10,
}: Wiring): PropertyDocument {
  const ids = Array.from({ length: count }, (_, i) => `L${i + 1}`);
  return property({
    lamps: lamps ?? [{ id: 'lamp' }],
    scheme: {
      fixtures: ids.map((id) => light(id, [0, 0, 0], [0, 1, 0])),
      transformers: [{ id: 'T1', name: 'T1', at: [0, 0, 0], capacityVa }],
      runs: [
        {
          id: 'B',
          name: 'B',
          transformerId: 'T1',
          tapV,
          gauge: { kind: 'awg', awg },
          slackShare: 0,
          ...(protectionA === null ? {} : { protectionA }),
          legs: ids.map((id, i) => ({
            id: `g${i + 1}`,
            ...(i ? { fromId: `g${i}` } : {}),
            lengthM: i ? spacingM : feedM,
            fixtureId: id,
          })),
        },
      ],
    },
  });
}

const find = (document: PropertyDocument, kind: string): Finding | undefined =>
  reviewScheme(input(document)).find((one) => one.kind === kind);

describe('power findings against hand sums', () => {
  it('transformerLoad: 262 VA of 300 is 87 %, above 80 %', () => {
    // One lamp of 262 VA at 1 mm of cable: the loss is below 0.01 %.
    const finding = find(chain({ lamps: [{ id: 'lamp', powerW: 262 }], feedM: 0.001 }), 'transformerLoad')!;
    expect(finding).toMatchObject({ severity: 'warn', subject: 'T1', limit: 0.8, label: 'Transformer over-full' });
    expect(finding.value).toBeCloseTo(0.8733, 3);
    expect(finding.message).toMatch(/262 VA of 300 VA, 87 %.*limit 80 %/);
  });
  it('cableCurrent: 12 A in 16 AWG (10 A, from memory) is a stop', () => {
    const finding = find(
      chain({ lamps: [{ id: 'lamp', powerW: 144 }], feedM: 0.001, awg: 16, capacityVa: 600 }),
      'cableCurrent',
    )!;
    expect(finding).toMatchObject({ severity: 'stop', subject: 'B/g1' });
    expect(finding.value).toBeCloseTo(1.2, 3);
  });
  it('circuitCurrent: 300 VA at 12 V is 25 A (facts 9.4): a stop just above, a note just below', () => {
    const severity = (powerW: number) =>
      find(chain({ lamps: [{ id: 'lamp', powerW }], feedM: 0.0001, awg: 8, capacityVa: 900 }), 'circuitCurrent')?.severity;
    expect(severity(301)).toBe('stop');
    expect(severity(299)).toBe('note');
    expect(severity(200)).toBeUndefined();
  });
  it('noProtection: a run without breaker', () => {
    expect(find(chain({ protectionA: null }), 'noProtection')).toMatchObject({ severity: 'warn', subject: 'B' });
    expect(find(chain({}), 'noProtection')).toBeUndefined();
  });
  it('lowVolts and mayNotStart: five 20 W lamps, 25 ft + 4 × 20 ft (as facts 9.2, at 30 °C)', () => {
    const lamps = [{ id: 'lamp', powerW: 20, lowestV: 10.5, startV: 11 }];
    const findings = reviewScheme(input(chain({ lamps, count: 5, feedM: 7.62, spacingM: 6.096 })));
    const low = findings.filter((one) => one.kind === 'lowVolts' && one.severity === 'warn').map((one) => one.subject);
    expect(low).toEqual(['L3', 'L4', 'L5']);
    const start = findings.filter((one) => one.kind === 'mayNotStart' && one.severity === 'warn').map((one) => one.subject);
    expect(start).toEqual(['L2', 'L3', 'L4', 'L5']);
  });
  it('mayNotStart: 87.5 W at × 1.75 where 50.5 W can be fed is a note on the run; at the marked draw a stop (screens 10)', () => {
    const lamps = (powerW: number) => [{ id: 'lamp', powerW, powerFactor: 0.7, startV: 0, lowestV: 0 }];
    const note = find(chain({ lamps: lamps(50), feedM: 45, capacityVa: 900 }), 'mayNotStart')!;
    expect(note).toMatchObject({ severity: 'note', subject: 'B', value: 87.5, unit: 'W' });
    expect(note.message).toMatch(/asks 88 W if lamps draw 1\.75 times their mark.*45 m of 12 AWG at 12 V can feed at most 50 W/);
    expect(find(chain({ lamps: lamps(51), feedM: 45, capacityVa: 900 }), 'mayNotStart')).toMatchObject({
      severity: 'stop',
      subject: 'B',
    });
  });
  it('highVolts: a lamp for 12.5 V on a 14 V tap, alone on its run; a tap of 15.5 V is a stop', () => {
    const lamps = [{ id: 'lamp', highestV: 12.5 }];
    expect(find(chain({ lamps, tapV: 14 }), 'highVolts')).toMatchObject({ severity: 'warn', subject: 'L1' });
    expect(find(chain({ lamps, tapV: 12 }), 'highVolts')).toBeUndefined();
    expect(find(chain({ tapV: 15.5, lamps: [{ id: 'lamp', highestV: 24 }] }), 'highVolts')).toMatchObject({
      severity: 'stop',
      subject: 'B',
      limit: 15,
    });
  });
  it('a quiet chain has no findings at all', () => {
    expect(reviewScheme(input(chain({})))).toEqual([]);
  });
});

describe('remedies of the cable solve', () => {
  it('low volts: the next gauge that lifts the lamp, tried before it is offered', () => {
    const lamps = [{ id: 'lamp', powerW: 20, lowestV: 10.5, startV: 5 }];
    const given = input(chain({ lamps, count: 5, feedM: 7.62, spacingM: 6.096 }));
    const finding = reviewScheme(given).find((one) => one.kind === 'lowVolts' && one.subject === 'L5')!;
    const remedy = findRemedy(finding, given)!;
    expect(remedy.before).toBe(finding.value);
    expect(remedy.after).toBeGreaterThan(0.5);
    expect(remedy.change.runs?.put).toBeDefined();
    expect(remedy.brings).toEqual([]);
  });
  it('no steady state: heavier cable feeds more than is asked (8 AWG: 128 W, screens 10)', () => {
    const lamps = [{ id: 'lamp', powerW: 50, powerFactor: 0.7, startV: 0, lowestV: 0 }];
    const given = input(chain({ lamps, feedM: 45, capacityVa: 900 }));
    const finding = reviewScheme(given).find((one) => one.kind === 'mayNotStart')!;
    const remedy = findRemedy(finding, given)!;
    expect(remedy.text).toBe('Use 8 AWG for run B');
    expect(remedy.before).toBeCloseTo(50.5, 1);
    expect(remedy.after).toBeCloseTo(128.4, 1);
  });
  it('over-full transformer: a larger one', () => {
    const given = input(
      chain({ lamps: [{ id: 'lamp', powerW: 140, startV: 5 }], feedM: 0.001, capacityVa: 150, protectionA: 15 }),
    );
    const finding = reviewScheme(given).find((one) => one.kind === 'transformerLoad')!;
    const remedy = findRemedy(finding, given)!;
    expect(remedy.change.transformers?.put?.[0]?.capacityVa).toBe(300);
    expect(remedy.after).toBeCloseTo(140 / 300, 3);
  });
  it('no protection: the smallest breaker a quarter above the run', () => {
    const given = input(chain({ protectionA: null, lamps: [{ id: 'lamp', powerW: 50 }], feedM: 0.001 }));
    const remedy = findRemedy(reviewScheme(given).find((one) => one.kind === 'noProtection')!, given)!;
    expect(remedy.change.runs?.put?.[0]?.protectionA).toBe(7.5);
  });
});
