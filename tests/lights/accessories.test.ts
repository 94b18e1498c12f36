import { describe, expect, it } from 'vitest';
import { type Beam, beamCandela, compileBeam, shieldShare } from '../../src/lights/beam.ts';
import { beamExponent, distributionFluxLm } from '../../src/lights/distribution.ts';
import type { DistributionRecord, FixtureRecord } from '../../src/scene/index.ts';
import { DEG, lobes, steps } from './photometryFiles.ts';

const clear: FixtureRecord['lens'] = { kind: 'clear', rollDeg: 0 };
const open: FixtureRecord['shield'] = { kind: 'none', cutOffDeg: 45, rollDeg: 0 };
const gammaDeg = steps(0, 180, 5);
const cDeg = steps(0, 345, 15);
const shape = lobes(0.4, 0.3, 0.2);
/** Symmetric about nothing, some light behind; 500π lm in front. */
const uneven: DistributionRecord = {
  kind: 'table',
  gammaDeg,
  cDeg,
  candela: cDeg.map((c) => gammaDeg.map((g) => shape(g, c) + (g > 90 ? 10 : 0))),
  sourceName: 'synthetic',
};
const narrow: DistributionRecord = { kind: 'model', fluxLm: 400, beamAngleFullDeg: 6, spillShare: 0 };

const read = (beam: Beam, g: number, c: number): number =>
  beamCandela(beam, Math.cos(g * DEG), Math.cos(c * DEG), Math.sin(c * DEG));
/** Flux of the directions that `counts` takes, by 1° zones of the sphere, independent of the compiled table's own sum. */
function fluxOf(beam: Beam, counts: (g: number, c: number) => boolean = () => true): number {
  let sum = 0;
  for (let g = 0.25; g < 180; g += 0.5)
    for (let c = 1; c < 360; c += 2) if (counts(g, c)) sum += read(beam, g, c) * Math.sin(g * DEG) * 0.5 * DEG * 2 * DEG;
  return sum;
}

describe('on a table symmetric about nothing, at any roll', () => {
  const bare = compileBeam(uneven, clear, open);
  const input = distributionFluxLm(uneven);

  it('bare: the compiled table reads the file’s and sums to its flux', () => {
    for (const c of [0, 45, 200, 300]) expect(read(bare, 35, c) / shape(35, c)).toBeCloseTo(1, 2);
    expect(fluxOf(bare) / input).toBeCloseTo(1, 2);
  });

  it.each([0, 37, 90, 200])('shields at roll %d° only ever take light, in every direction', (rollDeg) => {
    for (const kind of ['shroud', 'louvre', 'halfShield'] as const) {
      const shield = { kind, cutOffDeg: 40, rollDeg };
      const beam = compileBeam(uneven, clear, shield);
      expect(beam.fluxLm).toBeLessThan(input);
      for (let g = 0; g <= 180; g += 7.5) {
        for (let c = 0; c < 360; c += 11) {
          const share = shieldShare(shield, g * DEG, c * DEG);
          expect(share).toBeGreaterThanOrEqual(0);
          expect(share).toBeLessThanOrEqual(1);
          expect(read(beam, g, c)).toBeLessThanOrEqual(read(bare, g, c) * 1.001 + 1e-3);
        }
      }
      expect(beam.fluxLm / fluxOf(beam)).toBeCloseTo(1, 2);
    }
  });

  it.each([0, 37, 90, 200])(
    'frosted and spread at roll %d°: no more than .85 and .9 of the flux (common practice, no source)',
    (rollDeg) => {
      const frosted = compileBeam(uneven, { kind: 'frosted', rollDeg }, open).fluxLm;
      expect(frosted / input).toBeCloseTo(0.85, 2);
      const spread = compileBeam(uneven, { kind: 'linearSpread', rollDeg }, open);
      expect(spread.fluxLm).toBeLessThanOrEqual(0.9 * input);
      // Up to 30° of turn carry part of a wide beam behind the lens, where it is lost.
      expect(spread.fluxLm).toBeGreaterThan(0.75 * input);
      expect(fluxOf(spread) / spread.fluxLm).toBeCloseTo(1, 2);
    },
  );

  it('half shield: share of the disc over a straight edge, turned with its roll', () => {
    for (const rollDeg of [0, 37, 200]) {
      const shield = { kind: 'halfShield', cutOffDeg: 40, rollDeg } as const;
      const beam = compileBeam(uneven, clear, shield);
      for (const [g, c] of [
        [20, 90],
        [30, 120],
        [38, 60],
        [30, 270],
      ] as const) {
        // Edge at u = 1 − 2q radii; the disc's part below it is ½ + (u√(1−u²) + asin u)/π (circle segment, closed form).
        const q = Math.min(1, Math.max(0, (Math.tan(g * DEG) / Math.tan(40 * DEG)) * Math.sin(c * DEG)));
        const u = 1 - 2 * q;
        const seen = 0.5 + (u * Math.sqrt(1 - u * u) + Math.asin(u)) / Math.PI;
        expect(read(beam, g, c + rollDeg) / (shape(g, c + rollDeg) * seen)).toBeCloseTo(1, 1);
      }
    }
  });
});

describe('spread of a narrow beam by hand', () => {
  it.each([0, 60])('roll %d°: light along the spread as its triangular weight says, almost none across it', (rollDeg) => {
    const beam = compileBeam(narrow, { kind: 'linearSpread', rollDeg }, open);
    const angle = (g: number, c: number, turn: number): number =>
      Math.abs(Math.atan2(Math.sin(g * DEG) * Math.cos((c - rollDeg - turn) * DEG), Math.cos(g * DEG)) / DEG);
    // Triangular weight over ±30°: P(|x| > t) = (1 − t/30)², and + σ²/30² for the beam's own spread, σ² = 1/n rad² (cosⁿ).
    const own = beamExponent(6) ** -1 / (30 * DEG) ** 2;
    for (const t of [10, 15, 20]) {
      const share = fluxOf(beam, (g, c) => g < 90 && angle(g, c, 0) > t) / (0.9 * 400);
      expect(share).toBeCloseTo((1 - t / 30) ** 2 + own, 2);
    }
    expect(fluxOf(beam, (g, c) => g < 90 && angle(g, c, 90) > 15) / (0.9 * 400)).toBeLessThan(0.01);
  });

  it('lens then shield: the shield cuts what the lens spread', () => {
    const beam = compileBeam(narrow, { kind: 'linearSpread', rollDeg: 0 }, { kind: 'shroud', cutOffDeg: 20, rollDeg: 0 });
    expect(read(beam, 21, 0)).toBe(0);
    expect(beam.fluxLm).toBeLessThan(0.9 * 400);
  });
});
