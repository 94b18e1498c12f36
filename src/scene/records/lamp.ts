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

/**
 * Shape of what shines; absent means `disc`, of `lensRadiusM`, square to the axis.
 *
 * - `globe`: a sphere, bright alike all over, round the light's place; its distribution is usually a table to 180°.
 * - `line`: a strip of `lengthM` through the light's place along its own right (turned by `rollDeg`), `2·lensRadiusM` wide;
 *   the distribution holds for each piece of it about the axis.
 */
export const emitterShape = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('disc') }),
  z.strictObject({ kind: z.literal('globe'), radiusM: z.number().min(0.005).max(1) }),
  z.strictObject({ kind: z.literal('line'), lengthM: z.number().min(0.05).max(20) }),
]);
export type EmitterShape = z.infer<typeof emitterShape>;

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
  emitter: emitterShape.optional(),
  /**
   * Light ∝ (V / ratedV)^exponent. Absent: halogen (`resistive`) follows with 12 V and 3.4, drivers (`constantPower`) hold
   * their light.
   */
  outputFollowsVolts: z.strictObject({ ratedV: z.number().min(1).max(60), exponent: z.number().min(0).max(6) }).optional(),
});
export type LampRecord = z.infer<typeof lampRecord>;
export type DistributionRecord = z.infer<typeof distribution>;

export const catalogueRecord = z.strictObject({
  lamps: z.array(lampRecord).max(1000).default([]),
});
