/**
 * Exposure in absolute units. A reflected-light meter reads L = 2^EV · K / 100 at ISO 100 with K = 12.5 cd/m² (ISO 2720),
 * so L = 2^(EV − 3) = 0.125 · 2^EV. A saturation-based sensor clips at L = 78 / (ISO · q) · 2^EV with q = 0.65 (ISO 12232),
 * which is 1.2 · 2^EV at ISO 100.
 */
export const METER_CONSTANT_K = 12.5;
export const SATURATION_PER_EV0_CD_M2 = 78 / (100 * 0.65);

/** Exposure value at ISO 100 for a metered luminance, log2(L · 100 / K). @throws {RangeError} when L is not above 0. */
export function ev100FromLuminance(luminanceCdM2: number): number {
  if (!(luminanceCdM2 > 0)) throw new RangeError(`luminanceCdM2 ${luminanceCdM2}: more than 0 is accepted`);
  return Math.log2((luminanceCdM2 * 100) / METER_CONSTANT_K);
}

/** Luminance that a meter would place at this exposure value, cd/m². */
export const luminanceFromEv100 = (ev100: number): number => (METER_CONSTANT_K / 100) * 2 ** ev100;

/** Luminance above which the picture clips, cd/m²: 1.2 · 2^EV. */
export const saturationLuminance = (ev100: number): number => SATURATION_PER_EV0_CD_M2 * 2 ** ev100;

/** Luminance of an 18 % grey card where a full-white card just saturates, cd/m². */
export const midGreyLuminance = (ev100: number): number => 0.18 * saturationLuminance(ev100);

/** Above the clipping limit of the picture: judged before tone curve and scatter. */
export const isClipped = (luminanceCdM2: number, ev100: number): boolean => luminanceCdM2 > saturationLuminance(ev100);
