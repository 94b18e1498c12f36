import { createDice } from '../../scene/index.ts';

/** Illuminance of a star of magnitude 0 above the atmosphere, lux (V band; Allen's Astrophysical Quantities: 2.54 µlx, from memory). */
export const MAGNITUDE_ZERO_LX = 2.54e-6;
/** Stars brighter than magnitude 4 over the whole sphere: about 500 (from memory), growing 3.2-fold a magnitude. */
const BRIGHTER_THAN_4 = 500;
const GROWTH = 0.51;
export const FAINTEST = 5.8;

/**
 * Faintest star that an eye sees, magnitudes, under a sky of luminance L: 7.93 − 5·log10(10^(4.316 − μ/5) + 1), with
 * μ = 12.58 − 2.5·log10 L magnitudes a square arc second.
 *
 * @source A common approximation among observers, from memory; μ as in photometry of the night sky.
 * @see tests/view/skyDots.test.ts
 */
export function eyeLimitMagnitude(skyCdM2: number): number {
  const mu = LIMIT.zeroMu - 2.5 * Math.log10(Math.max(skyCdM2, 1e-6));
  return LIMIT.top - 5 * Math.log10(10 ** (LIMIT.knee - mu / 5) + 1);
}
const LIMIT = { zeroMu: 12.58, top: 7.93, knee: 4.316 } as const;
const f = (v: number): string => v.toFixed(6);
const LOG10_2 = Math.log10(2);

/** GLSL twin of `eyeLimitMagnitude`. */
export const eyeLimitGlsl = `
float eyeLimitMagnitude(float L) {
  float mu = ${f(LIMIT.zeroMu)} - ${f(2.5 * LOG10_2)} * log2(max(L, 1e-6));
  return ${f(LIMIT.top)} - ${f(5 * LOG10_2)} * log2(exp2((${f(LIMIT.knee)} - 0.2 * mu) * ${f(1 / LOG10_2)}) + 1.0);
}
`;

export interface Star {
  direction: [number, number, number];
  illuminanceLx: number;
  /** Linear RGB, luminance 1. */
  colour: [number, number, number];
}

/**
 * An invented sky with the real sky's counts: N(< m) = 500 · 10^(0.51 (m − 4)). Only the upper half is made. Dimmed by the
 * atmosphere, 0.28 mag per air mass.
 */
export function scatterStars(seed = 5): Star[] {
  const random = createDice(seed).next;
  const count = Math.round((BRIGHTER_THAN_4 / 2) * 10 ** (GROWTH * (FAINTEST - 4)));
  return Array.from({ length: count }, (_, i) => {
    const y = 0.03 + 0.97 * random();
    const phi = 2 * Math.PI * random();
    const s = Math.sqrt(1 - y * y);
    const magnitude = FAINTEST + Math.log10((i + 0.5) / count) / GROWTH;
    const airMass = 1 / (y + 0.025 * Math.exp(-11 * y));
    const warm = random();
    const tint: [number, number, number] = warm > 0.8 ? [1.25, 0.95, 0.7] : warm > 0.45 ? [1, 1, 1] : [0.85, 1, 1.3];
    const k = 1 / (0.2126 * tint[0] + 0.7152 * tint[1] + 0.0722 * tint[2]);
    return {
      direction: [s * Math.sin(phi), y, -s * Math.cos(phi)],
      illuminanceLx: MAGNITUDE_ZERO_LX * 10 ** (-0.4 * (magnitude + 0.28 * airMass)),
      colour: [tint[0] * k, tint[1] * k, tint[2] * k],
    };
  });
}
