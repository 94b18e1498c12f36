import { describe, expect, it } from 'vitest';
import { candelaAt } from '../../src/lights/distribution.ts';
import { readPhotometry } from '../../src/lights/photometry/index.ts';
import { bytes, cosine, cosPower, DEG, isotropic, keptFiles, lm63, type Lm63Options, lobes, steps } from './photometryFiles.ts';

const read = (text: string) => readPhotometry(bytes(text), 'test.ies');
const readOf = (I: Parameters<typeof lm63>[0], options: Lm63Options = {}) => read(lm63(I, options));

describe('flux against closed forms', () => {
  // Lambertian π·I0, isotropic 4π·I0, cosⁿ 2π·I0/(n+1); finite steps as facts.md 1.9 (computed).
  it.each([
    [10, 3133.593],
    [5, 3139.597],
    [1, 3141.513],
  ])('1000·cos γ in %d° steps: %d lm', (step, lm) => {
    expect(readOf(cosine, { v: steps(0, 90, step) }).fluxLm).toBeCloseTo(lm, 2);
  });
  it('1000·cos γ in quarter degrees: π·1000 lm within .001 %', () => {
    expect(readOf(cosine, { v: steps(0, 90, 0.25) }).fluxLm / (1000 * Math.PI)).toBeCloseTo(1, 5);
  });
  it('100 cd everywhere: 400π lm; no half intensity, so 360°', () => {
    const r = readOf(isotropic, { v: steps(0, 180, 10) });
    expect(r.fluxLm).toBeCloseTo(400 * Math.PI, 6);
    expect(r.beamAngleFullDeg).toBe(360);
  });
  it('cos^13.8127: 425.104 lm at 2.5°, 2π·1000/(n+1) at .25°; beam 36°, field 64.34° (facts.md 1.9, 3.2)', () => {
    expect(readOf(cosPower(13.8127), { v: steps(0, 90, 2.5) }).fluxLm).toBeCloseTo(425.104, 2);
    const fine = readOf(cosPower(13.8127), { v: steps(0, 90, 0.25) });
    expect(fine.fluxLm / ((2 * Math.PI * 1000) / 14.8127)).toBeCloseTo(1, 4);
    expect(fine.beamAngleFullDeg).toBeCloseTo(36, 2);
    expect(fine.fieldAngleFullDeg).toBeCloseTo(64.34, 1);
    expect(readOf(cosPower(13.8127), { v: steps(0, 90, 5) }).beamAngleFullDeg).toBeCloseTo(36.097, 2);
  });
  it('check case 1: 3226.850 lm, tilt 1/.9/.8/1 at 0/45/90/180, and a warning against the declared 1000 lm', () => {
    const r = read(keptFiles['tilt-include.ies']!());
    expect(r.fluxLm).toBeCloseTo(3226.85, 2);
    expect(r.declaredFluxLm).toBe(1000);
    expect(r.metadata.tilt).toEqual({ lampToLuminaire: 1, anglesDeg: [0, 45, 90, 180], factors: [1, 0.9, 0.8, 1] });
    expect(r.warnings.join(' ')).toContain('lamp vertical: 1 at 0°, 0.9 at 45°, 0.8 at 90°, 1 at 180°). Not applied:');
    expect(r.warnings.join(' ')).toContain('Header says 1,000 lm, its candela add up to 3,227 lm. Using the candela.');
  });
});

