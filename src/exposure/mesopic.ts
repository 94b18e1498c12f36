/** CIE 191:2010 recommended system MES2. V'(λ0) = 683/1699 makes photopic and scotopic units meet at 555 nm. */
const scotopicScale = 683 / 1699;

/** Luminance as an eye adapted to it sees it, and how photopic that eye is. */
export interface Mesopic {
  /** Mesopic luminance, cd/m². */
  luminanceCdM2: number;
  /** Adaptation m: 1 day vision, 0 night vision. */
  m: number;
}

/**
 * MES2: L_mes = (m·Lp + (1 − m)·Ls·V')/(m + (1 − m)·V'), m = .7670 + .3334·log10 L_mes, iterated from m = .5.
 * m = 0 where the scotopic luminance is at most .005 cd/m², 1 where the photopic is at least 5.
 * @param photopicCdM2 Lp, photopic luminance, cd/m²
 * @param scotopicOverPhotopic S/P ratio of the light; 1 returns Lp exactly
 * @source CIE 191:2010, as reported by secondary texts.
 * @see tests/exposure/vision.test.ts
 */
export function mesopicLuminance(photopicCdM2: number, scotopicOverPhotopic: number): Mesopic {
  const Lp = photopicCdM2;
  const Ls = Lp * scotopicOverPhotopic;
  if (Lp >= 5) return { luminanceCdM2: Lp, m: 1 };
  if (Ls <= 0.005) return { luminanceCdM2: Ls, m: 0 };
  let m = 0.5;
  let L = Lp;
  for (let step = 0; step < 200; step++) {
    L = (m * Lp + (1 - m) * Ls * scotopicScale) / (m + (1 - m) * scotopicScale);
    const next = Math.min(1, Math.max(0, 0.767 + 0.3334 * Math.log10(L)));
    if (Math.abs(next - m) < 1e-9) break;
    m = next;
  }
  return { luminanceCdM2: L, m };
}

/**
 * Share of colour an eye adapted to this luminance still sees: 1 at day vision, 0 at night vision.
 * Common practice, no source: the adaptation m of MES2 at S/P = 1, so colour fades with the cones.
 */
export const colourShare = (adaptationCdM2: number): number => mesopicLuminance(adaptationCdM2, 1).m;
