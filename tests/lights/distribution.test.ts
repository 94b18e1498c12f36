import { describe, expect, it } from 'vitest';
import { beamCandela, compileBeam, fixtureFrame, shieldShare } from '../../src/lights/beam.ts';
import { beamExponent, beamFigures, candelaAt, distributionFluxLm } from '../../src/lights/distribution.ts';
import type { DistributionRecord, FixtureRecord } from '../../src/scene/index.ts';

const DEG = Math.PI / 180;
const model = (fluxLm: number, beamAngleFullDeg: number, spillShare = 0): DistributionRecord => ({
  kind: 'model',
  fluxLm,
  beamAngleFullDeg,
  spillShare,
});
const table = (gammaDeg: number[], candela: number[][], cDeg = [0]): DistributionRecord => ({
  kind: 'table',
  gammaDeg,
  cDeg,
  candela,
  sourceName: 'synthetic',
});
const axis = (step: number, end = 90): number[] => Array.from({ length: end / step + 1 }, (_, i) => i * step);
const clear: FixtureRecord['lens'] = { kind: 'clear', rollDeg: 0 };
const open: FixtureRecord['shield'] = { kind: 'none', cutOffDeg: 45, rollDeg: 0 };

describe('cosⁿ model (facts.md 3.2, check case 9: computed profile algebra)', () => {
  it('36°, 1000 lm: n 13.8127, 2357.5 cd, 52.45 % in the beam, field 64.34°', () => {
    const lamp = model(1000, 36);
    expect(beamExponent(36)).toBeCloseTo(13.8127, 4);
    expect(candelaAt(lamp, 0)).toBeCloseTo(2357.5, 1);
    const n = beamExponent(36);
    expect(1 - Math.cos(18 * DEG) ** (n + 1)).toBeCloseTo(0.5245, 4);
    const figures = beamFigures(lamp);
    expect(figures.beamAngleFullDeg).toBeCloseTo(36, 6);
    expect(figures.fieldAngleFullDeg).toBeCloseTo(64.34, 2);
  });

  it.each([
    [12, 20241.9, 21.82],
    [24, 5152.1, 43.37],
    [60, 926.1, 103.35],
    [90, 477.5, 143.13],
    [120, 318.3, 168.52],
  ])('%d°: %d cd/klm, field %d°', (beam, peak, field) => {
    expect(candelaAt(model(1000, beam), 0)).toBeCloseTo(peak, 1);
    expect(beamFigures(model(1000, beam)).fieldAngleFullDeg).toBeCloseTo(field, 2);
  });

  it('n = 10 puts .4955200 of its flux within 20° (facts.md 2.7)', () => {
    expect(1 - Math.cos(20 * DEG) ** 11).toBeCloseTo(0.49552, 6);
  });

  it('compiled table integrates to the stated flux and reads the formula, 1° to 170°, with and without spill', () => {
    for (const beam of [1, 5, 12, 36, 60, 110, 170]) {
      for (const spill of [0, 0.1]) {
        const record = model(450, beam, spill);
        const compiled = compileBeam(record, clear, open);
        let flux = 0;
        const steps = 200000;
        for (let i = 0; i < steps; i++) {
          const cos = (i + 0.5) / steps;
          flux += (beamCandela(compiled, cos, 1, 0) * 2 * Math.PI) / steps;
        }
        expect(Math.abs(flux / 450 - 1)).toBeLessThan(0.002);
        for (const share of [0, 0.3, 0.5, 0.9]) {
          const g = (beam / 2) * share * DEG;
          expect(Math.abs(beamCandela(compiled, Math.cos(g), 1, 0) / candelaAt(record, g) - 1)).toBeLessThan(0.002);
        }
      }
    }
  });
});

describe('tables (facts.md 1.9: exact piecewise-linear integrals, computed)', () => {
  it.each([
    [10, 3133.593],
    [5, 3139.597],
    [1, 3141.513],
  ])('1000·cos γ in steps of %d°: %d lm', (step, flux) => {
    const g = axis(step);
    expect(distributionFluxLm(table(g, [g.map((x) => 1000 * Math.cos(x * DEG))]))).toBeCloseTo(flux, 2);
  });

  it('1000·cos^13.8127 in 5° steps: 427.872 lm and a 36.097° beam', () => {
    const g = axis(5);
    const record = table(g, [g.map((x) => 1000 * Math.max(0, Math.cos(x * DEG)) ** 13.8127)]);
    expect(distributionFluxLm(record)).toBeCloseTo(427.872, 2);
    expect(beamFigures(record).beamAngleFullDeg).toBeCloseTo(36.097, 2);
  });

  it('100 cd everywhere: 400π lm; the tilt file of LM-63: 3226.850 lm', () => {
    expect(distributionFluxLm(table(axis(10, 180), [axis(10, 180).map(() => 100)]))).toBeCloseTo(400 * Math.PI, 6);
    expect(distributionFluxLm(table([0, 22.5, 45, 67.5, 90], [[1000, 900, 700, 400, 100]]))).toBeCloseTo(3226.85, 2);
  });

  it('C planes: quadrants fold, interpolate linearly, and integrate', () => {
    const g = axis(5);
    const wide = g.map((x) => 1000 * Math.cos(x * DEG));
    const narrow = wide.map((x) => x / 2);
    const record = table(g, [wide, narrow], [0, 90]);
    for (const c of [30, 150, 210, 330]) expect(candelaAt(record, 0.3, c * DEG)).toBeCloseTo(candelaAt(record, 0.3, 30 * DEG), 9);
    expect(candelaAt(record, 0, 45 * DEG)).toBeCloseTo(750, 9);
    const compiled = compileBeam(record, clear, open);
    expect(beamCandela(compiled, Math.cos(0.3), Math.cos(1), Math.sin(1))).toBeCloseTo(candelaAt(record, 0.3, 1), 0);
    expect(distributionFluxLm(record)).toBeCloseTo(3139.597 * 0.75, 2);
  });
});

