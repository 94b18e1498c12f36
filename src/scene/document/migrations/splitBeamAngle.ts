import { isRecord } from '../errors.ts';
import type { Migration } from '../versions.ts';

/**
 * Version 1 kept a lamp's light flat: `fluxLm` and `beamDeg`, which was the full angle, and no spill and no power factor.
 * Version 2 keeps it as a distribution, so that a measured table can stand in its place.
 */
export const splitBeamAngle: Migration = {
  to: 2,
  name: 'SplitBeamAngle',
  migrate(file) {
    const catalogue = file.catalogue;
    if (!isRecord(catalogue) || !Array.isArray(catalogue.lamps)) return file;
    return { ...file, catalogue: { ...catalogue, lamps: catalogue.lamps.map(liftLamp) } };
  },
};

function liftLamp(lamp: unknown): unknown {
  if (!isRecord(lamp) || 'distribution' in lamp) return lamp;
  const { fluxLm, beamDeg, powerFactor, ...rest } = lamp;
  return {
    ...rest,
    powerFactor: powerFactor ?? 0.7,
    distribution: { kind: 'model', fluxLm, beamAngleFullDeg: beamDeg, spillShare: 0.1 },
  };
}
