import { cctToLinearRgb, luminanceOf } from '../../exposure/index.ts';
import { type Beam, beamCandela, compileBeam, type FixtureFrame, fixtureFrame } from '../../lights/index.ts';
import type { FixtureRecord, LampRecord, Vec3 } from '../../scene/index.ts';

/** A luminous opening as the eye meets it: a flat disc at the end of its fixture. */
export interface Opening {
  id: string;
  at: Vec3;
  frame: FixtureFrame;
  radiusM: number;
  beam: Beam;
  /** Linear sRGB of luminance 1. */
  colour: Vec3;
  weight: number;
}

/** Smallest radius an opening is drawn with when its lamp gives none. */
const LEAST_RADIUS_M = 0.004;

export function openingOf(fixture: FixtureRecord, lamp: LampRecord, weight: number): Opening {
  const rgb = cctToLinearRgb(lamp.cctK);
  const Y = luminanceOf(rgb);
  return {
    id: fixture.id,
    at: fixture.at,
    frame: fixtureFrame(fixture),
    radiusM: Math.max(LEAST_RADIUS_M, lamp.lensRadiusM),
    beam: compileBeam(lamp.distribution, fixture.lens, fixture.shield),
    colour: [rgb[0] / Y, rgb[1] / Y, rgb[2] / Y],
    weight,
  };
}

/**
 * Luminance of an opening toward an eye, L = I(ω) / (A·cos θ), weight included; 0 from behind.
 *
 * @returns cd/m².
 */
export function openingLuminance(opening: Opening, eye: Vec3): number {
  const f = opening.frame;
  const d = [eye[0] - opening.at[0], eye[1] - opening.at[1], eye[2] - opening.at[2]] as const;
  const size = Math.hypot(d[0], d[1], d[2]);
  if (size < 1e-6) return 0;
  const along = (k: number): number => (d[0] * f[k]! + d[1] * f[k + 1]! + d[2] * f[k + 2]!) / size;
  const cosTheta = along(0);
  if (cosTheta <= 1e-4) return 0;
  const I = beamCandela(opening.beam, cosTheta, along(3), along(6));
  return (opening.weight * I) / (Math.PI * opening.radiusM ** 2 * cosTheta);
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