describe('lens and shield never add lumens', () => {
  const lenses: FixtureRecord['lens'][] = [clear, { kind: 'frosted', rollDeg: 0 }, { kind: 'linearSpread', rollDeg: 30 }];
  const shields: FixtureRecord['shield'][] = (['none', 'shroud', 'louvre', 'halfShield'] as const).map((kind) => ({
    kind,
    cutOffDeg: 40,
    rollDeg: 20,
  }));
  it.each([12, 36, 80])('beam %d°', (beam) => {
    for (const lens of lenses) {
      let before = Infinity;
      for (const shield of shields) {
        const flux = compileBeam(model(400, beam, 0.1), lens, shield).fluxLm;
        expect(flux).toBeLessThanOrEqual(400.0001);
        if (shield.kind === 'none') before = flux;
        else expect(flux).toBeLessThan(before);
        expect(flux).toBeGreaterThan(50);
      }
    }
  });

  it('frosted keeps .85 of the flux, linear spread .9 of a narrow beam (common practice, no source)', () => {
    expect(compileBeam(model(400, 24), { kind: 'frosted', rollDeg: 0 }, open).fluxLm / 400).toBeCloseTo(0.85, 3);
    expect(compileBeam(model(400, 24), { kind: 'linearSpread', rollDeg: 0 }, open).fluxLm / 400).toBeCloseTo(0.9, 2);
  });

  it('linear spread widens one plane and leaves the other; roll turns it', () => {
    const flat = compileBeam(model(400, 12), { kind: 'linearSpread', rollDeg: 0 }, open);
    const at = (b: typeof flat, deg: number, right: number, up: number): number => beamCandela(b, Math.cos(deg * DEG), right, up);
    expect(at(flat, 20, 1, 0)).toBeGreaterThan(20 * at(flat, 20, 0, 1));
    const turned = compileBeam(model(400, 12), { kind: 'linearSpread', rollDeg: 90 }, open);
    expect(at(turned, 20, 0, 1) / at(flat, 20, 1, 0)).toBeCloseTo(1, 2);
  });

  it('shroud: all on the axis, half the two-circle overlap in between, nothing past the cut-off', () => {
    const shroud = { kind: 'shroud', cutOffDeg: 45, rollDeg: 0 } as const;
    expect(shieldShare(shroud, 0, 0)).toBeCloseTo(1, 12);
    // Two unit circles one radius apart overlap by 2π/3 − √3/2 of π (closed form).
    expect(shieldShare(shroud, Math.atan(0.5), 0)).toBeCloseTo((2 * Math.PI) / 3 / Math.PI - Math.sqrt(3) / 2 / Math.PI, 12);
    expect(shieldShare(shroud, 46 * DEG, 0)).toBe(0);
  });

  it('half shield hides its own side only', () => {
    const half = { kind: 'halfShield', cutOffDeg: 30, rollDeg: 0 } as const;
    expect(shieldShare(half, 50 * DEG, 90 * DEG)).toBe(0);
    expect(shieldShare(half, 50 * DEG, -90 * DEG)).toBe(1);
    expect(shieldShare(half, Math.atan(0.5 * Math.tan(30 * DEG)), 90 * DEG)).toBeCloseTo(0.5, 9);
  });
});

describe('frame of a fixture', () => {
  it('is right-handed, continuous toward the vertical, and turned by roll', () => {
    const frame = (aim: [number, number, number], rollDeg = 0) => [...fixtureFrame({ id: 'a', at: [0, 0, 0], aim, rollDeg })];
    const near = (a: number[], b: number[]) =>
      a.forEach((x, i) => {
        expect(x).toBeCloseTo(b[i]!, 4);
      });
    near(frame([0, 0, -2]), [0, 0, -1, 1, 0, 0, 0, 1, 0]);
    near(frame([0, 5, 0]), [0, 1, 0, 1, 0, 0, 0, 0, 1]);
    near(
      frame([0, 5, -0.0001]),
      frame([0, 5, 0]).map((x) => x),
    );
    near(frame([0, 0, -2], 90), [0, 0, -1, 0, 1, 0, -1, 0, 0]);
  });

  it('refuses an aim at its own place, with the id', () => {
    expect(() => fixtureFrame({ id: 'u7', at: [1, 1, 1], aim: [1, 1, 1], rollDeg: 0 })).toThrow(/u7.*aim/);
  });
});
