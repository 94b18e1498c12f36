import { cctToLinearRgb, luminanceOf } from '../../exposure/index.ts';
import { type Beam, beamCandela, compileBeam, type FixtureFrame, fixtureFrame } from '../../lights/index.ts';
import type { FixtureRecord, LampRecord, Vec3 } from '../../scene/index.ts';

/** What shines, as the eye meets it: a flat disc at the end of its fixture, a globe, or a strip along the frame's right. */
export interface Opening {
  id: string;
  shape: 'disc' | 'globe' | 'line';
  at: Vec3;
  frame: FixtureFrame;
  /** Of the disc or globe; half the width of a strip. */
  radiusM: number;
  /** Of a strip; 0 for the others. */
  lengthM: number;
  beam: Beam;
  /** Linear sRGB of luminance 1. */
  colour: Vec3;
  weight: number;
  /** Of the inside of a hanging light's shade, cd/m²; 0 for all others. */
  shadeCdM2: number;
}

export const BODY_LENGTH_M = 0.11;
/** Of a body that carries a lens of this radius. */
export const bodyRadiusM = (lensRadiusM: number): number => lensRadiusM * 1.2 + 0.004;
/** Reflectance of the white inside of a shade, by eye. */
const SHADE_RHO = 0.6;
const SHADE_STEPS = 90;

/** Smallest radius an opening is drawn with when its lamp gives none. */
const LEAST_RADIUS_M = 0.004;

export function openingOf(fixture: FixtureRecord, lamp: LampRecord, weight: number): Opening {
  const { emitter } = lamp;
  const rgb = cctToLinearRgb(lamp.cctK);
  const Y = luminanceOf(rgb);
  const radiusM = emitter?.kind === 'globe' ? emitter.radiusM : Math.max(LEAST_RADIUS_M, lamp.lensRadiusM);
  return {
    id: fixture.id,
    shape: emitter?.kind ?? 'disc',
    lengthM: emitter?.kind === 'line' ? emitter.lengthM : 0,
    at: fixture.at,
    frame: fixtureFrame(fixture),
    radiusM,
    beam: compileBeam(lamp.distribution, fixture.lens, fixture.shield),
    colour: [rgb[0] / Y, rgb[1] / Y, rgb[2] / Y],
    weight,
    shadeCdM2: weight * shadeLuminance(fixture, lamp, bodyRadiusM(radiusM)),
  };
}

/**
 * Declared display: a shade that hangs over a table is lit inside by what it stops, L = ρ·Φ/(π·A), Φ = 2π ∫ (I_bare − I) sin γ dγ,
 * A = 2πrh, seen in its mouth from below. Read-outs and findings know the light that leaves it alone.
 *
 * @returns cd/m² at full light.
 */
function shadeLuminance(fixture: FixtureRecord, lamp: LampRecord, radiusM: number): number {
  if (fixture.mount !== 'hanging' || fixture.shield.kind !== 'shroud') return 0;
  const bare = compileBeam(lamp.distribution, fixture.lens, { ...fixture.shield, kind: 'none' });
  const shaded = compileBeam(lamp.distribution, fixture.lens, fixture.shield);
  const step = Math.PI / 2 / SHADE_STEPS;
  let stoppedLm = 0;
  for (let k = 0; k < SHADE_STEPS; k++) {
    const gamma = (k + 0.5) * step;
    const [cos, sin] = [Math.cos(gamma), Math.sin(gamma)];
    stoppedLm += 2 * Math.PI * sin * step * (beamCandela(bare, cos, sin, 0) - beamCandela(shaded, cos, sin, 0));
  }
  return (SHADE_RHO * stoppedLm) / (Math.PI * 2 * Math.PI * radiusM * BODY_LENGTH_M);
}

/**
 * Light of an opening as the picture's half floats hold it: cd/m² in linear RGB, brought down as a whole where its strongest
 * channel would pass `most`. Channels cut one by one would turn a warm lamp white.
 */
