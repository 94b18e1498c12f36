import type { Rgb } from './colour.ts';
import { luminanceOf, srgbEncode } from './colour.ts';
import { saturationLuminance } from './ev.ts';

/**
 * The tone curve: one number, the largest channel, is compressed, so hue never shifts; what overflows moves toward white
 * in OKLab (B. Ottosson 2020), which keeps warm light warm on its way. A way to white that leaves the display's gamut is
 * scaled back as a whole, never channel by channel. Input 1 = saturation luminance; up to 0.7 of it pixel and luminance are
 * proportional. The one roll-off of every surface, pane, card, lens and sky.
 */
export const TONE = {
  /** Linear up to here. */
  linearTo: 0.7,
  /** The shoulder reaches display white here. */
  whiteAt: 8,
  /** Share of the way to white: k = 1 − 1/(1 + toWhite·overflow), overflow = largest channel above `linearTo`. */
  toWhite: 0.3,
} as const;

const shoulder = 1 - TONE.linearTo;
const whiteX = (TONE.whiteAt - TONE.linearTo) / shoulder;

/**
 * Compress one value: y = x to 0.7, then 0.7 + 0.3·x(1 + x/X²)/(1 + x) of the excess x, in units of 0.3, with X at white.
 * Slope 1 at the joint, exactly 1 at `whiteAt`.
 */
export function compressPeak(value: number): number {
  if (value <= TONE.linearTo) return value;
  const x = Math.min((value - TONE.linearTo) / shoulder, whiteX);
  return TONE.linearTo + (shoulder * x * (1 + x / (whiteX * whiteX))) / (1 + x);
}

/** Exposed linear RGB (1 = saturation) → display-linear RGB, 0…1. */
export function toneMap(rgb: Rgb): Rgb {
  const peak = Math.max(rgb[0], rgb[1], rgb[2]);
  if (peak <= TONE.linearTo) return [Math.max(0, rgb[0]), Math.max(0, rgb[1]), Math.max(0, rgb[2])];
  const scale = compressPeak(peak) / peak;
  const k = 1 - 1 / (1 + TONE.toWhite * (peak - TONE.linearTo));
  const [L, a, b] = oklabFromLinear([Math.max(0, rgb[0]) * scale, Math.max(0, rgb[1]) * scale, Math.max(0, rgb[2]) * scale]);
  const out = linearFromOklab([L + (1 - L) * k, a * (1 - k), b * (1 - k)]);
  const over = Math.max(1, out[0], out[1], out[2]);
  return [clamp01(out[0] / over), clamp01(out[1] / over), clamp01(out[2] / over)];
}

/** Scene radiance (already adapted, cd/m² RGB) → 8-bit-ready sRGB, 0…1, at an exposure value. */
export function displayColour(rgbCdM2: Rgb, ev100: number): Rgb {
  const white = saturationLuminance(ev100);
  const c = toneMap([rgbCdM2[0] / white, rgbCdM2[1] / white, rgbCdM2[2] / white]);
  return [srgbEncode(c[0]), srgbEncode(c[1]), srgbEncode(c[2])];
}

/**
 * Part of the light that scatters visibly in the eye: what exceeds display white, colour kept: colour × (1 − 1/peak).
 * Per-channel excess would clip red first.
 */
export function excessOverWhite(rgb: Rgb): Rgb {
  const peak = Math.max(rgb[0], rgb[1], rgb[2]);
  const share = peak > 1 ? 1 - 1 / peak : 0;
  return [rgb[0] * share, rgb[1] * share, rgb[2] * share];
}

export function oklabFromLinear(rgb: Rgb): Rgb {
  const [r, g, b] = rgb;
  const l = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const m = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const s = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return [
    0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s,
    1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s,
    0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s,
  ];
}

