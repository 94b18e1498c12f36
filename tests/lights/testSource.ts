import type { Conditions, Source } from '../../src/lights/index.ts';
import { type DistributionRecord, fixtureRecord, type LampRecord, lampRecord, type Vec3 } from '../../src/scene/index.ts';

/** No sky to speak of, no moon: the sun far below the horizon. */
export const NIGHT: Conditions = { sunAltitudeDeg: -30, sunAzimuthDeg: 0, moon: 'none', cloud: 'clear', leaves: 'on' };

export interface SourceOptions {
  id?: string;
  fluxLm?: number;
  beamAngleFullDeg?: number;
  spillShare?: number;
  distribution?: DistributionRecord;
  lensRadiusM?: number;
  emitter?: LampRecord['emitter'];
  cctK?: number;
  weight?: number;
  rollDeg?: number;
  targetId?: string;
}

/** A source at a place with an aim; textbook lamp unless told otherwise. */
export function testSource(at: Vec3, aim: Vec3, options: SourceOptions = {}): Source {
  const id = options.id ?? 'a';
  const lamp = lampRecord.parse({
    id: `lamp-${id}`,
    name: 'test lamp',
    distribution: options.distribution ?? {
      kind: 'model',
      fluxLm: options.fluxLm ?? 400,
      beamAngleFullDeg: options.beamAngleFullDeg ?? 60,
      spillShare: options.spillShare ?? 0,
    },
    cctK: options.cctK ?? 2700,
    powerW: 5,
    powerFactor: 1,
    lowestV: 9,
    startV: 9,
    highestV: 15,
    lensRadiusM: options.lensRadiusM ?? 0,
    ...(options.emitter ? { emitter: options.emitter } : {}),
  });
  const fixture = fixtureRecord.parse({
    id,
    at,
    aim,
    lampId: lamp.id,
    rollDeg: options.rollDeg ?? 0,
    ...(options.targetId ? { targetId: options.targetId } : {}),
  });
  return { id, fixture, lamp, weight: options.weight ?? 1, existing: false };
}

/** The same candela in every direction. */
export function isotropic(candela: number): DistributionRecord {
  return { kind: 'table', gammaDeg: [0, 180], cDeg: [0], candela: [[candela, candela]], sourceName: 'isotropic' };
}
