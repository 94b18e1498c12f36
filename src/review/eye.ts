import { veilingLuminance } from '../exposure/index.ts';
import type { LightModel } from '../lights/index.ts';
import type { Vec3 } from '../scene/index.ts';

export interface EyeReport {
  eyeIlluminanceLx: number;
  veilingLuminanceCdM2: number;
  byFixture: {
    id: string;
    eyeIlluminanceLx: number;
    angleFromGazeDeg: number;
    veilingLuminanceCdM2: number;
    transmittance: number;
  }[];
}

/**
 * Glare at one eye, per light, with the sources set on the model.
 *
 *     E = I·T / d²  normal to the ray,   Lv = Σ E · general equation of CIE 146:2002, p = 0.5
 *
 * @param look direction of the gaze, any length but zero.
 * @param ageYears 35 unless said.
 * @param only ids of the lights to count; all that are set on the model unless given.
 * @throws {RangeError} a zero gaze.
 */
export function eyeReport(model: LightModel, at: Vec3, look: Vec3, ageYears = 35, only?: readonly string[]): EyeReport {
  if (Math.hypot(...look) === 0) throw new RangeError('look 0,0,0: a direction is wanted');
  const lights = model.eyeLight(at, look).filter((one) => only === undefined || only.includes(one.id));
  const byFixture = lights.map((one) => ({
    id: one.id,
    eyeIlluminanceLx: one.eyeIlluminanceLx,
    angleFromGazeDeg: one.angleFromGazeDeg,
    veilingLuminanceCdM2: veilingLuminance(one.eyeIlluminanceLx, one.angleFromGazeDeg, ageYears),
    transmittance: one.transmittance,
  }));
  return {
    eyeIlluminanceLx: byFixture.reduce((sum, one) => sum + one.eyeIlluminanceLx, 0),
    veilingLuminanceCdM2: byFixture.reduce((sum, one) => sum + one.veilingLuminanceCdM2, 0),
    byFixture,
  };
}
