import { GLARE_OCTAVE_WEIGHTS, glareSigmaDeg } from '../../exposure/index.ts';

/** Spread a picture level has from growing again (tents), level pixels². */
const GROW_VARIANCE = 1 / 6 / (1 - 1 / 4);

/** Taps to each side that a blur reads at most. */
export const GLARE_REACH = 12;

/** Levels up at which one texel takes in every pixel that the taps of a pixel under it can reach. */
export const GLARE_COARSER = 4;

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
  /** Weight of octaves too narrow for a blur: the finest level as it is. 0 at all others. */
  plain: number;
}

/** Least σ of the first octave, pixels, that the half-size picture can blur round: narrower ones would keep its square pixels. */
const LEAST_FIRST_PX = 1.4;

/**
 * The nine octaves as levels of a picture pyramid. σ in degrees becomes pixels by the field of view at the picture's
 * centre, σ_px = tan σ · focal length; octave k is blurred at the level whose pixel is about half its σ or a little less,
 * and what the shrinking and growing of the picture already blur is taken off: σ² = σ_k² − σ_shrink² − σ_grow². In wide views the
 * first octave is no wider than the half-size picture's own pixels and goes in unblurred.
 */
export function glareLevels(pixelRad: number): GlareLevel[] {
  const firstPx = Math.tan((glareSigmaDeg(0) * Math.PI) / 180) / pixelRad;
  const narrow = firstPx < LEAST_FIRST_PX;
  const firstPower = narrow ? Math.floor(Math.log2(firstPx / LEAST_FIRST_PX)) + 1 : Math.max(1, Math.floor(Math.log2(firstPx)));
  const levels: GlareLevel[] = [];
  let plain = 0;
  GLARE_OCTAVE_WEIGHTS.forEach((weight, k) => {
    const power = firstPower + k;
    if (power < 1) plain += weight;
    else {
      const wanted = Math.tan((glareSigmaDeg(k) * Math.PI) / 180) / pixelRad / 2 ** power;
      const left = wanted * wanted - shrinkVariance(power) - GROW_VARIANCE;
      levels.push({ power, sigmaPx: Math.sqrt(Math.max(0.04, left)), weight, plain: levels.length === 0 ? plain : 0 });
    }
  });
  return levels;
}
