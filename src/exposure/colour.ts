export type Rgb = readonly [number, number, number];
/** Row-major 3 × 3. */
export type Matrix3 = readonly [number, number, number, number, number, number, number, number, number];

/** Luminance of linear sRGB, IEC 61966-2-1 (rounded to four digits, as in the rest of the program). */
export const LUMINANCE_WEIGHTS: Rgb = [0.2126, 0.7152, 0.0722];

export const luminanceOf = (rgb: Rgb): number => 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];

/** XYZ ↔ linear sRGB, IEC 61966-2-1; the inverse is computed, so that a round trip is exact. */
const xyzFromSrgb: Matrix3 = [0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505];
const srgbFromXyz = invert(xyzFromSrgb);

/** Bradford cone responses (Lam 1985, as in the ICC profile specification). */
const coneFromXyz: Matrix3 = [0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296];

/** The white the picture is adapted to, kelvin; stated on every picture. */
export const DISPLAY_WHITE_K = 4000;

/**
 * Chromaticity (x, y) of a black body by Krystek's rational approximation of the Planckian locus in CIE 1960 u, v.
 *
 * | symbol | code   | meaning                       | unit | domain        |
 * | ------ | ------ | ----------------------------- | ---- | ------------- |
 * | T      | `cctK` | correlated colour temperature | K    | 1000 … 15 000 |
 *
 * Validity: within 1.4e-4 of the exact locus in u, v.
 * @throws {RangeError} outside the domain.
 * @source M. Krystek, Color Research & Application 10 (1985) 38.
 * @see tests/exposure/colour.test.ts
 */
export function planckianXy(cctK: number): readonly [number, number] {
  const [u, v] = planckianUv(cctK);
  const d = 2 * u - 8 * v + 4;
  return [(3 * u) / d, (2 * v) / d];
}

/** The same in CIE 1960 (u, v). */
export function planckianUv(cctK: number): readonly [number, number] {
  const T = cctK;
  if (!(T >= 1000 && T <= 15000)) throw new RangeError(`cctK ${T}: 1000 to 15000 K is accepted`);
  const u = (0.860117757 + 1.54118254e-4 * T + 1.28641212e-7 * T * T) / (1 + 8.42420235e-4 * T + 7.08145163e-7 * T * T);
  const v = (0.317398726 + 4.22806245e-5 * T + 4.20481691e-8 * T * T) / (1 - 2.89741816e-5 * T + 1.61456053e-7 * T * T);
  return [u, v];
}

/** Linear sRGB of a chromaticity at luminance 1; channels may be negative. */
export function xyToLinearRgb(x: number, y: number): Rgb {
  return normalised(applyMatrix(srgbFromXyz, [x / y, 1, (1 - x - y) / y]));
}

/**
 * Colour of a lamp by its colour temperature: linear sRGB, luminance exactly 1, never negative.
 * Below about 1900 K blue would be negative; such colours are pulled toward grey of the same luminance until it is 0.
 * @throws {RangeError} outside 1000 to 15 000 K.
 */
export function cctToLinearRgb(cctK: number): Rgb {
  const [x, y] = planckianXy(cctK);
  return pulledIntoGamut(xyToLinearRgb(x, y));
}

/** Pull negative channels toward the colour's own luminance until none is negative; luminance stays. */
export function pulledIntoGamut(rgb: Rgb): Rgb {
  const low = Math.min(rgb[0], rgb[1], rgb[2]);
  if (low >= 0) return rgb;
  const Y = luminanceOf(rgb);
  if (Y <= 0) return [0, 0, 0];
  const keep = Y / (Y - low);
  return [Y + (rgb[0] - Y) * keep, Y + (rgb[1] - Y) * keep, Y + (rgb[2] - Y) * keep].map((c) => Math.max(0, c)) as unknown as Rgb;
}

