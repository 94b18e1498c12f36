import { describe, expect, it } from 'vitest';
import {
  compressPeak,
  displayColour,
  ev100FromLuminance,
  excessOverWhite,
  isClipped,
  linearFromOklab,
  luminanceFromEv100,
  midGreyLuminance,
  oklabFromLinear,
  SRGB_ROOTS,
  saturationLuminance,
  TONE,
  toneGlsl,
  toneMap,
} from '../../src/exposure/index.ts';

describe('exposure value (ISO 2720, ISO 12232; facts 6.3)', () => {
  it.each([
    [0.01, -3.644, 0.096],
    [0.05, -1.322, 0.48],
    [0.125, 0, 1.2],
    [1, 3, 9.6],
    [8, 6, 76.8],
    [12.5, 6.644, 120],
    [100, 9.644, 960],
  ])('%f cd/m² is EV %f and clips at %f cd/m²', (L, ev, max) => {
    expect(ev100FromLuminance(L)).toBeCloseTo(ev, 3);
    expect(luminanceFromEv100(ev100FromLuminance(L))).toBeCloseTo(L, 9);
    expect(saturationLuminance(ev100FromLuminance(L))).toBeCloseTo(max, 6);
  });

  it('is EV 15 for 4096 cd/m² (the sunny 16 rule)', () => {
    expect(ev100FromLuminance(4096)).toBeCloseTo(15, 12);
  });

  it('puts mid-grey at 18 % of saturation and says what clips', () => {
    expect(midGreyLuminance(3)).toBeCloseTo(1.728, 9);
    expect(isClipped(9.6, 3)).toBe(false);
    expect(isClipped(9.61, 3)).toBe(true);
    expect(() => ev100FromLuminance(0)).toThrow(/more than 0/);
  });
});

describe('tone curve', () => {
  it('is the identity up to .7', () => {
    expect(toneMap([0.7, 0.35, 0.07])).toEqual([0.7, 0.35, 0.07]);
  });

  it('joins smoothly, rises everywhere and reaches white exactly at 8', () => {
    const slope = (compressPeak(0.7 + 1e-6) - 0.7) / 1e-6;
    expect(slope).toBeCloseTo(1, 4);
    for (let x = 0; x < 7.9; x += 0.05) expect(compressPeak(x + 0.05)).toBeGreaterThan(compressPeak(x));
    expect(compressPeak(8)).toBeCloseTo(1, 12);
    expect(compressPeak(100)).toBeCloseTo(1, 12);
    expect(compressPeak(1)).toBeCloseTo(0.85, 2);
  });

  it('keeps neutral neutral and never leaves 0…1', () => {
    for (const v of [0.2, 0.9, 2, 8, 50]) {
      const [r, g, b] = toneMap([v, v, v]);
      expect(g).toBeCloseTo(r, 4);
      expect(b).toBeCloseTo(r, 4);
      for (const warm of toneMap([v, v * 0.5, v * 0.1])) {
        expect(warm).toBeGreaterThanOrEqual(0);
        expect(warm).toBeLessThanOrEqual(1);
      }
    }
  });

  it('keeps the hue in OKLab while it moves toward white', () => {
    const hue = (rgb: readonly [number, number, number]): number => {
      const lab = oklabFromLinear(rgb);
      return Math.atan2(lab[2], lab[1]);
    };
    const chroma = (rgb: readonly [number, number, number]): number => {
      const lab = oklabFromLinear(rgb);
      return Math.hypot(lab[1], lab[2]);
    };
    const warm = [1.9, 0.8, 0.35] as const;
    expect(hue(toneMap(warm))).toBeCloseTo(hue(warm), 3);
    const overflow = 1.9 - TONE.linearTo;
    const k = 1 - 1 / (1 + 0.3 * overflow);
    const scale = compressPeak(1.9) / 1.9;
    expect(chroma(toneMap(warm))).toBeCloseTo((1 - k) * chroma([1.9 * scale, 0.8 * scale, 0.35 * scale]), 4);
  });

  it('holds the hue all the way up, for grey, brick and leaves under warm light, and never grows darker', () => {
    const hueDeg = (rgb: readonly [number, number, number]): number => {
      const lab = oklabFromLinear(rgb);
      return (Math.atan2(lab[2], lab[1]) * 180) / Math.PI;
    };
    // Reflectances times lamp colours, strongest channel 1; invented.
    for (const c of [
      [1, 0.6, 0.28],
      [1, 0.28, 0.1],
      [1, 0.22, 0.04],
      [1, 0.84, 0.18],
    ] as const) {
      let before = 0;
      for (let e = 0.1; e < 40; e *= 1.2) {
        const shown = toneMap([c[0] * e, c[1] * e, c[2] * e]);
        // OKLab's own linearity: within a degree is the same hue to the eye (from memory). Per-channel clipping is 3 to 4° off.
        expect(Math.abs(hueDeg(shown) - hueDeg(c))).toBeLessThan(1);
        const luminance = 0.2126 * shown[0] + 0.7152 * shown[1] + 0.0722 * shown[2];
        expect(luminance).toBeGreaterThanOrEqual(before - 1e-9);
        before = luminance;
      }
    }
  });

  it('has OKLab of its author: white is (1, 0, 0), and a round trip', () => {
    const white = oklabFromLinear([1, 1, 1]);
    expect(white[0]).toBeCloseTo(1, 5);
    expect(white[1]).toBeCloseTo(0, 5);
    expect(white[2]).toBeCloseTo(0, 5);
    linearFromOklab(oklabFromLinear([0.2, 0.5, 0.7])).forEach((c, i) => {
      expect(c).toBeCloseTo([0.2, 0.5, 0.7][i]!, 6);
    });
  });

  it('shows saturation luminance just under white and far more as white', () => {
    const at = displayColour([9.6, 9.6, 9.6], 3);
    expect(at[0]).toBeGreaterThan(0.92);
    expect(at[0]).toBeLessThan(1);
    for (const c of displayColour([80, 80, 80], 3)) expect(c).toBeCloseTo(1, 4);
  });

  it('scatters only what exceeds white, in its own colour', () => {
    expect(excessOverWhite([1, 0.5, 0.2])).toEqual([0, 0, 0]);
    const [r, g, b] = excessOverWhite([4, 2, 1]);
    expect(r).toBeCloseTo(3, 12);
    expect(g / r).toBeCloseTo(0.5, 12);
    expect(b / r).toBeCloseTo(0.25, 12);
  });

  it('has a shader twin that gives the same numbers', () => {
    const shader = runGlslTone();
    for (const rgb of [
      [0.1, 0.2, 0.3],
      [1.2, 0.7, 0.2],
      [6, 3, 0.4],
      [20, 20, 19],
    ] as const) {
      for (const i of [0, 1, 2] as const) expect(shader(rgb)[i]).toBeCloseTo(toneMap(rgb)[i], 6);
    }
  });
});

