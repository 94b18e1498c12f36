import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  degToRad,
  fcToLx,
  feetToM,
  formatAngle,
  formatFigure,
  formatIlluminance,
  lxToFc,
  mToFeet,
  parseAngle,
  radToDeg,
} from '../../src/units/index.ts';

const degrees = (text: string): number | string => {
  const entry = parseAngle(text);
  return entry.ok ? entry.valueDeg : entry.reason;
};

describe('angles', () => {
  it('reads degrees and slopes', () => {
    expect(degrees('35')).toBe(35);
    expect(degrees('35°')).toBe(35);
    expect(degrees('35,5 deg')).toBe(35.5);
    expect(degrees('-10')).toBe(-10);
    // atan(7/12) = 30.2564°, atan(1/15) = 3.8141° (closed form).
    expect(degrees('7:12')).toBeCloseTo(30.2564, 4);
    expect(degrees('1:15')).toBeCloseTo(3.8141, 4);
    expect(degrees('12:12')).toBeCloseTo(45, 12);
  });

  it('adds to a value where one is given', () => {
    expect(parseAngle('+5', { relativeToDeg: 30 })).toMatchObject({ ok: true, valueDeg: 35, relative: true });
  });

  it('refuses the rest with examples it would take', () => {
    for (const text of ['', 'steep', '0:0', '7:12:3', '35 m', 'NaN']) {
      const entry = parseAngle(text);
      expect(entry.ok).toBe(false);
      if (!entry.ok) for (const example of entry.accepted) expect(parseAngle(example).ok).toBe(true);
    }
  });

  it('shows at most one decimal', () => {
    expect([35, 30.256, -0.01].map(formatAngle)).toEqual(['35°', '30.3°', '0°']);
  });
});

describe('light and conversions', () => {
  it('one footcandle is 10.764 lx (1 lm/ft²; IES handbook conversion table gives 10.76)', () => {
    expect(fcToLx(1)).toBeCloseTo(10.7639, 4);
    expect(formatIlluminance(42)).toBe('42 lx');
    expect(formatIlluminance(107.639, 'fc')).toBe('10 fc');
  });

  it('writes figures without empty digits', () => {
    expect([286.4, 42.04, 4.5, 0.43, 0.0212, 0.0001, 0, 99.96].map(formatFigure)).toEqual([
      '286',
      '42',
      '4.5',
      '0.43',
      '0.021',
      '0',
      '0',
      '100',
    ]);
  });

  const seed = 77;
  it(`inverse pairs come back, seed ${seed}`, () => {
    const pairs: [(x: number) => number, (x: number) => number][] = [
      [feetToM, mToFeet],
      [lxToFc, fcToLx],
      [degToRad, radToDeg],
    ];
    fc.assert(
      fc.property(fc.double({ min: -1e4, max: 1e4, noNaN: true }), (x) => {
        for (const [there, back] of pairs) expect(back(there(x))).toBeCloseTo(x, 8);
      }),
      { seed },
    );
  });
});
