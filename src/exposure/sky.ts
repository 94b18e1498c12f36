import type { Rgb } from './colour.ts';
import { cctToLinearRgb } from './colour.ts';
import type { Surroundings } from './surroundings.ts';
import { surroundingsFigures } from './surroundings.ts';
import { AIRGLOW_LX, fullMoonLx, moonPhaseShare, sunTwilightLx } from './twilight.ts';

/** Where the moon stands and how far it is from the sun. */
export interface MoonPlace {
  altitudeDeg: number;
  /** World azimuth, as the sun's. */
  azimuthDeg: number;
  /** 0 new, 90 quarter, 180 full. */
  elongationDeg: number;
  /** True where it follows the clock of the place. */
  dated?: true | undefined;
}

/** The part of the conditions that the sky depends on. */
export interface SkyConditions {
  sunAltitudeDeg: number;
  /** In plan, from the world's −Z axis (away from the street) clockwise seen from above, so +X is 90. */
  sunAzimuthDeg: number;
  moon: 'none' | 'quarter' | 'full';
  /** Place and phase of a moon that is not `none`, by ephemeris or chosen; unless given, by `moon` alone (`moonPlaceOf`). */
  moonPlace?: MoonPlace | undefined;
  cloud: 'clear' | 'overcast';
}

/**
 * The sky is a sum of seven fixed functions of direction, so that the solver keeps one response each and the hour is a
 * matter of weights. With y = sin(altitude), azimuth a from −Z toward +X and w = (1 − y)⁴, the horizon band:
 *
 *     1,  y,  w,  w·cos a,  w·sin a,  w·cos 2a,  w·sin 2a
 *
 * These carry a uniform sky, a zenith term, horizon brightening, and any lobe A·(1 + cos Δa)/2 + B·((1 + cos Δa)/2)² round
 * the sun's azimuth. Below the horizon there is no sky: all are 0.
 */
export const SKY_BASIS_COUNT = 7;

/** ∫ b_k · y dω over the upper hemisphere: horizontal illuminance of each function at 1 cd/m², lux. */
export const SKY_BASIS_HORIZONTAL_LX: readonly number[] = [Math.PI, (2 * Math.PI) / 3, Math.PI / 15, 0, 0, 0, 0];

/** Fill `out` with the seven functions along a unit direction. */
export function skyBasis(dx: number, dy: number, dz: number, out: Float64Array): Float64Array {
  if (dy < 0) return out.fill(0);
  const y = Math.min(1, dy);
  const w = (1 - y) ** 4;
  const r = Math.sqrt(dx * dx + dz * dz);
  const c = r > 1e-9 ? -dz / r : 1;
  const s = r > 1e-9 ? dx / r : 0;
  out[0] = 1;
  out[1] = y;
  out[2] = w;
  out[3] = w * c;
  out[4] = w * s;
  out[5] = w * (c * c - s * s);
  out[6] = w * 2 * c * s;
  return out;
}

/** Colours by correlated colour temperature, kelvin (facts: twilight zenith 8,000 to 15,000, from memory; moon 4,150). */
const COLOURS = {
  dome: 13000,
  zenith: 15000,
  horizon: 9500,
  wideLobe: 6500,
  overcast: 8500,
  airglow: 5000,
  town: 3200,
  moon: 4150,
} as const;

/**
 * Shape of the clear twilight sky before it is scaled to its illuminance. Zenith .7, sun-side horizon 7, far horizon 1.7
 * times the mean (from memory: zenith below, sun side 3 to 10 times the mean during civil twilight).
 */
const TWILIGHT = {
  dome: 0.55,
  zenith: 0.1,
  horizon: 1,
  wideLobe: 2,
  narrowLobe: 3,
} as const;

/** Cloud factor for average overcast on twilight and moonlight (USNO Circular 171: 3 average cloud, 10 dark stratus). */
export const OVERCAST_DIVISOR = 3;

/** Horizontal illuminance of the whole sky without the moon, lux. */
export function skyHorizontalLx(conditions: SkyConditions, surroundings: Surroundings): number {
  return twilightLx(conditions) + nightSkyLx(conditions, surroundings);
}

function twilightLx(conditions: SkyConditions): number {
  const clear = sunTwilightLx(conditions.sunAltitudeDeg);
  return conditions.cloud === 'overcast' ? clear / OVERCAST_DIVISOR : clear;
}

/** Night sky of the place: airglow is part of the figure of the surroundings and counted once. */
function nightSkyLx(conditions: SkyConditions, surroundings: Surroundings): number {
  const figures = surroundingsFigures[surroundings];
  const clear = Math.max(AIRGLOW_LX, figures.skyLx);
  return conditions.cloud === 'overcast' ? clear * figures.overcastFactor : clear;
}

