import { z } from 'zod';
import { finite, label, materialRef, outline, recordId } from './common.ts';

/** One plane of ground: y = heightM + slopeX·x + slopeZ·z inside `outline`. */
export const groundLevel = z.strictObject({
  id: recordId,
  name: label.default(''),
  outline,
  heightM: finite.default(0),
  slopeX: finite.min(-2).max(2).default(0),
  slopeZ: finite.min(-2).max(2).default(0),
  material: materialRef,
});

/** What lies on the ground; later patches lie over earlier ones and take the level they lie on. */
export const groundPatch = z.strictObject({
  id: recordId,
  name: label.default(''),
  use: z.enum(['lawn', 'bed', 'path', 'drive', 'paving', 'gravel', 'road', 'pavement', 'other']),
  outline,
  material: materialRef,
});

export const groundRecord = z.strictObject({
  levels: z.array(groundLevel).max(200).default([]),
  patches: z.array(groundPatch).max(1000).default([]),
});
export type GroundRecord = z.infer<typeof groundRecord>;
export type GroundLevel = z.infer<typeof groundLevel>;
export type GroundPatch = z.infer<typeof groundPatch>;

export const waterRecord = z.strictObject({
  id: recordId,
  name: label,
  kind: z.enum(['pool', 'spa', 'pond', 'fountain']),
  outline,
  levelM: finite.default(0),
});
export type WaterRecord = z.infer<typeof waterRecord>;
