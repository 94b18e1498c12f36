/**
 * Scatter in the eye. The CIE 146:2002 general disability glare equation,
 *
 *     Lv / E = 10/θ³ + (5/θ² + 0.1·p/θ)·(1 + (A/62.5)⁴) + 0.0025·p
 *
 * | symbol | code                 | meaning                                        | unit  | domain    |
 * | ------ | -------------------- | ---------------------------------------------- | ----- | --------- |
 * | E      | `eyeIlluminanceLx`   | illuminance at the eye, normal to the ray      | lx    | ≥ 0       |
 * | θ      | `thetaDeg`           | angle between gaze and source                  | °     | 0.1 … 100 |
 * | A      | `ageYears`           | age                                            | years | > 0       |
 * | p      | `pigment`            | eye colour: 0 very dark, 0.5 brown, 1.0 light  | 1     | 0 … 1.2   |
 *
 * @returns veiling luminance, cd/m². Angles below 0.1° are taken as 0.1°, above 100° they give 0.
 * @source CIE 146:2002, as reported by secondary texts.
 * @see tests/exposure/glare.test.ts
 */
export function veilingLuminance(eyeIlluminanceLx: number, thetaDeg: number, ageYears = 35, pigment = 0.5): number {
  if (thetaDeg > 100) return 0;
  const theta = Math.max(thetaDeg, GLARE_DOMAIN_DEG[0]);
  const age = 1 + (ageYears / 62.5) ** 4;
  const p = pigment;
  return eyeIlluminanceLx * (10 / theta ** 3 + (5 / theta ** 2 + (0.1 * p) / theta) * age + 0.0025 * p);
}
export const GLARE_DOMAIN_DEG = [0.1, 100] as const;

/**
 * The same curve (age 35, p = 0.5) as a sum of nine Gaussians an octave apart, for blurs on a picture pyramid:
 * scattered share w_k, spread σ_k = 0.08° · 2^k. Within 2 to 3 % of the curve from 0.15° to 24°.
 */
export const GLARE_OCTAVE_WEIGHTS = [0.1395, 0.0736, 0.0404, 0.0238, 0.0157, 0.0114, 0.01, 0.0072, 0.0179] as const;
export const GLARE_FIRST_SIGMA_DEG = 0.08;

/** Spread of octave k, degrees. */
export const glareSigmaDeg = (octave: number): number => GLARE_FIRST_SIGMA_DEG * 2 ** octave;

/** Σ w_k / (2π σ_k²) · exp(−θ²/2σ_k²): veiling luminance per lux at the eye, cd/m² per lx. */
export function glareOctaveSum(thetaDeg: number): number {
  const rad = Math.PI / 180;
  let sum = 0;
  GLARE_OCTAVE_WEIGHTS.forEach((w, k) => {
    const sigma = glareSigmaDeg(k) * rad;
    sum += (w / (2 * Math.PI * sigma * sigma)) * Math.exp(-0.5 * ((thetaDeg * rad) / sigma) ** 2);
  });
  return sum;
}
