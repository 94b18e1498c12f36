import { z } from 'zod';
import { label, recordId } from './common.ts';

/**
 * Round beam by its catalogue numbers: I(θ) = (1−s)·Φ(n+1)/2π·cosⁿθ + s·(Φ/π)·cosθ, n = ln ½ / ln cos(B/2).
 * `beamAngleFullDeg` is the full angle B to half the centre intensity.
 */
export const modelDistribution = z.strictObject({
  kind: z.literal('model'),
  fluxLm: z.number().min(0).max(100000),
  beamAngleFullDeg: z.number().min(1).max(175),
  spillShare: z.number().min(0).max(1),
});

/**
 * Measured table, absolute candela. γ from the lamp axis (0 = along the beam), C round it; `candela[c][g]`.
 * One C plane = axial symmetry. Readers of photometric files fill this; nothing is normalised.
 */
export const tableDistribution = z.strictObject({
  kind: z.literal('table'),
  gammaDeg: z.array(z.number().min(0).max(180)).min(2).max(721),
  cDeg: z.array(z.number().min(0).max(360)).min(1).max(721),
  candela: z.array(z.array(z.number().min(0))).min(1),
  declaredFluxLm: z.number().min(0).optional(),
  sourceName: label.default(''),
});

export const distribution = z.discriminatedUnion('kind', [modelDistribution, tableDistribution]);

export const lampRecord = z.strictObject({
  id: recordId,
  name: label,
  distribution,
  cctK: z.number().min(1000).max(20000),
  colourRendering: z.number().min(0).max(100).default(80),
  powerW: z.number().min(0).max(2000),
  powerFactor: z.number().min(0.1).max(1),
  /** `constantPower`: LED driver; `resistive`: halogen, light ∝ V^3.4. */
  electrical: z.enum(['constantPower', 'resistive']).default('constantPower'),
  /** Lowest volts at which a running lamp holds. */
  lowestV: z.number().min(0).max(60),
  /** Volts it needs to start. */
  startV: z.number().min(0).max(60),
  highestV: z.number().min(0).max(60),
  /** Radius of the luminous opening. */
  lensRadiusM: z.number().min(0).max(1).default(0.02),
});
export type LampRecord = z.infer<typeof lampRecord>;
export type DistributionRecord = z.infer<typeof distribution>;

export const catalogueRecord = z.strictObject({
  lamps: z.array(lampRecord).max(1000).default([]),
});
