import Color from 'colorjs.io';
import { describe, expect, it } from 'vitest';
import {
  adaptationMatrix,
  adaptGlsl,
  adaptToDisplay,
  applyMatrix,
  bradfordMatrix,
  cctToLinearRgb,
  luminanceOf,
  planckianUv,
  planckianXy,
  pulledIntoGamut,
  srgbDecode,
  srgbEncode,
  xyToLinearRgb,
} from '../../src/exposure/index.ts';

/** Exact Planckian locus from the CIE 1931 2° observer (facts 4.1, computed): T, x, y, linear sRGB at luminance 1. */
const locus: [number, number, number, [number, number, number]][] = [
  [1800, 0.54925, 0.40822, [2.7709, 0.5765, -0.0189]],
  [2000, 0.52668, 0.4133, [2.52, 0.6471, 0.0205]],
  [2200, 0.50563, 0.41521, [2.314, 0.7038, 0.0654]],
  [2400, 0.48614, 0.41467, [2.1427, 0.7498, 0.1141]],
  [2700, 0.45986, 0.4106, [1.9349, 0.8038, 0.1919]],
  [3000, 0.43693, 0.40407, [1.7707, 0.8444, 0.2721]],
  [3500, 0.4053, 0.39072, [1.5641, 0.8924, 0.4056]],
  [4000, 0.38044, 0.37675, [1.4138, 0.9242, 0.5335]],
  [5000, 0.3451, 0.35161, [1.2133, 0.9606, 0.7624]],
  [6500, 0.31353, 0.32363, [1.0432, 0.9837, 1.035]],
];

describe('colour of a lamp', () => {
  it('gives Krystek’s own check value at 6504.389 K (colour-science/colour tests)', () => {
    const [u, v] = planckianUv(6504.389);
    expect(u).toBeCloseTo(0.200472, 6);
    expect(v).toBeCloseTo(0.3102929, 6);
  });

  it.each(locus)('lies within 1.4e-4 in CIE 1960 u, v of the exact locus at %i K', (T, x, y) => {
    const d = -2 * x + 12 * y + 3;
    const [u, v] = planckianUv(T);
    expect(Math.hypot(u - (4 * x) / d, v - (6 * y) / d)).toBeLessThan(1.4e-4);
  });

  it('meets check case 10 within the error of the approximation', () => {
    expect(planckianXy(2700)[0]).toBeCloseTo(0.45986, 3);
    expect(planckianXy(2700)[1]).toBeCloseTo(0.4106, 3);
    expect(planckianXy(4000)[0]).toBeCloseTo(0.38044, 3);
    expect(planckianXy(4000)[1]).toBeCloseTo(0.37675, 3);
  });

  it.each(locus)('turns the chromaticity at %i K into the table’s linear sRGB', (_T, x, y, rgb) => {
    xyToLinearRgb(x, y).forEach((c, i) => {
      expect(Math.abs(c - rgb[i]!)).toBeLessThan(4e-4);
    });
  });

  it.each(locus)('gives luminance exactly 1 and no negative channel at %i K', (T, _x, _y, rgb) => {
    const c = cctToLinearRgb(T);
    expect(luminanceOf(c)).toBeCloseTo(1, 12);
    expect(Math.min(...c)).toBeGreaterThanOrEqual(0);
    if (rgb[2] > 0) for (const i of [0, 1, 2] as const) expect(Math.abs(c[i] - rgb[i])).toBeLessThan(0.006);
  });

  it('pulls an impossible colour to the edge of the gamut and keeps its luminance', () => {
    const c = pulledIntoGamut([2.7709, 0.5765, -0.0189]);
    expect(c[2]).toBeCloseTo(0, 12);
    expect(luminanceOf(c)).toBeCloseTo(luminanceOf([2.7709, 0.5765, -0.0189]), 12);
  });

  it('refuses temperatures outside the approximation', () => {
    expect(() => cctToLinearRgb(900)).toThrow(/1000 to 15000 K/);
    expect(() => cctToLinearRgb(Number.NaN)).toThrow(RangeError);
  });
});