/**
 * Weights of the seven functions, RGB cd/m² (3 numbers each): twilight, night sky of the surroundings and, under cloud, the
 * moon. The luminance-weighted sum over `SKY_BASIS_HORIZONTAL_LX` is `skyHorizontalLx` (plus the clouded moon).
 */
export function skyCoefficients(conditions: SkyConditions, surroundings: Surroundings): Float64Array {
  const out = new Float64Array(SKY_BASIS_COUNT * 3);
  const overcast = conditions.cloud === 'overcast';
  const twilight = overcast ? overcastShape(COLOURS.overcast) : twilightShape(conditions);
  addScaled(out, twilight, twilightLx(conditions));
  const night = nightShape(surroundings, overcast);
  addScaled(out, night, nightSkyLx(conditions, surroundings));
  if (overcast && conditions.moon !== 'none') {
    addScaled(out, overcastShape(COLOURS.moon), moonHorizontalLx(conditions) / OVERCAST_DIVISOR);
  }
  return out;
}

type Term = readonly [basis: number, weight: number, colour: Rgb];

function twilightShape(conditions: SkyConditions): Term[] {
  const a = (conditions.sunAzimuthDeg * Math.PI) / 180;
  const wide = cctToLinearRgb(COLOURS.wideLobe);
  const glow = cctToLinearRgb(afterglowCctK(conditions.sunAltitudeDeg));
  const { wideLobe: A, narrowLobe: B } = TWILIGHT;
  return [
    [0, TWILIGHT.dome, cctToLinearRgb(COLOURS.dome)],
    [1, TWILIGHT.zenith, cctToLinearRgb(COLOURS.zenith)],
    [2, TWILIGHT.horizon, cctToLinearRgb(COLOURS.horizon)],
    [2, A / 2, wide],
    [3, (A / 2) * Math.cos(a), wide],
    [4, (A / 2) * Math.sin(a), wide],
    [2, (3 / 8) * B, glow],
    [3, (B / 2) * Math.cos(a), glow],
    [4, (B / 2) * Math.sin(a), glow],
    [5, (B / 8) * Math.cos(2 * a), glow],
    [6, (B / 8) * Math.sin(2 * a), glow],
  ];
}

/** Afterglow reddens as the sun sinks: 4000 K at the horizon, 2400 K from −8° on (by eye, no source). */
const afterglowCctK = (sunAltitudeDeg: number): number => 2400 + 1600 * Math.min(1, Math.max(0, (sunAltitudeDeg + 8) / 8));

/** CIE overcast sky: L ∝ 1 + 2 sin(altitude) (CIE S 011, type 16). */
function overcastShape(cctK: number): Term[] {
  const colour = cctToLinearRgb(cctK);
  return [
    [0, 1, colour],
    [1, 2, colour],
  ];
}

/** Moonless night: nearly even, brighter toward the horizon; warmer the more of it is town light. */
function nightShape(surroundings: Surroundings, overcast: boolean): Term[] {
  const total = Math.max(AIRGLOW_LX, surroundingsFigures[surroundings].skyLx);
  const natural = overcast ? 0 : AIRGLOW_LX / total;
  const sky = cctToLinearRgb(COLOURS.airglow);
  const town = cctToLinearRgb(COLOURS.town);
  const colour: Rgb = [
    sky[0] * natural + town[0] * (1 - natural),
    sky[1] * natural + town[1] * (1 - natural),
    sky[2] * natural + town[2] * (1 - natural),
  ];
  return [
    [0, 1, colour],
    [2, overcast ? 1 : 3, colour],
  ];
}

/** Add a shape, scaled so that its horizontal illuminance is `horizontalLx`. */
function addScaled(out: Float64Array, terms: readonly Term[], horizontalLx: number): void {
  let raw = 0;
  for (const [k, weight] of terms) raw += weight * SKY_BASIS_HORIZONTAL_LX[k]!;
  const scale = raw > 0 ? horizontalLx / raw : 0;
  for (const [k, weight, colour] of terms) {
    for (let c = 0; c < 3; c++) out[k * 3 + c]! += weight * scale * colour[c]!;
  }
}

const basisScratch = new Float64Array(SKY_BASIS_COUNT);

/** Luminance of the sky along a unit direction from its coefficients, RGB cd/m²; black below the horizon. */
export function skyFromCoefficients(coefficients: ArrayLike<number>, dx: number, dy: number, dz: number): Rgb {
  const b = skyBasis(dx, dy, dz, basisScratch);
  let [r, g, bl] = [0, 0, 0];
  for (let k = 0; k < SKY_BASIS_COUNT; k++) {
    r += coefficients[k * 3]! * b[k]!;
    g += coefficients[k * 3 + 1]! * b[k]!;
    bl += coefficients[k * 3 + 2]! * b[k]!;
  }
  return [r, g, bl];
}

