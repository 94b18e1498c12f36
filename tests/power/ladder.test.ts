import { describe, expect, it } from 'vitest';
import { type LadderNode, type Load, solveLadder } from '../../src/power/index.ts';

/** Stranded AWG 12 at 75 °C, 1.98 ohm/kft (NEC chapter 9 table 8, by facts 9.1). */
const OHM_PER_FT = 1.98 / 1000;

/** First lamp at 25 ft, then 4 × 20 ft (facts 9.2, daisy chain). */
function daisy(load: Load): LadderNode[] {
  return [25, 20, 20, 20, 20].map((ft, i) => ({ parent: i - 1, ohm: 2 * ft * OHM_PER_FT, load }));
}

const CASES: { name: string; load: Load; volts: number[]; totalA: number }[] = [
  {
    name: 'constant current, 20 W',
    load: { kind: 'constantCurrent', amperes: 20 / 12 },
    volts: [11.175, 10.647, 10.251, 9.987, 9.855],
    totalA: 8.3333,
  },
  {
    name: 'constant power, 20 W',
    load: { kind: 'constantPower', voltAmperes: 20 },
    volts: [11.0089, 10.36, 9.8639, 9.5284, 9.3592],
    totalA: 10.0107,
  },
  {
    name: 'resistive, 20 W',
    load: { kind: 'resistive', ohm: 144 / 20 },
    volts: [11.272, 10.8135, 10.4741, 10.2498, 10.1383],
    totalA: 7.3538,
  },
  {
    name: 'constant current, 5 W',
    load: { kind: 'constantCurrent', amperes: 5 / 12 },
    volts: [11.7937, 11.6617, 11.5627, 11.4967, 11.4637],
    totalA: 2.0833,
  },
  {
    name: 'constant power, 5 W',
    load: { kind: 'constantPower', voltAmperes: 5 },
    volts: [11.7862, 11.6488, 11.5454, 11.4763, 11.4417],
    totalA: 2.1592,
  },
  {
    name: 'resistive, 5 W',
    load: { kind: 'resistive', ohm: 144 / 5 },
    volts: [11.8005, 11.6733, 11.5782, 11.5149, 11.4834],
    totalA: 2.0156,
  },
];

describe('ladder: daisy chains of facts 9.2, check case 15', () => {
  for (const { name, load, volts, totalA } of CASES) {
    it(name, () => {
      const solution = solveLadder(12, daisy(load))!;
      volts.forEach((V, i) => {
        expect(Math.abs(solution.volts[i]! - V)).toBeLessThan(6e-5);
      });
      expect(Math.abs(solution.amperes[0]! - totalA)).toBeLessThan(6e-5);
    });
  }
});

describe('ladder: one lump, closed form of trade 0.6', () => {
  const V0 = 12;
  const R = 0.5;
  const collapse = (V0 * V0) / (4 * R);
  const lump = (voltAmperes: number) => solveLadder(V0, [{ parent: -1, ohm: R, load: { kind: 'constantPower', voltAmperes } }]);

  for (const share of [0.01, 0.3, 0.9, 0.999, 0.999999]) {
    it(`V = (V0 + sqrt(V0² − 4SR))/2 at ${share} of the most it can pass`, () => {
      const S = share * collapse;
      expect(lump(S)!.volts[0]).toBeCloseTo((V0 + Math.sqrt(V0 * V0 - 4 * S * R)) / 2, 9);
    });
  }
  it('has no operating point above V0²/4R', () => {
    for (const share of [1.000001, 1.01, 1.5, 20]) expect(lump(share * collapse)).toBeUndefined();
  });
});

describe('ladder: trees', () => {
  it('keeps the balance of power: source = loads + losses', () => {
    const load: Load = { kind: 'constantPower', voltAmperes: 6 };
    const nodes: LadderNode[] = [
      { parent: -1, ohm: 0.12 },
      { parent: 0, ohm: 0.05, load },
      { parent: 0, ohm: 0.2, load },
      { parent: 2, ohm: 0.09, load: { kind: 'resistive', ohm: 20 } },
      { parent: -1, ohm: 0.3, load: { kind: 'constantCurrent', amperes: 0.4 } },
    ];
    const { volts, amperes } = solveLadder(13, nodes)!;
    const fed = 13 * (amperes[0]! + amperes[4]!);
    const loss = nodes.reduce((sum, node, i) => sum + amperes[i]! ** 2 * node.ohm, 0);
    const used = 6 + 6 + volts[3]! ** 2 / 20 + volts[4]! * 0.4;
    expect(fed).toBeCloseTo(loss + used, 9);
  });
  it('finds a solution of a chain exactly where working back from its end finds one', () => {
    /** Lowest source volts that can feed the chain, over all volts of its last lamp. */
    const lowestSourceV = (S: number) => {
      let lowest = Infinity;
      for (let end = 2; end < 12; end += 0.001) {
        let V = end;
        let I = 0;
        for (const ft of [20, 20, 20, 20, 25]) {
          I += S / V;
          V += I * 2 * ft * OHM_PER_FT;
        }
        lowest = Math.min(lowest, V);
      }
      return lowest;
    };
    for (let S = 20; S < 50; S += 0.5) {
      const solved = solveLadder(12, daisy({ kind: 'constantPower', voltAmperes: S })) !== undefined;
      expect(solved, `${S} VA a lamp`).toBe(lowestSourceV(S) <= 12);
    }
  });
  it('refuses what is no tree', () => {
    expect(() => solveLadder(12, [{ parent: 0, ohm: 1 }])).toThrow(/before its parent/);
    expect(() => solveLadder(12, [{ parent: -1, ohm: 0 }])).toThrow(/ohm/);
    expect(() => solveLadder(0, [])).toThrow(/0 V/);
  });
});