describe('pitfalls of facts.md 1.7', () => {
  it('1: field 12 scales up to 1995 only (check case 2)', () => {
    const tail: [number, number, number] = [1, 1.111, 10];
    expect(readOf(cosine, { header: 'IES:LM-63-2019', tail }).peakCd).toBe(1000);
    expect(readOf(cosine, { header: 'IES:LM-63-2019', tail }).metadata.fileGeneration).toMatch(/accredited.*interpolated/);
    expect(readOf(cosine, { header: 'IESNA:LM-63-1995', tail }).peakCd).toBeCloseTo(1111, 9);
    expect(readOf(cosine, { header: 'IESNA91', tail }).peakCd).toBeCloseTo(1111, 9);
    expect(readOf(cosine, { header: '', labels: ['a lamp of 1986'], tail }).peakCd).toBeCloseTo(1111, 9);
    const of2002 = readOf(cosine, { header: 'IESNA:LM-63-2002', tail });
    expect(of2002.peakCd).toBe(1000);
    expect(of2002.warnings.join()).toContain('1.111');
  });
  it('multiplier and ballast factor scale in every edition; lumens do not', () => {
    for (const header of ['', 'IESNA91', 'IESNA:LM-63-1995', 'IESNA:LM-63-2002', 'IES:LM-63-2019']) {
      const r = readOf(cosine, { header, multiplier: 2.5, tail: [0.9, 1, 10], lumens: 777, lamps: 3 });
      expect(r.peakCd).toBeCloseTo(2250, 9);
      expect(r.declaredFluxLm).toBe(2331);
    }
  });
  it('2: a comma separates; blanks, tabs and commas mix', () => {
    for (const separator of [',', ', ', ' , ', '\t', '   '])
      expect(readOf(cosine, { separator }).fluxLm).toBeCloseTo(3139.597, 2);
  });
  it('3: numbers wrap anywhere', () => {
    for (const perLine of [1, 3, 7, 1000]) expect(readOf(cosine, { perLine }).fluxLm).toBeCloseTo(3139.597, 2);
  });
  it('4: TILT=INCLUDE arrays wrap anywhere', () => {
    const n = 23;
    const angles = Array.from({ length: n }, (_, i) => i * 8);
    for (const glue of ['\n', ' ', '\n\n']) {
      const tilt = ['TILT=INCLUDE', '2', String(n), angles.join(glue), angles.map(() => '1').join(glue)].join('\n');
      const r = readOf(cosine, { tilt });
      expect(r.metadata.tilt?.anglesDeg).toEqual(angles);
      expect(r.fluxLm).toBeCloseTo(3139.597, 2);
    }
  });
  it('5: −1 lumens with several lamps is absolute: nothing declared, flux integrated', () => {
    const r = readOf(cosine, { lamps: 4, lumens: -1 });
    expect(r.declaredFluxLm).toBeUndefined();
    expect(r.fluxLm).toBeCloseTo(3139.597, 2);
    expect(r.warnings).toEqual([]);
  });
  it('6: both fluxes are said where they differ by more than 2 %, and what share leaves', () => {
    expect(readOf(cosine, { lumens: 3140 }).warnings).toEqual([]);
    expect(readOf(cosine, { lumens: 4000 }).warnings.join()).toMatch(/4,000 lm.*3,140 lm.*78 %/);
  });
  it('9: a circle that ends at 350° or 355° is closed, with the same flux as one that repeats 360°', () => {
    const I = lobes(0.4, 0.3);
    const full = readOf(I, { h: steps(0, 360, 10) });
    for (const step of [5, 10]) {
      const open = readOf(I, { h: steps(0, 360 - step, step) });
      expect(open.fluxLm / full.fluxLm).toBeCloseTo(1, 3);
      expect(candelaAt(open.table, 30 * DEG, (360 - step / 2) * DEG)).toBeCloseTo((I(30, 360 - step) + I(30, 0)) / 2, 6);
    }
    // Flux of 500·cosγ·(1 + …) is 500π: the round terms vanish over the circle.
    expect(full.fluxLm / (500 * Math.PI)).toBeCloseTo(1, 2);
  });
  it('10: 90 to 180 only: below is dark, not extrapolated', () => {
    const up = readOf((g) => 1000 * Math.max(0, -Math.cos(g * DEG)), { v: steps(90, 180, 5) });
    expect(up.fluxLm).toBeCloseTo(3139.597, 2);
    for (const g of [0, 45, 85, 89]) expect(candelaAt(up.table, g * DEG)).toBe(0);
    expect(up.beamAngleFullDeg).toBeCloseTo(120, 6);
    expect(up.warnings).toEqual([]);
  });
  it('11: the line of ballast factor and watts missing in 1986; text after the data; CTRL-Z', () => {
    const old = readOf(cosine, { header: '', labels: ['a lamp', ''], tail: 'missing' });
    expect(old.peakCd).toBe(1000);
    expect(old.metadata.inputW).toBeUndefined();
    expect(old.warnings.join()).toContain('missing');
    const trailing = read(`${lm63(cosine)}end of data\r\n\x1a`);
    expect(trailing.fluxLm).toBeCloseTo(3139.597, 2);
    expect(trailing.warnings.join()).toMatch(/Text after the candela/);
    expect(read(`${lm63(cosine)}\x1a\x1a`).warnings).toEqual([]);
  });
  it('12: TILT with blanks and in lower case, keywords after blank lines, none at all', () => {
    for (const tilt of ['TILT = NONE', 'tilt=none', '  Tilt= None  ']) expect(readOf(cosine, { tilt }).peakCd).toBe(1000);
    expect(
      readOf(cosine, { labels: ['', '', '[TEST] late', '', '[LUMINAIRE] invented', '[MORE] in two lines'] }).metadata.name,
    ).toBe('invented in two lines');
    expect(readOf(cosine, { labels: [] }).peakCd).toBe(1000);
  });
});

