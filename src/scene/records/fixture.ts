import { z } from 'zod';
import { finite, label, note, recordId, vec3 } from './common.ts';

export const mount = z.enum([
  'stake',
  'riser',
  'wall',
  'gutter',
  'tree',
  'post',
  'pot',
  'step',
  'inGrade',
  'soffit',
  'cap',
  'hanging',
  'free',
]);
export type Mount = z.infer<typeof mount>;

/** A light as it stands: place, aim, mount, lamp, lens, shield. Called "light" on screen. */
export const fixtureRecord = z.strictObject({
  id: recordId,
  name: label.default(''),
  /** Centre of the luminous opening. */
  at: vec3,
  /** A point on the beam's axis, not the place itself. */
  aim: vec3,
  rollDeg: finite.default(0),
  mount: mount.default('stake'),
  lampId: recordId,
  lens: z
    .strictObject({
      kind: z.enum(['clear', 'frosted', 'linearSpread']),
      rollDeg: finite.default(0),
    })
    .default({ kind: 'clear', rollDeg: 0 }),
  shield: z
    .strictObject({
      kind: z.enum(['none', 'shroud', 'louvre', 'halfShield']),
      cutOffDeg: z.number().min(15).max(60).default(45),
      rollDeg: finite.default(0),
    })
    .default({ kind: 'none', cutOffDeg: 45, rollDeg: 0 }),
  leadLengthM: z.number().min(0).max(50).default(3),
  ingressRating: z
    .string()
    .regex(/^IP[0-6X][0-9X]K?$/, 'an ingress rating like IP65')
    .optional(),
  /** The bay, plant or thing this light is for: a face id, plant id or part id. */
  targetId: z.string().max(200).optional(),
  wantedLx: z.number().min(0).max(10000).default(20),
  dim: z.number().min(0).max(1).default(1),
  on: z.boolean().default(true),
  zoneId: recordId.optional(),
  /** Light left by dirt, 0…1; when absent it follows the mount: staked .80, in-grade .60, sheltered .90. */
  dirtFactor: z.number().min(0).max(1).optional(),
  locks: z
    .strictObject({
      place: z.boolean().default(false),
      aim: z.boolean().default(false),
      lamp: z.boolean().default(false),
    })
    .default({ place: false, aim: false, lamp: false }),
  reason: note.default(''),
  rank: z.int().min(1).max(3).default(2),
});
export type FixtureRecord = z.infer<typeof fixtureRecord>;
