import { describe, expect, it } from 'vitest';
import {
  BAND_RAMP,
  bandColour,
  bandOf,
  bandRgb,
  bandsGlsl,
  colourShare,
  lightness,
  luminanceBands,
  luxBands,
  mesopicLuminance,
  obtrusiveFigures,
  shiftBands,
  srgbDecode,
} from '../../src/exposure/index.ts';

describe('mesopic vision, MES2 of CIE 191:2010 (facts 6.2, case 13)', () => {
  it.each([
    [2.05, 0.1, 0.1324, 0.4742],
    [0.65, 0.01, 0.0069, 0.0459],
    [1.41, 0.3, 0.3256, 0.6045],
    [2.5, 3, 3.128, 0.9321],
    [1.2, 0.03, 0.0331, 0.2735],
  ])('S/P %f at %f cd/m²', (sp, Lp, Lmes, m) => {
    const seen = mesopicLuminance(Lp, sp);
    expect(seen.luminanceCdM2).toBeCloseTo(Lmes, 4);
    expect(seen.m).toBeCloseTo(m, 4);
  });

  it('returns Lp itself at S/P 1, day vision from 5 and night vision below .005 cd/m²', () => {
    for (const Lp of [0.01, 0.1, 1, 3]) expect(mesopicLuminance(Lp, 1).luminanceCdM2).toBeCloseTo(Lp, 9);
    expect(mesopicLuminance(1, 1).m).toBeCloseTo(0.767, 4);
    expect(mesopicLuminance(5, 2)).toEqual({ luminanceCdM2: 5, m: 1 });
    expect(mesopicLuminance(0.002, 1.4).m).toBe(0);
    expect(colourShare(10)).toBe(1);
    expect(colourShare(0.001)).toBe(0);
  });
});

describe('false colour', () => {
  it('has the stated edges and their bands', () => {
    expect(luxBands.edges).toEqual([0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200]);
    expect(luminanceBands.edges[0]).toBe(0.02);
    expect(luminanceBands.edges[10]).toBe(50);
    expect(bandOf(0, luxBands)).toBe(0);
    expect(bandOf(0.1, luxBands)).toBe(1);
    expect(bandOf(19.99, luxBands)).toBe(7);
    expect(bandOf(1e6, luxBands)).toBe(11);
    expect(bandColour(3, luxBands)).toBe('#757372');
  });

  it('climbs in lightness by 6.7 L* or more from band to band', () => {
    const L = BAND_RAMP.map((_, i) => lightness(bandRgb(i).map(srgbDecode) as unknown as [number, number, number]));
    for (let i = 1; i < L.length; i++) expect(L[i]! - L[i - 1]!).toBeGreaterThan(6.6);
  });

  it('moves by whole bands and back', () => {
    expect(shiftBands(luxBands, 1).edges).toEqual([0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500]);
    expect(shiftBands(shiftBands(luxBands, -2), 2).edges).toEqual(luxBands.edges);
  });

  it('gives the shader the same twelve colours', () => {
    expect(bandsGlsl.match(/vec3\([0-9.]+, [0-9.]+, [0-9.]+\)/g)).toHaveLength(12);
  });
});

describe('obtrusive light (CIE 150:2017, from memory)', () => {
  it('has the window figures before and after curfew', () => {
    expect(obtrusiveFigures.E3).toMatchObject({
      windowPreCurfewLx: 10,
      windowPostCurfewLx: 2,
    });
    expect(obtrusiveFigures.E1.windowPostCurfewLx).toBe(0.1);
    expect(obtrusiveFigures.E0.windowPreCurfewLx).toBeUndefined();
  });
});
