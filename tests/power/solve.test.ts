import { describe, expect, it } from 'vitest';
import { conductorOhmPerM, solvePower } from '../../src/power/index.ts';
import { type Gauge, type PropertyDocument, propertyRecord } from '../../src/scene/index.ts';

const FT = 0.3048;

interface TestLamp {
  powerW?: number;
  powerFactor?: number;
  electrical?: 'constantPower' | 'resistive';
}

/** A scheme with one run; `legs` as [from leg or undefined, metres, with a light]. */
function property(options: {
  legs: [string | undefined, number, boolean][];
  gauge: Gauge;
  lamp?: TestLamp;
  tapV?: number;
  slackShare?: number;
  leadLengthM?: number;
}): PropertyDocument {
  const legs = options.legs.map(([fromId, lengthM, light], i) => ({
    id: `g${i + 1}`,
    ...(fromId === undefined ? {} : { fromId }),
    lengthM,
    ...(light ? { fixtureId: `L${i + 1}` } : {}),
  }));
  return propertyRecord.parse({
    format: 'gloaming-property',
    version: 1,
    name: 'Textbook chain',
    site: {},
    catalogue: {
      lamps: [
        {
          id: 'lamp',
          name: 'Lamp',
          distribution: { kind: 'model', fluxLm: 300, beamAngleFullDeg: 36, spillShare: 0 },
          cctK: 2700,
          powerW: 20,
          powerFactor: 1,
          lowestV: 9,
          startV: 10.5,
          highestV: 15,
          ...options.lamp,
        },
      ],
    },
    schemes: [
      {
        id: 's',
        name: 'S',
        fixtures: legs
          .filter((leg) => leg.fixtureId)
          .map((leg) => ({
            id: leg.fixtureId,
            at: [0, 0, 0],
            aim: [0, 1, 0],
            lampId: 'lamp',
            leadLengthM: options.leadLengthM ?? 0,
          })),
        transformers: [{ id: 'T1', name: 'T1', at: [0, 0, 0], capacityVa: 300 }],
        runs: [
          {
            id: 'A',
            name: 'A',
            transformerId: 'T1',
            tapV: options.tapV ?? 12,
            gauge: options.gauge,
            slackShare: options.slackShare ?? 0,
            legs,
          },
        ],
      },
    ],
  });
}

const awg12At75C: Gauge = { kind: 'ohmPerM', ohmPerM: 1.98 / (1000 * FT) };
const solid12At20C: Gauge = { kind: 'ohmPerM', ohmPerM: 5.211e-3 };

describe('the document solve agrees with handbook chains', () => {
  const legs: [string | undefined, number, boolean][] = [25, 20, 20, 20, 20].map((ft, i) => [
    i ? `g${i}` : undefined,
    ft * FT,
    true,
  ]);
  it('5 × 20 W daisy on AWG 12, constant power, power factor 1 (facts 9.2, case 15)', () => {
    const result = solvePower(property({ legs, gauge: awg12At75C }), 's');
    [11.0089, 10.36, 9.8639, 9.5284, 9.3592].forEach((V, i) => {
      expect(result.fixtures[i]!.volts).toBeCloseTo(V, 4);
    });
    expect(result.runs[0]!.amperes).toBeCloseTo(10.0107, 4);
    expect(result.transformers[0]!.voltAmperes).toBeCloseTo(12 * 10.0107, 2);
    expect(result.fixtures[4]!.startMarginV).toBeCloseTo(9.3592 - 10.5, 4);
  });
  it('the same lamps as resistances: last one 10.1383 V (case 15)', () => {
    const result = solvePower(property({ legs, gauge: awg12At75C, lamp: { electrical: 'resistive' } }), 's');
    expect(result.fixtures[4]!.volts).toBeCloseTo(10.1383, 4);
    expect(result.fixtures[4]!.watts).toBeCloseTo((20 * 10.1383 ** 2) / 144, 3);
  });
  it('50 W halogen at 129 ft of solid 12 AWG at 20 °C: 10.51 V (trade 0.6)', () => {
    const document = property({
      legs: [[undefined, 129 * FT, true]],
      gauge: solid12At20C,
      lamp: { electrical: 'resistive', powerW: 50 },
    });
    expect(solvePower(document, 's').fixtures[0]!.volts).toBeCloseTo(10.51, 2);
  });
});

