import { z } from 'zod';
import { finite, label, note, outline, recordId, vec3 } from './common.ts';

/** Wards of natural and town glow; horizontal lux and CIE 150 zone of each stand in `src/exposure`. */
export const surroundings = z.enum(['darkRural', 'village', 'suburb', 'brightSuburb', 'town']);

export const season = z.enum(['spring', 'summer', 'autumn', 'winter']);
export type Season = z.infer<typeof season>;

export const neighbourWindow = z.strictObject({
  id: recordId,
  name: label,
  /** Centre of the pane, metres. */
  at: vec3,
  /** Outward normal of the pane (toward the lot), any length but zero. */
  normal: vec3,
  widthM: z.number().positive().max(20),
  heightM: z.number().positive().max(20),
});

export const siteRecord = z.strictObject({
  region: z.enum(['US', 'CA', 'IEC', 'unknown']).default('unknown'),
  surroundings: surroundings.default('suburb'),
  latitudeDeg: z.number().min(-90).max(90).optional(),
  longitudeDeg: z.number().min(-180).max(180).optional(),
  /** ISO date of the picture, `YYYY-MM-DD`. */
  date: z
    .string()
    .regex(/^\d{4}-\d{2}-\d{2}$/, 'a date like 2026-10-15')
    .optional(),
  /** Local clock minus UTC on that date, hours, summer time included; unless given, the zone of the longitude. */
  utcOffsetHours: z.number().min(-12).max(14).optional(),
  /** Leaves of the picture; absent: summer. */
  season: season.optional(),
  /** Compass bearing of the world's −Z axis (away from the street), degrees clockwise from north. */
  northDeg: z.number().min(0).max(360).default(0),
  boundary: outline.optional(),
  noLightZones: z.array(z.strictObject({ id: recordId, name: label, outline })).default([]),
  neighbourWindows: z.array(neighbourWindow).default([]),
  /** Local time after which the lower obtrusive-light figures hold, `HH:MM`. */
  curfew: z
    .string()
    .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'a time like 23:00')
    .default('23:00'),
  /** Exposure of every picture of this property, EV at ISO 100. */
  ev100: finite.min(-6).max(16).default(3),
  /** Geometric altitude of the evening sun's centre at which pictures of this property open, degrees; absent: −6. */
  sunAltitudeDeg: z.number().min(-18).max(2).optional(),
  /** True for demo properties: every size and name is invented. */
  invented: z.boolean().default(false),
  notes: note.default(''),
});
export type SiteRecord = z.infer<typeof siteRecord>;
export type NeighbourWindow = z.infer<typeof neighbourWindow>;
