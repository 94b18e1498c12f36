import { describe, expect, it } from 'vitest';
import { GLARE_OCTAVE_WEIGHTS, glareOctaveSum, glareSigmaDeg, veilingLuminance } from '../../src/exposure/index.ts';

describe('CIE 146:2002 general disability glare equation (facts 6.4, computed per lux)', () => {
  // θ °, age, p = 0, p = .5, p = 1.2
  it.each([
    [0.5, 23, 100.367, 100.47, 100.614],
    [1, 35, 15.4917, 15.5479, 15.6265],
    [2, 70, 4.4669, 4.53249, 4.62431],
    [5, 35, 0.299669, 0.311902, 0.329029],
    [10, 23, 0.060917, 0.0672587, 0.0761371],
    [20, 70, 0.033419, 0.0411028, 0.0518601],
    [30, 35, 0.00647229, 0.00955286, 0.0138657],
    [60, 23, 0.00146066, 0.00355927, 0.00649734],
    [90, 70, 0.00160231, 0.00428204, 0.00803367],
  ])('at %f°, age %i', (theta, age, p0, p5, p12) => {
    expect(veilingLuminance(1, theta, age, 0) / p0).toBeCloseTo(1, 4);
    expect(veilingLuminance(1, theta, age, 0.5) / p5).toBeCloseTo(1, 4);
    expect(veilingLuminance(2, theta, age, 1.2) / (2 * p12)).toBeCloseTo(1, 4);
  });

  it('is nil behind 100° and finite at the gaze itself', () => {
    expect(veilingLuminance(1, 101)).toBe(0);
    expect(veilingLuminance(1, 0)).toBe(veilingLuminance(1, 0.1));
  });
});

describe('octave Gaussians of the picture', () => {
  it('follow the CIE curve (age 35, p = .5) within 3 % from .15° to 24°, on average within 1 %', () => {
    let [worst, sum, n] = [0, 0, 0];
    for (let theta = 0.15; theta <= 24; theta *= 1.02) {
      const error = Math.abs(glareOctaveSum(theta) / veilingLuminance(1, theta, 35, 0.5) - 1);
      worst = Math.max(worst, error);
      sum += error;
      n++;
    }
    expect(worst).toBeLessThan(0.03);
    expect(sum / n).toBeLessThan(0.012);
  });

  it('scatters a third of the light in all', () => {
    expect(GLARE_OCTAVE_WEIGHTS).toHaveLength(9);
    expect(GLARE_OCTAVE_WEIGHTS.reduce((a: number, b) => a + b, 0)).toBeCloseTo(0.3395, 6);
    expect(glareSigmaDeg(8)).toBeCloseTo(20.48, 9);
  });
});
