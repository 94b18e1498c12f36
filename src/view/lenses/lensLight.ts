import { cctToLinearRgb, luminanceOf } from '../../exposure/index.ts';
import { type Beam, beamCandela, compileBeam, type FixtureFrame, fixtureFrame, shieldShare } from '../../lights/index.ts';
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
  /** What leaves the fixture. */
  beam: Beam;
  /** The same before its shield: what the lens sends into the tube. */
  bare: Beam;
  shield: FixtureRecord['shield'];
  /** How far a shroud or half shield is seen to reach before the lens; 0 for all others. */
  tubeM: number;
  /** Linear sRGB of luminance 1. */
  colour: Vec3;
  weight: number;
  /** Of the inside of a shroud, shade or louvre, the mean over it, weight included, cd/m²; 0 for all others. */
  shadeCdM2: number;
}

export const BODY_LENGTH_M = 0.11;
/** Of a body that carries a lens of this radius. */
export const bodyRadiusM = (lensRadiusM: number): number => lensRadiusM * 1.2 + 0.004;
/** Reflectance of the white inside of a shade that hangs, by eye, and of the matt black of shrouds and louvres, from memory. */
const SHADE_RHO = 0.6;
const SHROUD_RHO = 0.04;
/** How far a lens stands out of its rim: what is left to see of it from the side. By eye. */
const EDGE_M = 0.001;

/** Smallest radius an opening is drawn with when its lamp gives none. */
const LEAST_RADIUS_M = 0.004;

export function openingOf(fixture: FixtureRecord, lamp: LampRecord, weight: number): Opening {
  const { emitter } = lamp;
  const { shield } = fixture;
  const rgb = cctToLinearRgb(lamp.cctK);
  const Y = luminanceOf(rgb);
  const radiusM = emitter?.kind === 'globe' ? emitter.radiusM : Math.max(LEAST_RADIUS_M, lamp.lensRadiusM);
  const shape = emitter?.kind ?? 'disc';
  const beam = compileBeam(lamp.distribution, fixture.lens, shield);
  const shielded = shape === 'disc' && shield.kind !== 'none';
  const bare = shielded ? compileBeam(lamp.distribution, fixture.lens, { ...shield, kind: 'none' }) : beam;
  return {
    id: fixture.id,
    shape,
    lengthM: emitter?.kind === 'line' ? emitter.lengthM : 0,
    at: fixture.at,
    frame: fixtureFrame(fixture),
    radiusM,
    beam,
    bare,
    shield,
    // What is set in the ground has its shield below: its mouth shows what a far one shows.
    tubeM: shielded && shield.kind !== 'louvre' && fixture.mount !== 'inGrade' ? tubeLengthM(radiusM, shield) : 0,
    colour: [rgb[0] / Y, rgb[1] / Y, rgb[2] / Y],
    weight,
    shadeCdM2: shielded ? weight * shadeLuminance(fixture, radiusM, bare.fluxLm - beam.fluxLm) : 0,
  };
}

/** A tube as wide as its lens hides it from the cut-off angle on: ℓ = 2r / tan(cut-off), as `shieldShare` has it. */
export function tubeLengthM(radiusM: number, shield: FixtureRecord['shield']): number {
  return (2 * radiusM) / Math.tan((shield.cutOffDeg * Math.PI) / 180);
}

/**
 * Declared display: shades, shrouds and louvres are lit inside by what they stop, L = ρ·Φ/(π·A), Φ = what the lens sends less what
 * leaves, A = 2πrℓ of a tube, half of it for a half shield; the cells of a louvre have the walls of one tube of its cut-off
 * together. Read-outs and findings know the light that leaves alone.
 *
 * @returns cd/m².
 */