describe('against colorjs.io (its own matrices and whites)', () => {
  it.each(locus)('lamp of %i K: the same linear sRGB as its XYZ through colorjs.io, white D65', (T) => {
    const [x, y] = planckianXy(T);
    const theirs = new Color('xyz-d65', [x / y, 1, (1 - x - y) / y]).to('srgb-linear').coords;
    // The matrix here is the standard's of four digits; theirs carries more.
    xyToLinearRgb(x, y).forEach((c, i) => {
      expect(Math.abs(c - theirs[i]!)).toBeLessThan(1.2e-3);
    });
  });

  it('transfer curve and luminance agree', () => {
    const theirs = new Color('srgb-linear', [0.2, 0.05, 0.6]);
    expect(luminanceOf([0.2, 0.05, 0.6])).toBeCloseTo(theirs.to('xyz-d65').coords[1]!, 4);
    theirs.to('srgb').coords.forEach((c, i) => {
      expect(srgbEncode([0.2, 0.05, 0.6][i]!)).toBeCloseTo(c!, 5);
    });
  });

  it('Planckian and daylight locus differ by little where lamps are sold: 4000 to 6500 K within .0035 in u, v', () => {
    // CIE 15 daylight polynomial (facts.md 4.2, from memory); lamps here follow the Planckian locus throughout.
    for (const T of [4000, 5000, 6500]) {
      const xD = -4.607e9 / T ** 3 + 2.9678e6 / T ** 2 + 0.09911e3 / T + 0.244063;
      const yD = -3 * xD * xD + 2.87 * xD - 0.275;
      const d = -2 * xD + 12 * yD + 3;
      const [u, v] = planckianUv(T);
      expect(Math.hypot(u - (4 * xD) / d, v - (6 * yD) / d)).toBeLessThan(0.0035);
    }
  });
});

describe('display white', () => {
  it('shows 4000 K light neutral, 2700 K warm and 6500 K blue', () => {
    const [r, g, b] = adaptToDisplay(cctToLinearRgb(4000));
    expect(r).toBeCloseTo(1, 2);
    expect(g).toBeCloseTo(1, 2);
    expect(b).toBeCloseTo(1, 2);
    const warm = adaptToDisplay(cctToLinearRgb(2700));
    expect(warm[0]).toBeGreaterThan(warm[1]);
    expect(warm[1]).toBeGreaterThan(warm[2]);
    const cool = adaptToDisplay(cctToLinearRgb(6500));
    expect(cool[2]).toBeGreaterThan(cool[0]);
  });

  it('equals the published Bradford matrix from D50 to D65 (CSS Color 4; whites by four-digit chromaticity)', () => {
    const published = [
      0.955473421488075, -0.02309845494876471, 0.06325924320057072, -0.0283697093338637, 1.0099953980813041, 0.021041441191917323,
      0.012314014864481998, -0.020507649298898964, 1.330365926242124,
    ];
    const d50 = [0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585] as const;
    const d65 = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329] as const;
    const ours = bradfordMatrix(d50, d65);
    for (let i = 0; i < 9; i++) expect(ours[i as 0]).toBeCloseTo(published[i] ?? 0, 5);
  });

  it('reaches the shader column by column', () => {
    const numbers = /mat3\(([^)]+)\)/.exec(adaptGlsl)?.[1]?.split(',').map(Number) ?? [];
    const m = adaptationMatrix();
    expect(numbers).toHaveLength(9);
    for (let row = 0; row < 3; row++)
      for (let column = 0; column < 3; column++) expect(numbers[column * 3 + row]).toBeCloseTo(m[(row * 3 + column) as 0], 8);
  });

  it('maps the white it is made for to neutral', () => {
    const white = applyMatrix(adaptationMatrix(2856), xyToLinearRgb(...planckianXy(2856)));
    for (const c of white) expect(c).toBeCloseTo(1, 3);
  });
});

describe('sRGB transfer', () => {
  it('matches IEC 61966-2-1 at its anchors and inverts', () => {
    expect(srgbEncode(0.0031308)).toBeCloseTo(0.04045, 5);
    expect(srgbEncode(1)).toBeCloseTo(1, 12);
    expect(srgbEncode(0.214041)).toBeCloseTo(0.5, 5);
    for (const v of [0, 0.001, 0.02, 0.3, 0.9]) expect(srgbDecode(srgbEncode(v))).toBeCloseTo(v, 6);
  });
});