/** Run the shader text itself: the few vector operations it uses, rewritten as JavaScript. */
function runGlslTone(): (rgb: readonly [number, number, number]) => number[] {
  const number = (name: string): number => {
    const match = new RegExp(`const float ${name} = ([0-9.]+);`).exec(toneGlsl);
    if (!match) throw new Error(`no ${name} in the shader`);
    return Number(match[1]);
  };
  const rows = [...toneGlsl.matchAll(/dot\((?:c|lms), vec3\(([^)]+)\)\)/g)].map((m) => m[1]!.split(',').map(Number));
  const roots = [...toneGlsl.matchAll(/lab\.x ([+-] [0-9.]+) \* lab\.y ([+-] [0-9.]+) \* lab\.z/g)].map((m) =>
    [m[1]!, m[2]!].map((v) => Number(v.replace(' ', ''))),
  );
  expect(rows).toHaveLength(9);
  expect(roots).toHaveLength(3);
  const dot = (a: readonly number[], b: readonly number[]): number => a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
  return (rgb) => {
    const peak = Math.max(...rgb);
    if (peak <= number('TONE_LINEAR_TO')) return [...rgb];
    const X = number('TONE_WHITE_X');
    const x = Math.min((peak - number('TONE_LINEAR_TO')) / number('TONE_SHOULDER'), X);
    const compressed = number('TONE_LINEAR_TO') + (number('TONE_SHOULDER') * x * (1 + x / (X * X))) / (1 + x);
    const k = 1 - 1 / (1 + number('TONE_TO_WHITE') * (peak - number('TONE_LINEAR_TO')));
    const c = rgb.map((v) => (v * compressed) / peak);
    const lms = rows.slice(0, 3).map((row) => Math.cbrt(dot(c, row)));
    const lab = rows.slice(3, 6).map((row) => dot(lms, row));
    const moved = [lab[0]! + (1 - lab[0]!) * k, lab[1]! * (1 - k), lab[2]! * (1 - k)];
    const cubes = roots.map((r) => (moved[0]! + r[0]! * moved[1]! + r[1]! * moved[2]!) ** 3);
    const out = rows.slice(6, 9).map((row) => dot(cubes, row));
    expect(toneGlsl).toContain('o / max(1.0, max(o.r, max(o.g, o.b)))');
    return out.map((v) => Math.min(1, Math.max(0, v / Math.max(1, ...out))));
  };
}

describe('screen code of the shader', () => {
  it('stays within .02 steps of 255 of IEC 61966-2-1', () => {
    for (let code = 0.041; code <= 1; code += 0.001) {
      const v = ((code + 0.055) / 1.055) ** 2.4;
      const [a, b, c, d] = SRGB_ROOTS;
      expect(Math.abs(a * v ** 0.5 + b * v ** 0.25 + c * v ** 0.125 + d * v - code) * 255).toBeLessThan(0.02);
    }
  });
});