/** Luminance of the sky along a unit direction, RGB cd/m². The moon's disc is not part of it. */
export function skyRadianceRgb(
  conditions: SkyConditions,
  surroundings: Surroundings,
  direction: readonly [number, number, number],
): Rgb {
  return skyFromCoefficients(skyCoefficients(conditions, surroundings), direction[0], direction[1], direction[2]);
}

/** GLSL twin of `skyFromCoefficients`: `skyRadiance(dir, coefficients)`. Below the horizon it holds the horizon's value. */
export const skyGlsl = `
#define SKY_BASIS_COUNT ${SKY_BASIS_COUNT}
vec3 skyRadiance(vec3 dir, vec3 sky[SKY_BASIS_COUNT]) {
  float y = clamp(dir.y, 0.0, 1.0);
  float q = (1.0 - y) * (1.0 - y);
  float w = q * q;
  float r = length(dir.xz);
  float c = r > 1e-6 ? -dir.z / r : 1.0;
  float s = r > 1e-6 ? dir.x / r : 0.0;
  return sky[0] + y * sky[1]
    + w * (sky[2] + c * sky[3] + s * sky[4] + (c * c - s * s) * sky[5] + 2.0 * c * s * sky[6]);
}
`;

/** Altitude of a moon of which only the phase is chosen. */
export const MOON_ALTITUDE_DEG = 40;
/** Full moons seldom come nearer to the point opposite the sun. */
const FULL_ELONGATION_DEG = 175;

/** Place and phase of the moon: those given, else full opposite the sun, quarter a right angle from it, 40° high. */
export function moonPlaceOf(conditions: SkyConditions): MoonPlace {
  if (conditions.moonPlace) return conditions.moonPlace;
  const quarter = conditions.moon === 'quarter';
  return {
    altitudeDeg: MOON_ALTITUDE_DEG,
    azimuthDeg: conditions.sunAzimuthDeg + (quarter ? 90 : 180),
    elongationDeg: quarter ? 90 : FULL_ELONGATION_DEG,
  };
}

/** The moon in words for captions: "" where there is none. */
export function moonWords(conditions: SkyConditions): string {
  if (conditions.moon === 'none') return '';
  const place = conditions.moonPlace;
  if (!place?.dated) return `${conditions.moon} moon`;
  if (place.altitudeDeg <= 0) return 'moon below the horizon';
  return `moon ${Math.round(50 * (1 - Math.cos((place.elongationDeg * Math.PI) / 180)))} % lit, ${Math.round(place.altitudeDeg)}° high`;
}

/** Unit vector from the ground to the moon. */
export function moonDirection(conditions: SkyConditions): Rgb {
  const { azimuthDeg, altitudeDeg } = moonPlaceOf(conditions);
  return directionOf(azimuthDeg, altitudeDeg);
}

/** World direction of an azimuth (from −Z toward +X) and altitude, degrees. */
export function directionOf(azimuthDeg: number, altitudeDeg: number): Rgb {
  const [a, h] = [(azimuthDeg * Math.PI) / 180, (altitudeDeg * Math.PI) / 180];
  return [Math.sin(a) * Math.cos(h), Math.sin(h), -Math.cos(a) * Math.cos(h)];
}

/** World azimuth of a compass bearing, where the −Z axis points to `northDeg` (site record), degrees. */
export const worldAzimuthDeg = (bearingDeg: number, northDeg: number): number => (((bearingDeg - northDeg) % 360) + 360) % 360;

function moonHorizontalLx(conditions: SkyConditions): number {
  if (conditions.moon === 'none') return 0;
  const { altitudeDeg, elongationDeg } = moonPlaceOf(conditions);
  return fullMoonLx(altitudeDeg) * moonPhaseShare(elongationDeg);
}

/** Light of the moon as one far source: illuminance normal to its rays, RGB lux; none under cloud (it is then in the sky). */
export function moonNormalRgb(conditions: SkyConditions): Rgb {
  if (conditions.cloud === 'overcast' || conditions.moon === 'none') return [0, 0, 0];
  const { altitudeDeg } = moonPlaceOf(conditions);
  if (altitudeDeg <= 0) return [0, 0, 0];
  const normalLx = moonHorizontalLx(conditions) / Math.sin((Math.max(1, altitudeDeg) * Math.PI) / 180);
  const colour = cctToLinearRgb(COLOURS.moon);
  return [colour[0] * normalLx, colour[1] * normalLx, colour[2] * normalLx];
}
