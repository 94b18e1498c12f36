import { mkdirSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { jsonOf, textbook } from './runCli.ts';

const within = (value: number, expected: number, share: number) =>
  expect(Math.abs(value / expected - 1)).toBeLessThanOrEqual(share);

/** A file of points: one solve answers them all. */
const pointsFile = (name: string, points: readonly string[]): string => {
  const path = `tests/.output/${name}-points.csv`;
  mkdirSync('tests/.output', { recursive: true });
  writeFileSync(path, `x,y,z,nx,ny,nz\n${points.join('\n')}\n`);
  return path;
};

describe('gloaming light on textbook files', () => {
  // Inverse-square and cosine law, E = I cos³θ / h² (CIE S 017 illuminance; handbook worked example, facts 2.2).
  it('point source of 1000 cd at 3 m: level and upright, points from a file in their order', async () => {
    const asked = ['0,0,0,0,1,0', '2,0,0,0,1,0', '2,0,0,-1,0,0'];
    const { points } = await jsonOf('light', textbook('point-source'), '--points', pointsFile('point-source', asked));
    for (const [i, lux] of [111.1111, 64.0039, 42.6693].entries()) {
      within(points[i].illuminanceLx, lux, 0.0005);
      within(points[i].directLx, lux, 0.0005);
      expect(points[i].bouncedLx).toBeCloseTo(0, 6);
      expect(points[i].byFixture).toHaveLength(1);
    }
  });

  // E = I0·s/(s²+h²)^{3/2}, I0 = Φ(n+1)/2π = 2,318 cd for 450 lm, 24° (closed form computed in the test).
  it('wall uplight 0.38 m out reads 4.5 lx at 5.8 m', async () => {
    const n = Math.log(0.5) / Math.log(Math.cos((12 * Math.PI) / 180));
    const intensityCd = (450 * (n + 1)) / (2 * Math.PI);
    const expected = (intensityCd * 0.38) / (0.38 ** 2 + 5.8 ** 2) ** 1.5;
    const r = await jsonOf('light', textbook('wall-uplight'), '--at', '0,5.8,0', '--normal', '0,0,1');
    within(r.directLx, expected, 0.0005);
    within(r.directLx, 4.5, 0.02);
  });

  // Beer–Lambert: LAD 0.5 m⁻¹, path 3 m, G = 0.5 → exp(−0.75) = .4724 (facts 8.2).
  it('an ellipsoid of leaves lets .4724 through along 3 m', async () => {
    const shaded = await jsonOf('light', textbook('leaf-ellipsoid'), '--at', '0,3,0', '--normal', '0,0,1');
    within(shaded.directLx, (1000 / 36) * Math.exp(-0.75), 0.001);
  });

  // Lambertian rectangle 1 × 1 under a corner at 1 m: E = 435.2099 lx at 1,000 cd/m² (Howell; facts 2.4, check case 6).
  it('a luminous panel lights as its form factor says', async () => {
    const r = await jsonOf('light', textbook('disc-panel'), '--at', '0,0,0', '--normal', '0,1,0', '--with-sky');
    within(r.windowsLx, 435.2099, 0.005);
  });

  // Integrating cavity: mean E_indirect = Φρ/(A(1−ρ)) (CIE 171:2006 §5.8 formula; facts 2.1): 104.17 lx at ρ = .5.
  it('a closed cube spreads its bounces', async () => {
    const asked = ['0,0,0', '1.5,0,1.5', '-1.7,0,0.3', '0.8,0,-1.1'].map((at) => `${at},0,1,0`);
    const { points } = await jsonOf('light', textbook('cavity-05'), '--points', pointsFile('cavity', asked));
    expect(points).toHaveLength(4);
    // Single points of a cube differ a little from the mean, which tests/lights/bounce holds to 0.5 %.
    for (const point of points) within(point.bouncedLx, 104.17, 0.12);
  });
});

describe('gloaming power on textbook files', () => {
  // NEC Chapter 9 Table 8 AWG 12 stranded 1.98 ohm/kft; constant power solved to 1e-13 (facts 9.2, check case 15).
  it('five 20 W lamps in a daisy chain', async () => {
    const r = await jsonOf('power', textbook('daisy-chain'));
    const volts = r.fixtures.map((f: { volts: number }) => f.volts);
    for (const [i, v] of [11.0089, 10.36, 9.8639, 9.5284, 9.3592].entries()) expect(volts[i]).toBeCloseTo(v, 3);
    expect(r.runs[0].amperes).toBeCloseTo(10.0107, 3);
    expect(r.transformers[0].voltAmperes).toBeCloseTo(12 * 10.0107, 1);
  });

  it('says there is no steady state rather than inventing volts', async () => {
    const r = await jsonOf('power', textbook('daisy-chain'), '--draw', '4');
    expect(r.fixtures.every((f: { volts: number | null }) => f.volts === null)).toBe(true);
    expect(r.transformers[0].amperes).toBeNull();
  });
});

describe('gloaming eye', () => {
  // E at the eye normal to the ray = I/d²; veil by CIE 146:2002 general equation, p = .5 (facts 6.4).
  it('reads one lamp at 3 m, 0° off its line and 20° off the gaze', async () => {
    const gaze = [Math.sin((20 * Math.PI) / 180), 0, -Math.cos((20 * Math.PI) / 180)].join(',');
    const r = await jsonOf('eye', textbook('point-source'), '--at', '0,3,3', '--look', gaze, '--age', '35');
    within(r.eyeIlluminanceLx, 1000 / 9, 0.0005);
    expect(r.byFixture[0].angleFromGazeDeg).toBeCloseTo(20, 6);
    within(r.veilingLuminanceCdM2, (1000 / 9) * 0.0189752, 0.0005);
  });
});