describe('editions by their first line (facts.md 1.1)', () => {
  it.each([
    ['', 'LM-63-1986'],
    ['IESNA86', 'LM-63-1986'],
    ['IESNA91', 'LM-63-1991'],
    ['IESNA:LM-63-1991', 'LM-63-1991'],
    ['IESNA:LM-63-1995', 'LM-63-1995'],
    ['  iesna:lm-63-2002 ', 'LM-63-2002'],
    ['IES:LM-63-2019', 'LM-63-2019'],
  ])('"%s"', (header, format) => {
    expect(readOf(cosine, { header, labels: ['[TEST] x'] }).format).toBe(format);
  });
  it('an unknown edition is read by the nearest known rules, and that is said', () => {
    const r = readOf(cosine, { header: 'IES:LM-63-2030' });
    expect(r.format).toBe('LM-63-2019');
    expect(r.warnings.join()).toContain('LM-63-2030');
  });
});

describe('Type C symmetries (facts.md 1.4)', () => {
  const g = 40;
  it('0 to 90 stands for four quadrants, 0 to 180 for two halves', () => {
    const quarter = lobes(0, 0, 0.5);
    const r = readOf(quarter, { h: steps(0, 90, 15) });
    for (const c of [30, 150, 210, 330]) expect(candelaAt(r.table, g * DEG, c * DEG)).toBeCloseTo(quarter(g, 30), 6);
    const half = readOf(lobes(0.5, 0), { h: steps(0, 180, 15) });
    for (const c of [75, 285]) expect(candelaAt(half.table, g * DEG, c * DEG)).toBeCloseTo(lobes(0.5, 0)(g, 75), 6);
  });
  it('90 to 270 is mirrored about that plane', () => {
    const I = lobes(0, 0.5, 0.2);
    const r = readOf(I, { h: steps(90, 270, 15) });
    for (const c of steps(0, 345, 15)) expect(candelaAt(r.table, g * DEG, c * DEG)).toBeCloseTo(I(g, c), 6);
    expect(r.fluxLm / readOf(I, { h: steps(0, 360, 15) }).fluxLm).toBeCloseTo(1, 9);
  });
  it('any other range is refused by name', () => {
    expect(() => readOf(cosine, { h: steps(0, 135, 15) })).toThrow(/horizontal angles run from 0 to 135; accepted are/);
    expect(() => readOf(cosine, { h: steps(15, 90, 15) })).toThrow(/from 15 to 90/);
  });
});

describe('opening of the luminaire (facts.md 1.5)', () => {
  it.each([
    [[0, 0, 0], 2, 0],
    [[-0.1, -0.1, 0], 2, 0.05],
    [[-0.1, 0, 0], 2, 0.05],
    [[-1, -1, 0], 1, 0.1524],
    [[0.2, 0.1, 0], 2, Math.sqrt(0.02 / Math.PI)],
  ] as const)('%j in units %d: radius %d m', (opening, units, radius) => {
    expect(readOf(cosine, { opening: [...opening], units }).metadata.openingRadiusM).toBeCloseTo(radius, 9);
  });
});
