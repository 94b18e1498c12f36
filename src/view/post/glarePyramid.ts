import { GLARE_OCTAVE_WEIGHTS, glareSigmaDeg } from '../../exposure/index.ts';

/** Spread a picture level has from growing again (tents), level pixels². */
const GROW_VARIANCE = 1 / 6 / (1 - 1 / 4);

/** Taps to each side that a blur reads at most. */
export const GLARE_REACH = 12;

/** Weights of one direction of a Gaussian, from the middle outward to three σ; with their mirror images they sum to `total`. */
export function gaussianTaps(sigmaPx: number, total: number): number[] {
  const reach = Math.min(Math.ceil(sigmaPx * 3), GLARE_REACH);
  const raw = Array.from({ length: reach + 1 }, (_, i) => Math.exp((-0.5 * i * i) / (sigmaPx * sigmaPx)));
  const sum = raw.reduce((a, b) => a + 2 * b, -raw[0]!);
  return raw.map((w) => (w * total) / sum);
}

/** Spread from shrinking, level pixels²: a mean of two, then weights 1 3 3 1 (variance 3/4 of the finer pixel²) a step. */
function shrinkVariance(power: number): number {
  let variance = 1 / 12;
  for (let p = 2; p <= power; p++) variance = (variance + 3 / 4) / 4;
  return variance;
}

export interface GlareLevel {
  /** This level's pixel is 2^power picture pixels wide. */
  power: number;
  /** Gaussian still to be applied at this level, its pixels. */
  sigmaPx: number;
  weight: number;
}

/**
 * The nine octaves as levels of a picture pyramid. σ in degrees becomes pixels by the field of view at the picture's
 * centre, σ_px = tan σ · focal length; octave k is blurred at the level whose pixel is about half its σ or a little less,
 * and what the shrinking and growing of the picture already blur is taken off: σ² = σ_k² − σ_shrink² − σ_grow².
 */
export function glareLevels(pixelRad: number): GlareLevel[] {
  const firstPx = Math.tan((glareSigmaDeg(0) * Math.PI) / 180) / pixelRad;
  const firstPower = Math.max(1, Math.floor(Math.log2(firstPx)));
  return GLARE_OCTAVE_WEIGHTS.map((weight, k) => {
    const power = firstPower + k;
    const wanted = Math.tan((glareSigmaDeg(k) * Math.PI) / 180) / pixelRad / 2 ** power;
    const left = wanted * wanted - shrinkVariance(power) - GROW_VARIANCE;
    return { power, sigmaPx: Math.sqrt(Math.max(0.04, left)), weight };
  });
}
