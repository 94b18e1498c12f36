import { describe, expect, it } from 'vitest';
import {
  adaptToDisplay,
  bandHeight,
  bandOf,
  bandWords,
  cctToLinearRgb,
  colourShare,
  eyeWhiteLuminance,
  luminanceOf,
  luxBands,
  mesopicGlsl,
  mesopicLuminance,
  oklabFromLinear,
  type Rgb,
  saturationLuminance,
  scotopicShare,
  seenByEye,
  shiftBands,
} from '../../src/exposure/index.ts';

const chroma = (rgb: Rgb): number => {
  const Y = luminanceOf(rgb);
  const [, a, b] = oklabFromLinear([rgb[0] / Y, rgb[1] / Y, rgb[2] / Y]);
  return Math.hypot(a, b);
};
const times = (rgb: Rgb, k: number): Rgb => [rgb[0] * k, rgb[1] * k, rgb[2] * k];
const warm = cctToLinearRgb(2700);

describe('eye used to a luminance', () => {
  // Planck S/P ratios, computed from CIE 018 functions (facts 6.1 table of lamps).
  it.each([
    [2700, 1.336],
    [3000, 1.479],
    [4000, 1.866],
    [5000, 2.149],
    [6500, 2.445],
  ])('guesses the S/P ratio of light of %i K within a tenth', (cct, ratio) => {
    expect(Math.abs(scotopicShare(cctToLinearRgb(cct)) / ratio - 1)).toBeLessThan(0.1);
  });

  // CIE 191:2010 by the table of facts 6.2, S/P 1: m(3) = .9261, m(1) = .7670, m(.1) = .4336, m(.01) = .1002.
  it.each([
    [3, 0.9261],
    [1, 0.767],
    [0.1, 0.4336],
    [0.01, 0.1002],
  ])('at %f cd/m² a spot as bright as the adaptation keeps the cones’ share of MES2', (adapted, m) => {
    expect(colourShare(adapted)).toBeCloseTo(m, 4);
    const scene = times(warm, adapted / luminanceOf(warm));
    const seen = seenByEye(scene, adapted);
    const shown = adaptToDisplay(scene);
    const gain = mesopicLuminance(adapted, scotopicShare(scene)).luminanceCdM2 / adapted;
    // The cones' part is the adapted colour; the rods' part is grey going blue, whose red is below its luminance.
    expect(seen[0] / shown[0]).toBeGreaterThan(m * gain * 0.97);
    expect(chroma(seen)).toBeLessThan(chroma(shown));
  });

  it('loses colour as the place gets darker, and turns blue last', () => {
    const steps = [5, 1, 0.1, 0.02];
    const seen = steps.map((L) => seenByEye(times(warm, L / luminanceOf(warm)), L));
    expect(seen[0]!.map((v, i) => v / adaptToDisplay(times(warm, 5 / luminanceOf(warm)))[i]!)).toEqual([1, 1, 1]);
    for (let i = 1; i < 3; i++) expect(chroma(seen[i]!)).toBeLessThan(chroma(seen[i - 1]!));
    const [r, , b] = seenByEye(times(warm, 0.004), 0.004);
    expect(b).toBeGreaterThan(1.5 * r);
  });

  it('leaves a lit wall its colour in a dark garden', () => {
    const wall = times(warm, 5 / luminanceOf(warm));
    expect(chroma(seenByEye(wall, 0.2))).toBeGreaterThan(chroma(seenByEye(times(wall, 0.04), 0.2)));
  });

  it('brightens what is rich in blue and dims what is red (Purkinje), by MES2', () => {
    const [blue, red] = [cctToLinearRgb(6500), [1, 0.2, 0.02] as Rgb];
    const ratio = (rgb: Rgb) => {
      const scene = times(rgb, 0.05 / luminanceOf(rgb));
      return mesopicLuminance(0.05, scotopicShare(scene)).luminanceCdM2 / 0.05;
    };
    expect(ratio(blue)).toBeGreaterThan(1.2);
    expect(ratio(red)).toBeLessThan(1);
  });

  // Ward 1994, from memory: an eye used to half of the display's white sees that white, 100 cd/m², as white.
  it('sees display white brighter the brighter it is used to', () => {
    expect(eyeWhiteLuminance(50)).toBeCloseTo(100, 9);
    expect(eyeWhiteLuminance(1)).toBeLessThan(saturationLuminance(3));
    expect(eyeWhiteLuminance(0.1)).toBeLessThan(eyeWhiteLuminance(1));
    // A dark place stays dark: its mean lies under a twentieth of white.
    expect(0.1 / eyeWhiteLuminance(0.1)).toBeLessThan(0.05);
  });

  it('hands the shader the same constants', () => {
    expect(mesopicGlsl).toContain((683 / 1699).toFixed(9));
    expect(mesopicGlsl).toContain('0.767 + 0.3334');
  });
});

describe('scale of a map', () => {
  it('names its bands and stands on them by logarithm', () => {
    expect(bandWords(0, luxBands)).toBe('below 0.1 lx');
    expect(bandWords(6, luxBands)).toBe('5 to 10 lx');
    expect(bandWords(11, luxBands)).toBe('200 lx and more');
    luxBands.edges.forEach((edge, i) => {
      expect(bandHeight(edge, luxBands)).toBeCloseTo(i + 1, 9);
    });
    expect(bandHeight(Math.sqrt(50), luxBands)).toBeCloseTo(6.5, 9);
    expect(bandHeight(0, luxBands)).toBe(0);
    expect(bandHeight(1e9, luxBands)).toBe(12);
  });

  it('puts a value one band lower when the range moves up by one', () => {
    expect(bandOf(7, shiftBands(luxBands, 1))).toBe(bandOf(7, luxBands) - 1);
  });
});
