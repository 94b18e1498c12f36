import { describe, expect, it } from 'vitest';
import { candelaAt, distributionFluxLm } from '../../src/lights/distribution.ts';
import { createLightModel, fixtureFrame } from '../../src/lights/index.ts';
import { readPhotometry } from '../../src/lights/photometry/index.ts';
import { buildScene, createEmptyProperty } from '../../src/scene/index.ts';
import { bytes, DEG, eulumdat, type Intensity, latin1, type LdtOptions, lm63, lobes, oneSet, steps } from './photometryFiles.ts';
import { NIGHT, testSource } from './testSource.ts';

const read = (text: string) => readPhotometry(bytes(text), 'test.ldt');
const readOf = (I: Intensity, options: LdtOptions = {}) => read(eulumdat(I, options));
/** 1000 lm/klm: Φ = π·I0. */
const cosinePerKlm: Intensity = (g) => (1000 / Math.PI) * Math.max(0, Math.cos(g * DEG));

describe('scale (facts.md 1.8)', () => {
  it('a cosine of 1000/π cd/klm at 1000 lm is 1000 lm; LORL 100 and DFF 100 agree', () => {
    const r = readOf(cosinePerKlm, { gamma: steps(0, 180, 1) });
    expect(r.fluxLm / 1000).toBeCloseTo(1, 4);
    expect(r.declaredFluxLm).toBe(1000);
    expect(r.warnings).toEqual([]);
    expect(r.metadata).toMatchObject({ name: 'synthetic luminaire', cctK: 2700, colourRendering: 90, inputW: 12, symmetry: 1 });
  });
  it('lamp lumens and the conversion factor scale; the factor does not count in the ratio', () => {
    const r = readOf(cosinePerKlm, { sets: [{ ...oneSet, lm: 2600 }], factor: 1.2 });
    expect(r.peakCd).toBeCloseTo((2.6 * 1.2 * 1000) / Math.PI, 6);
    expect(r.warnings.join()).not.toContain('output ratio');
  });
  it('∫ value dΩ = 10·LORL: said where it is not', () => {
    const half: Intensity = (g, c) => cosinePerKlm(g, c) / 2;
    expect(readOf(half, { lorl: 50 }).warnings).toEqual([]);
    expect(readOf(half, { lorl: 50 }).declaredFluxLm).toBe(500);
    const wrong = readOf(half, { lorl: 80 });
    expect(wrong.warnings.join(' ')).toMatch(/Header says 800 lm, its candela add up to 500 lm/);
    expect(wrong.warnings.join(' ')).toMatch(/output ratio says 80 %, the table gives 50\.0 %/);
  });
  it('downward fraction is compared', () => {
    const both: Intensity = (g) => (500 / Math.PI) * Math.abs(Math.cos(g * DEG));
    expect(readOf(both, { dff: 50 }).warnings).toEqual([]);
    expect(readOf(both, { dff: 90 }).warnings.join()).toMatch(/downward fraction says 90 %, the table gives 50\.0 %/);
  });
  it('a negative lamp count is absolute photometry', () => {
    const r = readOf(cosinePerKlm, { sets: [{ ...oneSet, count: -1, lm: 640 }] });
    expect(r.metadata.lumensPerLamp).toBeUndefined();
    expect(r.peakCd).toBeCloseTo((0.64 * 1000) / Math.PI, 6);
  });
  it('a factor of 0 or a blank one counts as 1 and is said', () => {
    const r = read(eulumdat(cosinePerKlm).replace('100\r\n100\r\n1\r\n0\r\n1\r\n', '100\r\n100\r\n\r\n0\r\n1\r\n'));
    expect(r.peakCd).toBeCloseTo(1000 / Math.PI, 6);
    expect(r.warnings.join()).toContain('conversion factor');
  });
});

describe('symmetry (check case 3: Mc = 24 stores 24, 1, 13, 13, 7 planes; 3 runs C270 to C90)', () => {
  const cases: [0 | 1 | 2 | 3 | 4, number, Intensity][] = [
    [0, 24, lobes(0.4, 0.3, 0.2)],
    [1, 1, lobes(0, 0)],
    [2, 13, lobes(0.4, 0, 0.2)],
    [3, 13, lobes(0, 0.4, 0.2)],
    [4, 7, lobes(0, 0, 0.4)],
  ];
  it.each(cases)('symmetry %d: %d planes, same table as the full circle', (symmetry, planes, I) => {
    const text = eulumdat(I, { symmetry });
    const lines = text.split('\r\n').length - 1;
    expect(lines).toBe(42 + 24 + 37 + planes * 37);
    const r = read(text);
    for (const c of steps(0, 345, 15)) expect(candelaAt(r.table, 40 * DEG, c * DEG)).toBeCloseTo(I(40, c), 6);
    expect(r.fluxLm / (500 * Math.PI)).toBeCloseTo(1, 2);
  });
  it('with one axis the C lines still describe 24 planes; C angles start at line 43', () => {
    const text = eulumdat(cosinePerKlm);
    expect(text.split('\r\n').slice(42, 45)).toEqual(['0', '15', '30']);
    expect(read(text).table.cDeg).toEqual([0]);
  });
  it('planes that miss the symmetry are refused', () => {
    const three = eulumdat(cosinePerKlm, { symmetry: 1, planes: 6 }).split('\r\n');
    three[2] = '4';
    expect(() => read(three.join('\r\n'))).toThrow(/line 4, "6": 6 C planes cannot have symmetry 4; a multiple of 4 is accepted/);
  });
});

