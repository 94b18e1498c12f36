import { beamCandela, compileBeam } from '../../../lights/index.ts';
import type { FixtureRecord, LampRecord } from '../../../scene/index.ts';

/** Intensity on the beam's axis through the light's lens and shield, candela. */
export function axisCandela(lamp: LampRecord, fixture: Pick<FixtureRecord, 'lens' | 'shield'>): number {
  return beamCandela(compileBeam(lamp.distribution, fixture.lens, fixture.shield), 1, 1, 0);
}
