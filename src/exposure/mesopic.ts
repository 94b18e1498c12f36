import type { Rgb } from './colour.ts';
import { adaptToDisplay, luminanceOf } from './colour.ts';

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

/**
 * Scotopic over photopic luminance of a linear sRGB colour: V'/Y = 1.33·(1 + (Y + Z)/X) − 1.68, not below 0.
 * @source G. W. Larson, H. Rushmeier, C. Piatko 1997 (IEEE TVCG 3(4)), from memory; within a tenth of Planck's S/P ratios
 *   from 2700 to 6500 K.
 */
export function scotopicShare(rgb: Rgb): number {
  const [X, Y, Z] = SRGB_TO_XYZ.map((row) => row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2]) as [number, number, number];
  return X > 0 ? Math.max(0, 1.33 * (1 + (Y + Z) / X) - 1.68) : 1;
}

/** IEC 61966-2-1, rows X, Y, Z. */
const SRGB_TO_XYZ = [
  [0.4124, 0.3576, 0.1805],
  [0.2126, 0.7152, 0.0722],
  [0.0193, 0.1192, 0.9505],
] as const;

/** What rods alone show, linear sRGB of luminance 1: xy (.25, .25). H. W. Jensen et al. 2000, night scenes; from memory. */
export const ROD_TINT: Rgb = [0.7062, 0.9899, 1.9661];

/** Luminance of the display's white that the look is made for, cd/m². */
const DISPLAY_WHITE_CD_M2 = 100;

/**
 * Luminance that an eye used to `adaptationCdM2` sees as display white, cd/m²: a just visible step stays just visible,
 * Lw = Ldmax · ((1.219 + La^0.4)/(1.219 + (Ldmax/2)^0.4))^2.5 with Ldmax = 100 cd/m². A dark place stays dark.
 * @source G. Ward 1994, A contrast-based scalefactor for luminance display (Graphics Gems IV); from memory.
 */
export function eyeWhiteLuminance(adaptationCdM2: number): number {
  const ratio = (1.219 + adaptationCdM2 ** 0.4) / (1.219 + (DISPLAY_WHITE_CD_M2 / 2) ** 0.4);
  return DISPLAY_WHITE_CD_M2 * ratio ** 2.5;
}

/**
 * Scene colour, cd/m², as an eye used to `adaptationCdM2` sees it, adapted to the display's white: luminance by MES2, colour
 * faded toward the tint of rods, which is a colour of the display and not adapted.
 * The share m of the cones is that of the adaptation; a spot brighter than it counts by the geometric mean of both (common
 * practice, no source), so lit walls keep their colour in a dark garden. What fades turns grey first, blue last.
 */
export function seenByEye(rgbCdM2: Rgb, adaptationCdM2: number): Rgb {
  const Y = luminanceOf(rgbCdM2);
  if (!(Y > 0)) return [0, 0, 0];
  const shown = adaptToDisplay(rgbCdM2);
  const m = colourShare(Math.sqrt(adaptationCdM2 * Math.max(adaptationCdM2, Y)));
  const gain = (m + (1 - m) * scotopicShare(rgbCdM2) * scotopicScale) / (m + (1 - m) * scotopicScale);
  return [0, 1, 2].map((i) => gain * (m * shown[i]! + (1 - m) * Y * (m + (1 - m) * ROD_TINT[i]!))) as unknown as Rgb;
}

/** GLSL twin of `seenByEye`, needs `adaptGlsl`; at S/P 1 the adaptation m of MES2 is .767 + .3334·log10 L in closed form. */
export const mesopicGlsl = `
const float ROD_UNIT = ${scotopicScale.toFixed(9)};
const vec3 ROD_TINT = vec3(${ROD_TINT.map((v) => v.toFixed(4)).join(', ')});
float coneShare(float adaptation) {
  return adaptation >= 5.0 ? 1.0 : clamp(0.767 + 0.3334 * log2(max(adaptation, 1e-9)) * 0.30103, 0.0, 1.0);
}
vec3 seenByEye(vec3 rgb, float adaptation) {
  float Y = dot(rgb, vec3(0.2126, 0.7152, 0.0722));
  if (Y <= 0.0) return vec3(0.0);
  float X = dot(rgb, vec3(0.4124, 0.3576, 0.1805));
  float Z = dot(rgb, vec3(0.0193, 0.1192, 0.9505));
  float rods = X > 0.0 ? max(0.0, 1.33 * (1.0 + (Y + Z) / X) - 1.68) : 1.0;
  float m = coneShare(sqrt(adaptation * max(adaptation, Y)));
  float gain = (m + (1.0 - m) * rods * ROD_UNIT) / (m + (1.0 - m) * ROD_UNIT);
  return gain * mix(Y * mix(ROD_TINT, vec3(1.0), m), adaptToDisplay(rgb), m);
}
`;