function shadeLuminance({ mount, shield }: FixtureRecord, radiusM: number, stoppedLm: number): number {
  const rho = mount === 'hanging' && shield.kind === 'shroud' ? SHADE_RHO : SHROUD_RHO;
  const areaM2 = 2 * Math.PI * radiusM * tubeLengthM(radiusM, shield) * (shield.kind === 'halfShield' ? 0.5 : 1);
  return (rho * Math.max(0, stoppedLm)) / (Math.PI * areaM2);
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

interface Toward {
  /** Candela, weight included. */
  I: number;
  /** To the eye, unit, world axes. */
  u: Vec3;
  distanceM: number;
  cosTheta: number;
  right: number;
  up: number;
}

function toward({ beam, frame: f, at, weight }: Pick<Opening, 'beam' | 'frame' | 'at' | 'weight'>, eye: Vec3): Toward {
  const d = [eye[0] - at[0], eye[1] - at[1], eye[2] - at[2]] as const;
  const distanceM = Math.max(1e-6, Math.hypot(d[0], d[1], d[2]));
  const u: Vec3 = [d[0] / distanceM, d[1] / distanceM, d[2] / distanceM];
  const along = (k: number): number => u[0] * f[k]! + u[1] * f[k + 1]! + u[2] * f[k + 2]!;
  const [cosTheta, right, up] = [along(0), along(3), along(6)];
  return { I: weight * beamCandela(beam, cosTheta, right, up), u, distanceM, cosTheta, right, up };
}

/** Cosine that a disc is seen under, at least its edge's share: 2r·h of edge over πr² of face. */
export const seenCos = (radiusM: number, cosTheta: number): number => Math.max(cosTheta, (2 * EDGE_M) / (Math.PI * radiusM));

/**
 * Luminance of what leaves an opening: of a disc, L = I(ω) / (A·cos θ), 0 from behind and never beyond what its edge would
 * show from the side; of a globe, I(ω) / (πR²). Weight included.
 *
 * @returns cd/m².
 */
export function openingLuminance(
  opening: Pick<Opening, 'beam' | 'frame' | 'at' | 'weight' | 'radiusM' | 'shape'>,
  eye: Vec3,
): number {
  const { I, cosTheta } = toward(opening, eye);
  const area = Math.PI * opening.radiusM ** 2;
  if (opening.shape === 'globe') return I / area;
  return cosTheta <= 0 ? 0 : I / (area * seenCos(opening.radiusM, cosTheta));
}

/** Luminance of a lens that stands in a drawn tube, which hides of it what it hides. */
export const lensInTubeLuminance = (opening: Opening, eye: Vec3): number =>
  openingLuminance({ ...opening, beam: opening.bare }, eye);

/**
 * Mean luminance of what an eye sees of the lit inside in the mouth of a tube or louvre: past the lens it sees walls, from beyond
 * the cut-off only their outer part, min(1, tan(cut-off) / tan θ) deep. Light falls off evenly to nothing at the mouth, so the
 * walls seen have 8/(3π) of that share of their mean. The far inside of a half tube is left out.
 */
export function insideLuminance(opening: Opening, eye: Vec3): number {
  const { shield, shadeCdM2 } = opening;
  if (shadeCdM2 === 0 || shield.kind === 'halfShield') return 0;
  const { cosTheta } = toward(opening, eye);
  if (cosTheta <= 0) return 0;
  const gamma = Math.acos(Math.min(1, cosTheta));
  const deep = Math.min(1, Math.tan((shield.cutOffDeg * Math.PI) / 180) / Math.max(1e-6, Math.tan(gamma)));
  return shadeCdM2 * (8 / (3 * Math.PI)) * deep * (1 - shieldShare({ ...shield, kind: 'shroud' }, gamma, 0));
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
 * How a disc is drawn: as it is, or, where its narrow side r·cos θ may fall between pixels, as an ellipse turned to the eye whose
 * half axes are at least `leastM`, dimmed by the ratio of areas so that the light at the eye stays the same. A far or edge-on lens
 * then neither flickers nor vanishes, and stays as flat as it looks.
 */
export function shownDisc(
  radiusM: number,
  cosTheta: number,
  leastM: number,
): { wideM: number; narrowM: number; dimming: number; turned: boolean } {
  const narrow = radiusM * cosTheta;
  if (cosTheta <= 0 || narrow >= leastM) return { wideM: radiusM, narrowM: radiusM, dimming: 1, turned: false };
  const [wideM, narrowM] = [Math.max(leastM, radiusM), leastM];
  return { wideM, narrowM, dimming: (radiusM * narrow) / (wideM * narrowM), turned: true };
}
