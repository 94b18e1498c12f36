import { describe, expect, it } from 'vitest';
import { drawSkyline, SKYLINE_LAYERS, SKYLINE_TOP_M } from '../../src/view/sky/skyline.ts';
import { eyeLimitGlsl, eyeLimitMagnitude, FAINTEST, MAGNITUDE_ZERO_LX, scatterStars } from '../../src/view/sky/stars.ts';

describe('stars', () => {
  const stars = scatterStars();
  /** Magnitude before the atmosphere: 0.28 mag per air mass is put back. */
  const magnitudes = stars.map((s) => {
    const y = s.direction[1];
    return -2.5 * Math.log10(s.illuminanceLx / MAGNITUDE_ZERO_LX) - 0.28 / (y + 0.025 * Math.exp(-11 * y));
  });

  it('follow the count law of bright stars: 3.2 times as many a magnitude (from memory)', () => {
    const brighter = (m: number) => magnitudes.filter((v) => v < m).length;
    expect(brighter(FAINTEST) / brighter(FAINTEST - 1)).toBeCloseTo(10 ** 0.51, 0);
    expect(brighter(4)).toBeGreaterThan(230);
    expect(brighter(4)).toBeLessThan(270);
  });

  // Bortle's classes (2001), from memory: 21.5 mag/arcsec² about 6.1 to 6.5, 18 about 4.
  it.each([
    [2.71e-4, 6.1, 6.5],
    [6.81e-3, 3.7, 4.3],
  ])('show to the limit that observers give for a sky of %f cd/m²', (L, low, high) => {
    expect(eyeLimitMagnitude(L)).toBeGreaterThan(low);
    expect(eyeLimitMagnitude(L)).toBeLessThan(high);
    const body = eyeLimitGlsl.slice(eyeLimitGlsl.indexOf('{') + 1, eyeLimitGlsl.lastIndexOf('}'));
    const shader = new Function(
      'L',
      body.replace(/float /g, 'const ').replace(/log2|exp2|max/g, (w) => (w === 'exp2' ? '2 **' : `Math.${w}`)),
    );
    expect(shader(L)).toBeCloseTo(eyeLimitMagnitude(L), 4);
  });

  it('stand above the horizon in unit directions, with colours of luminance 1', () => {
    for (const s of stars) {
      expect(Math.hypot(...s.direction)).toBeCloseTo(1, 6);
      expect(s.direction[1]).toBeGreaterThan(0);
      expect(0.2126 * s.colour[0] + 0.7152 * s.colour[1] + 0.0722 * s.colour[2]).toBeCloseTo(1, 6);
    }
  });
});

describe('skyline', () => {
  const skyline = drawSkyline();

  it('is finite, above ground and below its layer’s tallest thing by a margin, everywhere round', () => {
    for (let i = 0; i < skyline.rows.length / 2; i++) {
      const heightM = skyline.rows[i]! * SKYLINE_TOP_M;
      expect(heightM).toBeGreaterThan(0);
      expect(heightM).toBeLessThan(SKYLINE_LAYERS[i % 4]!.highM * 1.6);
    }
  });

  it('marks houses apart from leaves, and knows its highest', () => {
    const half = skyline.rows.length / 2;
    const built = [...skyline.rows.subarray(half)];
    expect(new Set(built)).toEqual(new Set([0, 1]));
    expect(built.filter((v, i) => v === 1 && i % 4 === 3)).toHaveLength(0);
    skyline.topsM.forEach((topM, k) => {
      const layer = skyline.rows.subarray(0, half).filter((_, i) => i % 4 === k);
      expect(topM).toBeCloseTo(Math.max(...layer) * SKYLINE_TOP_M, 4);
    });
  });

  it('lights only windows that no nearer layer hides', () => {
    expect(skyline.windows.length).toBeGreaterThan(3);
    for (const w of skyline.windows) {
      const column = Math.floor(((w.azimuthRad / (2 * Math.PI)) * 4096 + 4096) % 4096);
      SKYLINE_LAYERS.forEach((layer, k) => {
        if (layer.distanceM >= w.distanceM) return;
        const near = (skyline.rows[column * 4 + k]! * SKYLINE_TOP_M - 1.6) / layer.distanceM;
        expect(near).toBeLessThan((w.heightM - 1.6) / w.distanceM);
      });
    }
  });

  it('grows the same each time', () => {
    expect(drawSkyline().rows).toEqual(skyline.rows);
  });
});