export function linearFromOklab(lab: Rgb): Rgb {
  const [L, a, b] = lab;
  const l = (L + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (L - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (L - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
}

/** Lightness of a display colour 0…100 (CIE 1976 L*), for tests of ramps. */
export function lightness(linear: Rgb): number {
  const Y = luminanceOf(linear);
  return Y > 216 / 24389 ? 116 * Math.cbrt(Y) - 16 : (24389 / 27) * Y;
}

const clamp01 = (v: number): number => Math.min(1, Math.max(0, v));
const f = (v: number): string => v.toFixed(9);

/**
 * sRGB's power by roots, far cheaper where no graphics card draws: c0·v^½ + c1·v^¼ + c2·v^⅛ + c3·v, within .012 steps of 255
 * (least largest error, fitted).
 */
export const SRGB_ROOTS = [0.64236132, 0.71211546, -0.33687204, -0.01756162] as const;

/** GLSL twin of `toneMap` and `srgbEncode`; constants are those above. */
export const toneGlsl = `
const float TONE_LINEAR_TO = ${f(TONE.linearTo)};
const float TONE_SHOULDER = ${f(shoulder)};
const float TONE_WHITE_X = ${f(whiteX)};
const float TONE_TO_WHITE = ${f(TONE.toWhite)};
vec3 cubeRoot(vec3 v) { return pow(max(v, vec3(0.0)), vec3(1.0 / 3.0)); }
float compressPeak(float value) {
  if (value <= TONE_LINEAR_TO) return value;
  float x = min((value - TONE_LINEAR_TO) / TONE_SHOULDER, TONE_WHITE_X);
  return TONE_LINEAR_TO + TONE_SHOULDER * x * (1.0 + x / (TONE_WHITE_X * TONE_WHITE_X)) / (1.0 + x);
}
vec3 oklabFromLinear(vec3 c) {
  vec3 lms = cubeRoot(vec3(
    dot(c, vec3(0.4122214708, 0.5363325363, 0.0514459929)),
    dot(c, vec3(0.2119034982, 0.6806995451, 0.1073969566)),
    dot(c, vec3(0.0883024619, 0.2817188376, 0.6299787005))));
  return vec3(
    dot(lms, vec3(0.2104542553, 0.7936177850, -0.0040720468)),
    dot(lms, vec3(1.9779984951, -2.4285922050, 0.4505937099)),
    dot(lms, vec3(0.0259040371, 0.7827717662, -0.8086757660)));
}
vec3 linearFromOklab(vec3 lab) {
  vec3 r = vec3(
    lab.x + 0.3963377774 * lab.y + 0.2158037573 * lab.z,
    lab.x - 0.1055613458 * lab.y - 0.0638541728 * lab.z,
    lab.x - 0.0894841775 * lab.y - 1.2914855480 * lab.z);
  vec3 lms = r * r * r;
  return vec3(
    dot(lms, vec3(4.0767416621, -3.3077115913, 0.2309699292)),
    dot(lms, vec3(-1.2684380046, 2.6097574011, -0.3413193965)),
    dot(lms, vec3(-0.0041960863, -0.7034186147, 1.7076147010)));
}
vec3 toneMap(vec3 rgb) {
  vec3 c = max(rgb, vec3(0.0));
  float peak = max(c.r, max(c.g, c.b));
  if (peak <= TONE_LINEAR_TO) return c;
  float k = 1.0 - 1.0 / (1.0 + TONE_TO_WHITE * (peak - TONE_LINEAR_TO));
  vec3 lab = oklabFromLinear(c * (compressPeak(peak) / peak));
  vec3 o = linearFromOklab(vec3(lab.x + (1.0 - lab.x) * k, lab.yz * (1.0 - k)));
  return clamp(o / max(1.0, max(o.r, max(o.g, o.b))), 0.0, 1.0);
}
vec3 srgbEncode(vec3 v) {
  vec3 a = sqrt(v), b = sqrt(a);
  return mix(${SRGB_ROOTS.map((c, k) => `${f(c)} * ${['a', 'b', 'sqrt(b)', 'v'][k]}`).join(' + ')}, 12.92 * v, vec3(lessThanEqual(v, vec3(0.0031308))));
}
`;
