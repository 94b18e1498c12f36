import { z } from 'zod';
import { finite, label, note, recordId, vec3 } from './common.ts';

export const gauge = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('awg'),
    awg: z.union([z.literal(18), z.literal(16), z.literal(14), z.literal(12), z.literal(10), z.literal(8)]),
  }),
  z.strictObject({
    kind: z.literal('mm2'),
    areaMm2: z.union([z.literal(1), z.literal(1.5), z.literal(2.5), z.literal(4), z.literal(6)]),
  }),
  /** Textbook: state the resistance per conductor outright. */
  z.strictObject({
    kind: z.literal('ohmPerM'),
    ohmPerM: z.number().positive().max(10),
  }),
]);
export type Gauge = z.infer<typeof gauge>;

/**
 * One length of two-conductor cable. `fromId` names the leg it starts at (absent: the transformer); a leg may end at a
 * light, or at a bare joint (tee, hub). Length is one way, without slack.
 */
export const legRecord = z.strictObject({
  id: recordId,
  fromId: recordId.optional(),
  lengthM: z.number().positive().max(2000),
  lengthGuessed: z.boolean().default(false),
  fixtureId: recordId.optional(),
  /** Bends on plan, world metres, for drawing only. */
  path: z.array(vec3).max(200).optional(),
  ductId: recordId.optional(),
});
export type LegRecord = z.infer<typeof legRecord>;

export const runRecord = z.strictObject({
  id: recordId,
  name: label,
  transformerId: recordId,
  tapV: z.number().min(1).max(30),
  gauge,
  topology: z.enum(['daisy', 'tee', 'hub']).default('daisy'),
  slackShare: z.number().min(0).max(1).default(0.15),
  /** Breaker or fuse of this run; absent = none recorded. */
  protectionA: z.number().positive().max(100).optional(),
  legs: z.array(legRecord).max(1000),
});
export type RunRecord = z.infer<typeof runRecord>;

export const transformerRecord = z.strictObject({
  id: recordId,
  name: label,
  powerSiteId: recordId.optional(),
  at: vec3,
  capacityVa: z.number().positive().max(5000),
  notes: note.default(''),
});
export type TransformerRecord = z.infer<typeof transformerRecord>;

export const zoneRecord = z.strictObject({
  id: recordId,
  name: label,
  /** Minutes after sunset the zone comes on. */
  onAfterSunsetMin: finite.min(-120).max(600).default(0),
  /** Local time it goes off, `HH:MM`; absent = stays on. */
  offAt: z
    .string()
    .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'a time like 23:00')
    .optional(),
});
export type ZoneRecord = z.infer<typeof zoneRecord>;
