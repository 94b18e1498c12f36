import type { DistributionRecord, LampRecord } from '../../scene/index.ts';
import { distributionFluxLm } from '../distribution.ts';

export type ShapeKind = NonNullable<LampRecord['emitter']>['kind'];

/** Name that marks the table of an even globe, so that its output can still be typed. */
const EVEN = 'even all round';
/** Sizes a shape starts with: a pendant's globe, a metre of strip; common practice, no source. */
const STARTS = { globeRadiusM: 0.1, lineLengthM: 1, lineHalfWidthM: 0.005 };

/** The same candela in every direction: I = Φ/4π. */
export function evenDistribution(fluxLm: number): DistributionRecord {
  const I = fluxLm / (4 * Math.PI);
  return { kind: 'table', gammaDeg: [0, 180], cDeg: [0], candela: [[I, I]], sourceName: EVEN };
}

export const isEven = (distribution: DistributionRecord): boolean =>
  distribution.kind === 'table' && distribution.sourceName === EVEN;

/**
 * A lamp with another shape and the same lumens. A globe becomes even all round unless a file says how it shines; a strip
 * becomes Lambertian about its axis (full beam angle 120°, no spill), as strips without a lens are.
 */
export function withShape(lamp: LampRecord, kind: ShapeKind): LampRecord {
  const { emitter: _, ...plain } = lamp;
  const { distribution } = lamp;
  const fromFile = distribution.kind === 'table' && !isEven(distribution);
  const fluxLm = distributionFluxLm(distribution);
  const lambertian: DistributionRecord = { kind: 'model', fluxLm, beamAngleFullDeg: 120, spillShare: 0 };
  if (kind === 'globe') {
    const emitter = { kind, radiusM: STARTS.globeRadiusM };
    return { ...plain, emitter, distribution: fromFile ? distribution : evenDistribution(fluxLm) };
  }
  const own = isEven(distribution) ? lambertian : distribution;
  if (kind === 'disc') return { ...plain, distribution: own };
  return {
    ...plain,
    emitter: { kind, lengthM: STARTS.lineLengthM },
    lensRadiusM: STARTS.lineHalfWidthM,
    distribution: fromFile ? distribution : lambertian,
  };
}