export function heldRgb(colour: Vec3, luminanceCdM2: number, most: number): Vec3 {
  const strongest = luminanceCdM2 * Math.max(colour[0], colour[1], colour[2]);
  const L = strongest > most ? luminanceCdM2 * (most / strongest) : luminanceCdM2;
  return [colour[0] * L, colour[1] * L, colour[2] * L];
}

/** Candela of an opening toward an eye, weight included, with the direction to that eye and its distance. */
function toward(opening: Opening, eye: Vec3): { I: number; u: Vec3; distanceM: number; cosTheta: number } {
  const f = opening.frame;
  const d = [eye[0] - opening.at[0], eye[1] - opening.at[1], eye[2] - opening.at[2]] as const;
  const distanceM = Math.max(1e-6, Math.hypot(d[0], d[1], d[2]));
  const u: Vec3 = [d[0] / distanceM, d[1] / distanceM, d[2] / distanceM];
  const along = (k: number): number => u[0] * f[k]! + u[1] * f[k + 1]! + u[2] * f[k + 2]!;
  const cosTheta = along(0);
  return { I: opening.weight * beamCandela(opening.beam, cosTheta, along(3), along(6)), u, distanceM, cosTheta };
}

/**
 * Luminance of a disc, L = I(ω) / (A·cos θ), 0 from behind; of a globe, I(ω) / (πR²). Weight included.
 *
 * @returns cd/m².
 */
export function openingLuminance(opening: Opening, eye: Vec3): number {
  const { I, cosTheta } = toward(opening, eye);
  const area = Math.PI * opening.radiusM ** 2;
  if (opening.shape === 'globe') return I / area;
  return cosTheta <= 1e-4 ? 0 : I / (area * cosTheta);
}

/**
 * How a strip is drawn: a rectangle turned about its length to face the eye, as wide as the strip looks from there, at least
 * `leastWidthM`, with the luminance that brings the eye the strip's own light, L = I / (length · width · sin to its length).
 *
 * @returns undefined when the eye looks along it.
 */
export function shownStrip(
  opening: Opening,
  eye: Vec3,
  leastWidthM: number,
): { normal: Vec3; widthM: number; luminanceCdM2: number } | undefined {
  const { I, u } = toward(opening, eye);
  const f = opening.frame;
  const lengthwise = u[0] * f[3]! + u[1] * f[4]! + u[2] * f[5]!;
  const sin = Math.sqrt(Math.max(0, 1 - lengthwise * lengthwise));
  if (sin < 1e-3) return undefined;
  const normal: Vec3 = [(u[0] - lengthwise * f[3]!) / sin, (u[1] - lengthwise * f[4]!) / sin, (u[2] - lengthwise * f[5]!) / sin];
  const facing = Math.max(0, normal[0] * f[0]! + normal[1] * f[1]! + normal[2] * f[2]!);
  const widthM = Math.max(leastWidthM, 2 * opening.radiusM * facing);
  return { normal, widthM, luminanceCdM2: I / (opening.lengthM * widthM * sin) };
}

/**
 * How a disc is drawn when its narrow side, r·cos θ, may fall between pixels: as it is, or as a round spot turned to the
 * eye of at least `leastRadiusM`, dimmed by the ratio of areas so that the light at the eye stays the same. A far lens then
 * neither flickers nor vanishes.
 */
export function shownDisc(
  radiusM: number,
  cosTheta: number,
  leastRadiusM: number,
): { radiusM: number; dimming: number; turned: boolean } {
  if (cosTheta <= 0 || radiusM * cosTheta >= leastRadiusM) return { radiusM, dimming: 1, turned: false };
  const shown = Math.max(leastRadiusM, radiusM * Math.sqrt(cosTheta));
  return { radiusM: shown, dimming: (radiusM * radiusM * cosTheta) / (shown * shown), turned: true };
}