/** Full von Kries scaling of Bradford cones from one white (XYZ) to another: the matrix acts on XYZ. */
export function bradfordMatrix(fromWhiteXyz: Rgb, toWhiteXyz: Rgb): Matrix3 {
  const from = applyMatrix(coneFromXyz, fromWhiteXyz);
  const to = applyMatrix(coneFromXyz, toWhiteXyz);
  const scale: Matrix3 = [to[0] / from[0], 0, 0, 0, to[1] / from[1], 0, 0, 0, to[2] / from[2]];
  return multiply(invert(coneFromXyz), multiply(scale, coneFromXyz));
}

/**
 * Chromatic adaptation of the display: linear sRGB of the scene → linear sRGB in which light of `whiteK` (Planckian) is
 * neutral, the white of sRGB being D65.
 */
export function adaptationMatrix(whiteK: number = DISPLAY_WHITE_K): Matrix3 {
  const [x, y] = planckianXy(whiteK);
  const xyz = bradfordMatrix([x / y, 1, (1 - x - y) / y], applyMatrix(xyzFromSrgb, [1, 1, 1]));
  return multiply(srgbFromXyz, multiply(xyz, xyzFromSrgb));
}

const displayAdaptation = adaptationMatrix();

/** Scene colour → colour as the 4000 K display shows it, negative channels pulled toward luminance. */
export const adaptToDisplay = (rgb: Rgb): Rgb => pulledIntoGamut(applyMatrix(displayAdaptation, rgb));

/** GLSL twin of `adaptToDisplay`. */
export const adaptGlsl = `
const mat3 DISPLAY_ADAPTATION = mat3(${columns(displayAdaptation)});
vec3 adaptToDisplay(vec3 rgb) {
  vec3 c = DISPLAY_ADAPTATION * rgb;
  float low = min(c.r, min(c.g, c.b));
  float Y = dot(c, vec3(0.2126, 0.7152, 0.0722));
  if (low < 0.0) c = Y > 0.0 ? max(vec3(0.0), Y + (c - Y) * (Y / (Y - low))) : vec3(0.0);
  return c;
}
`;

/** sRGB transfer, IEC 61966-2-1. */
export const srgbEncode = (v: number): number => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
export const srgbDecode = (v: number): number => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);

function normalised(rgb: Rgb): Rgb {
  const Y = luminanceOf(rgb);
  return [rgb[0] / Y, rgb[1] / Y, rgb[2] / Y];
}

/** Matrix × column. */
export function applyMatrix(m: Matrix3, v: Rgb): Rgb {
  return [
    m[0] * v[0] + m[1] * v[1] + m[2] * v[2],
    m[3] * v[0] + m[4] * v[1] + m[5] * v[2],
    m[6] * v[0] + m[7] * v[1] + m[8] * v[2],
  ];
}

function multiply(a: Matrix3, b: Matrix3): Matrix3 {
  const column = (j: 0 | 1 | 2): Rgb => applyMatrix(a, [b[j], b[(j + 3) as 3], b[(j + 6) as 6]]);
  const [p, q, r] = [column(0), column(1), column(2)];
  return [p[0], q[0], r[0], p[1], q[1], r[1], p[2], q[2], r[2]];
}

function invert(m: Matrix3): Matrix3 {
  const [a, b, c, d, e, f, g, h, i] = m;
  const [A, B, C] = [e * i - f * h, f * g - d * i, d * h - e * g];
  const det = a * A + b * B + c * C;
  return [
    A / det,
    (c * h - b * i) / det,
    (b * f - c * e) / det,
    B / det,
    (a * i - c * g) / det,
    (c * d - a * f) / det,
    C / det,
    (b * g - a * h) / det,
    (a * e - b * d) / det,
  ];
}

/** GLSL matrices are filled by columns. */
function columns(m: Matrix3): string {
  return [m[0], m[3], m[6], m[1], m[4], m[7], m[2], m[5], m[8]].map((v) => v.toFixed(9)).join(', ');
}