describe('what the solve adds to the chain', () => {
  it('a hub of equal leads gives equal volts', () => {
    const legs: [string | undefined, number, boolean][] = [
      [undefined, 10, false],
      ...Array.from({ length: 4 }, (): [string, number, boolean] => ['g1', 6, true]),
    ];
    const volts = solvePower(property({ legs, gauge: { kind: 'awg', awg: 12 } }), 's').fixtures.map((one) => one.volts!);
    for (const V of volts) expect(V).toBeCloseTo(volts[0]!, 10);
  });
  it('power factor .7: S = P/PF in the lump formula', () => {
    const document = property({
      legs: [[undefined, 20, true]],
      gauge: { kind: 'awg', awg: 12 },
      lamp: { powerW: 7, powerFactor: 0.7 },
    });
    const R = 2 * 20 * 5.55e-3;
    expect(solvePower(document, 's').fixtures[0]!.volts).toBeCloseTo((12 + Math.sqrt(144 - 4 * 10 * R)) / 2, 10);
  });
  it('slack and an 18 AWG lead lengthen the loop', () => {
    const document = property({
      legs: [[undefined, 20, true]],
      gauge: { kind: 'awg', awg: 12 },
      slackShare: 0.15,
      leadLengthM: 3,
    });
    const R = 2 * 20 * 1.15 * 5.55e-3 + 2 * 3 * 22.29e-3;
    const result = solvePower(document, 's');
    const V = (12 + Math.sqrt(144 - 4 * 20 * R)) / 2;
    expect(result.fixtures[0]!.volts).toBeCloseTo(V, 10);
    expect(result.runs[0]!.lossW).toBeCloseTo((20 / V) ** 2 * R, 8);
  });
  it('45 m of 12 AWG at 12 V passes at most 50.5 W at power factor .7; 87.5 W has no steady state (screens 10)', () => {
    const document = property({
      legs: [[undefined, 45, true]],
      gauge: { kind: 'awg', awg: 12 },
      lamp: { powerW: 50, powerFactor: 0.7 },
    });
    const marked = solvePower(document, 's');
    expect(marked.runs[0]!.mostWatts).toBeCloseTo(50.5, 1);
    expect(marked.runs[0]!.solved).toBe(true);
    const stressed = solvePower(document, 's', { drawFactor: 1.75 });
    expect(stressed.runs[0]!).toMatchObject({ solved: false, amperes: null, lossW: null, markedWatts: 87.5 });
    expect(stressed.fixtures[0]!).toMatchObject({ volts: null, amperes: null, startMarginV: null });
    expect(stressed.transformers[0]!).toMatchObject({ voltAmperes: null, loadFraction: null });
  });
  it('only: one lamp with all others off stands higher than with them', () => {
    const document = property({
      legs: [
        [undefined, 20, true],
        ['g1', 20, true],
      ],
      gauge: { kind: 'awg', awg: 12 },
    });
    const alone = solvePower(document, 's', { only: ['L1'] }).fixtures[0]!.volts!;
    const R = 2 * 20 * 5.55e-3;
    expect(alone).toBeCloseTo((12 + Math.sqrt(144 - 4 * 20 * R)) / 2, 10);
    expect(alone).toBeGreaterThan(solvePower(document, 's').fixtures[0]!.volts!);
  });
  it('names lights on no run, and legs that lead nowhere', () => {
    const document = property({
      legs: [
        [undefined, 5, true],
        ['lost', 5, true],
      ],
      gauge: { kind: 'awg', awg: 12 },
    });
    const result = solvePower(document, 's');
    expect(result.notWired).toEqual(['L2']);
    expect(result.fixtures.find((one) => one.id === 'L2')).toMatchObject({ runId: null, volts: null });
    expect(result.assumptions.join(' ')).toMatch(/leg g2 starts at lost/);
  });
  it('a wrong scheme or draw is refused with what would do', () => {
    const document = property({ legs: [[undefined, 5, true]], gauge: { kind: 'awg', awg: 12 } });
    expect(() => solvePower(document, 'x')).toThrow(/no scheme "x"; this property has: s/);
    expect(() => solvePower(document, 's', { drawFactor: Number.NaN })).toThrow(/draw factor/);
  });
});

describe('conductors', () => {
  it('AWG stranded at 30 °C follow the 75 °C table of NEC chapter 9 by its own rule (from memory)', () => {
    const table75: Record<string, number> = { 18: 7.95, 16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24, 8: 0.778 };
    for (const awg of [18, 16, 14, 12, 10, 8] as const) {
      const at30 = (table75[awg]! * (1 + 0.00323 * (30 - 75))) / 304.8;
      expect(conductorOhmPerM({ kind: 'awg', awg }) / at30).toBeCloseTo(1, 2);
    }
  });
  it('2.5 mm² is 7.41 mohm/m at 20 °C (IEC 60228, from memory) and 3.93 % more at 30 °C', () => {
    expect(conductorOhmPerM({ kind: 'mm2', areaMm2: 2.5 })).toBeCloseTo(7.41e-3 * 1.0393, 8);
  });
});