/*
 * C-γ system of CIE 121 and EN 13032-1 (from memory): seen from above a luminaire that looks down, C runs counter to the
 * clock. With X to the right and Z down a plan seen from above, a quarter turn that way carries (x, z) to (z, −x).
 */
describe('sense of C', () => {
  it('a lobe toward C90 lights the ground a quarter turn counter to the clock from C0, seen from above', () => {
    const lobe: Intensity = (g, c) => (g < 85 ? 200 : 0) * (1 + 0.9 * Math.cos((c - 90) * DEG));
    const { table } = readOf(lobe, { symmetry: 0 });
    const source = testSource([0, 3, 0], [0, 0, 0], { distribution: table });
    const F = fixtureFrame(source.fixture);
    const [x, z] = [F[3]!, F[5]!];
    const model = createLightModel(buildScene(createEmptyProperty('plan')), { bounceRays: 4 });
    model.setSources([source], NIGHT);
    model.solveAll();
    const lux = (dx: number, dz: number) => model.exactAt([2 * dx, 0, 2 * dz], [0, 1, 0]).directLx;
    const [c0, c90, c180, c270] = [lux(x, z), lux(z, -x), lux(-x, -z), lux(-z, x)];
    expect(c90 / c0).toBeCloseTo(1.9, 2);
    expect(c270 / c0).toBeCloseTo(0.1, 2);
    expect(c180 / c0).toBeCloseTo(1, 2);
  });
});

describe('lamp sets', () => {
  const two = [oneSet, { ...oneSet, count: 2, type: 'pair', lm: 2400 }];
  it('two sets, one after the other: the first is used, both are named', () => {
    const r = readOf(cosinePerKlm, { sets: two });
    expect(r.metadata.lampSets.map((s) => s.fluxLm)).toEqual([1000, 2400]);
    expect(r.peakCd).toBeCloseTo(1000 / Math.PI, 6);
    expect(r.warnings.join()).toMatch(/2 lamp sets \(1 × LED, 1000 lm; 2 × pair, 2400 lm\)/);
  });
  it('field by field: the same', () => {
    const r = readOf(cosinePerKlm, { sets: two, byField: true });
    expect(r.metadata.lampSets).toEqual(readOf(cosinePerKlm, { sets: two }).metadata.lampSets);
    expect(r.peakCd).toBeCloseTo(1000 / Math.PI, 6);
  });
});

describe('text', () => {
  it('ISO 8859-1, line ends of all kinds, and decimal commas, the last two said', () => {
    const text = eulumdat(cosinePerKlm, { decimal: ',' }).replace('invented, for tests', 'erfunden, für Prüfungen');
    const r = readPhotometry(latin1(text), 'x.ldt');
    expect(r.metadata.keywords[0]!.value).toBe('erfunden, für Prüfungen');
    expect(r.peakCd).toBeCloseTo(1000 / Math.PI, 6);
    expect(r.warnings.join()).toMatch(/ISO 8859-1.*Decimal commas \(line \d+, "[\d,]+"\)/);
    for (const eol of ['\n', '\r']) expect(readOf(cosinePerKlm, { eol }).warnings).toEqual([]);
  });
});

describe('round trip between the formats, files written by the tests', () => {
  it.each([
    ['axis', lobes(0, 0), 1, [0]],
    ['none', lobes(0.4, 0.3, 0.2), 0, steps(0, 345, 15)],
    ['C0–C180', lobes(0.4, 0, 0.2), 2, steps(0, 180, 15)],
    ['C90–C270', lobes(0, 0.4, 0.2), 3, steps(90, 270, 15)],
    ['both', lobes(0, 0, 0.4), 4, steps(0, 90, 15)],
  ] as const)('%s', (_, I, symmetry, h) => {
    const ldt = readOf((g, c) => I(g, c) / 2.4, { symmetry, sets: [{ ...oneSet, lm: 2400 }] });
    const ies = readPhotometry(bytes(lm63(I, { v: steps(0, 180, 5), h: [...h] })));
    expect(ldt.fluxLm / ies.fluxLm).toBeCloseTo(1, 9);
    expect(distributionFluxLm(ldt.table)).toBe(ldt.fluxLm);
    expect(ldt.peakCd).toBeCloseTo(ies.peakCd, 6);
    expect(ldt.beamAngleFullDeg).toBeCloseTo(ies.beamAngleFullDeg, 6);
    // Once more: the table of the one written as the other.
    const again = readOf((g, c) => candelaAt(ies.table, g * DEG, c * DEG), { symmetry });
    for (const c of [0, 75, 135, 285]) {
      for (const g of [0, 35, 70, 120]) {
        expect(candelaAt(again.table, g * DEG, c * DEG)).toBeCloseTo(candelaAt(ies.table, g * DEG, c * DEG), 6);
      }
    }
  });
});
