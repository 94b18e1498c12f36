import { z } from 'zod';
import { finite, known, label, positiveM, recordId, vec2, vec3 } from './common.ts';

export const habit = z.enum([
  'columnar',
  'round',
  'spreading',
  'weeping',
  'conical',
  'multiStem',
  'palm',
  'clippedBall',
  'hedge',
  'shrub',
  'grass',
  'climber',
]);

/** Leaves by size and shape, where the habit's own are not meant. */
export const leafKind = z.enum(['broad', 'small', 'narrow', 'needle']);
export const foliageColour = z.enum(['green', 'deepGreen', 'greyGreen', 'copper', 'golden']);
export const autumnColour = z.enum(['yellow', 'orange', 'red', 'russet']);

/** A tree or shrub as limbs and leaf clumps, grown from these numbers and `seed` alone. */
export const plantPart = z.strictObject({
  kind: z.literal('plant'),
  id: recordId,
  name: label,
  habit,
  /** Foot in plan, metres. */
  at: vec2,
  baseM: finite.default(0),
  heightM: positiveM.max(45),
  spreadM: positiveM.max(40),
  /** Hedge only: length along its bearing; `spreadM` is its thickness. */
  lengthM: positiveM.max(200).optional(),
  bearingDeg: finite.default(0),
  crownBaseM: z.number().min(0).max(30),
  trunkDiameterM: positiveM.max(3),
  density: z.enum(['thin', 'medium', 'dense']).default('medium'),
  bark: z.enum(['brown', 'pale', 'grey']).default('brown'),
  leanDeg: z.number().min(0).max(45).default(0),
  leanBearingDeg: finite.default(0),
  growth: z.enum(['slow', 'medium', 'fast']).default('medium'),
  evergreen: z.boolean().default(false),
  /** Absent: leaves as usual for the habit. */
  leaf: leafKind.optional(),
  /** Absent: green, conifers deep green. */
  foliage: foliageColour.optional(),
  /** Absent: one by the seed. Plants that lose their leaves only. */
  autumn: autumnColour.optional(),
  gapToWallM: z.number().min(0).max(20).optional(),
  seed: z.int().min(0).max(2147483647).default(1),
  known: known.optional(),
});

/** Textbook crown: a homogeneous ellipsoid of leaves, transmittance exp(−G·Ω·LAD·path), G = 0.5. */
export const ellipsoidCrown = z.strictObject({
  kind: z.literal('ellipsoidCrown'),
  id: recordId,
  name: label.default(''),
  centre: vec3,
  radiiM: z.tuple([positiveM, positiveM, positiveM]),
  leafAreaDensityM2M3: positiveM.max(50),
  clumping: z.number().positive().max(1).default(1),
});

export const plantingRecord = z.discriminatedUnion('kind', [plantPart, ellipsoidCrown]);
export type PlantingRecord = z.infer<typeof plantingRecord>;
export type PlantRecord = z.infer<typeof plantPart>;
export type EllipsoidCrownRecord = z.infer<typeof ellipsoidCrown>;
export type Habit = z.infer<typeof habit>;
