import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatLength, inchesToM, type LengthUnit, mToInches, parseLength, spokenLength } from '../../src/units/index.ts';

const metres = (text: string, bareUnit: LengthUnit = 'm', relativeToM?: number): number | string => {
  const entry = parseLength(text, { bareUnit, ...(relativeToM === undefined ? {} : { relativeToM }) });
  return entry.ok ? entry.valueM : entry.reason;
};

describe('entry of lengths', () => {
  // 1 in = 25.4 mm exactly (international yard and pound agreement, 1959): 80 in = 2032 mm.
  const eighty: [string][] = [
    [`6' 8"`],
    [`6'8"`],
    [`6ft 8in`],
    [`6' 8`],
    [`6 ft 8`],
    [`6'-8"`],
    ['80 in'],
    ['80"'],
    ["80''"],
    ['80 inches'],
    ['6′ 8″'],
    ['6’ 8”'],
    ['2.032 m'],
    ['2,032 m'],
    ['203.2 cm'],
    ['2032 mm'],
    ['2 m 3.2 cm'],
  ];
  it.each(eighty)('%s is 2.032 m exactly', (text) => {
    expect(metres(text)).toBe(2.032);
  });

  it('reads halves and other fractions', () => {
    expect(metres('6ft 8 1/2in')).toBe(2.0447);
    expect(metres('6\' 8 ½"')).toBe(2.0447);
    expect(metres('1/2 in')).toBe(0.0127);
    expect(metres('½"')).toBe(0.0127);
    expect(metres('18"')).toBe(0.4572);
    expect(metres('2,03 m')).toBe(2.03);
    expect(metres('203 cm')).toBe(2.03);
    expect(metres('2030 mm')).toBe(2.03);
  });

  it('gives a bare number the unit of the field', () => {
    expect(metres('2', 'm')).toBe(2);
    expect(metres('2', 'ft')).toBe(0.6096);
    expect(metres('18', 'in')).toBe(0.4572);
    expect(metres('45', 'cm')).toBe(0.45);
  });

  it('adds what begins with a sign, and sets what begins with =', () => {
    expect(metres('+10 cm', 'm', 0.38)).toBeCloseTo(0.48, 12);
    expect(metres('-2 in', 'm', 0.38)).toBeCloseTo(0.3292, 12);
    expect(metres('−2 in', 'm', 0.38)).toBeCloseTo(0.3292, 12);
    expect(metres('=-5 cm', 'm', 0.38)).toBe(-0.05);
    expect(metres('+10 cm')).toContain('there is none yet');
  });

  it('keeps what was typed', () => {
    expect(parseLength(` 6' 8" `, { bareUnit: 'm' })).toEqual({ ok: true, valueM: 2.032, asTyped: `6' 8"`, relative: false });
  });

  it('refuses inches before feet, word for word, with three accepted examples', () => {
    const refusal = parseLength(`6" 8'`, { bareUnit: 'm' });
    expect(refusal).toEqual({
      ok: false,
      reason: `'6" 8'' reads inches before feet. Try 6' 8", 80 in or 2.03 m.`,
      accepted: [`6' 8"`, '80 in', '2.03 m'],
    });
    expect(metres(`3" 11'`)).toBe(`'3" 11'' reads inches before feet. Try 3' 11", 47 in or 1.19 m.`);
  });

  const wrong = [
    '',
    'tall',
    '6 x 8',
    '2 m 6"',
    `6' 14"`,
    `6' 12"`,
    `6.5' 3"`,
    '1/0 in',
    '1,000 mm',
    '1.2.3 m',
    '6 8',
    'NaN',
    'Infinity',
    '3 cm 2 m',
    '6 ft 8 in 2 m',
    '6-',
    '1e3 m',
    '5 kg',
    "'",
    '<b>2</b>',
  ];
  it.each(wrong.map((text) => [text]))('refuses "%s" with examples it would take', (text) => {
    const entry = parseLength(text, { bareUnit: 'm', relativeToM: 1 });
    expect(entry.ok).toBe(false);
    if (entry.ok) return;
    expect(entry.accepted).toHaveLength(3);
    for (const example of entry.accepted) expect(parseLength(example, { bareUnit: 'm' }).ok).toBe(true);
  });

  const seed = 9180;
  it(`reads back what it shows, to half an inch and to a centimetre, seed ${seed}`, () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 300, noNaN: true }), (valueM) => {
        expect(Math.abs(Number(metres(formatLength(valueM, 'feetInches'))) - valueM)).toBeLessThanOrEqual(0.0254 / 4 + 1e-9);
        expect(Math.abs(Number(metres(formatLength(valueM, 'metric'))) - valueM)).toBeLessThanOrEqual(0.005 + 1e-9);
      }),
      { seed },
    );
  });

  it(`keeps whole sixteenths of an inch exactly, seed ${seed}`, () => {
    fc.assert(
      fc.property(fc.nat(12 * 16 * 100), (sixteenths) => {
        const inches = sixteenths / 16;
        const text = formatLength(inchesToM(inches), 'feetInches', { inchParts: 16 });
        expect(metres(text)).toBe(inchesToM(inches));
        expect(mToInches(inchesToM(inches))).toBeCloseTo(inches, 9);
      }),
      { seed },
    );
  });

  it(`never throws and never takes what is not finite, seed ${seed}`, () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.stringMatching(/^[-+=]?[0-9 .,/'"ftincm]{0,12}$/)), (text) => {
        const entry = parseLength(text, { bareUnit: 'ft', relativeToM: 1 });
        if (entry.ok) expect(Number.isFinite(entry.valueM)).toBe(true);
      }),
      { seed, numRuns: 500 },
    );
  });
});

describe('display of lengths', () => {
  it('writes metric and feet-inches', () => {
    expect(formatLength(2.032)).toBe('2.03 m');
    expect(formatLength(2.032, 'feetInches')).toBe(`6' 8"`);
    expect(formatLength(2.0447, 'feetInches')).toBe(`6' 8 1/2"`);
    expect(formatLength(0.38, 'feetInches')).toBe(`1' 3"`);
    expect(formatLength(0.6096, 'feetInches')).toBe("2'");
    expect(formatLength(0.0762, 'feetInches')).toBe('3"');
    expect(formatLength(0.0127, 'feetInches')).toBe('1/2"');
    expect(formatLength(0, 'feetInches')).toBe('0"');
    expect(formatLength(-0.05, 'feetInches')).toBe('-2"');
    expect(formatLength(-0.001)).toBe('0.00 m');
    // 11.9 in rounds up to a foot, not to 12 inches.
    expect(formatLength(inchesToM(11.9), 'feetInches')).toBe("1'");
  });

  it('speaks units in full', () => {
    expect(spokenLength(0.38)).toBe('0.38 metres, 1 foot 3 inches');
    expect(spokenLength(2.032, 'feetInches')).toBe('6 feet 8 inches, 2.03 metres');
  });
});
