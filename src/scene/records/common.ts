import { z } from 'zod';

/**
 * Shared pieces of every record. World axes: metres, right-handed, +Y up, +X along the front from left to right
 * seen from the street, +Z toward the street. Plan points are `[x, z]`.
 */
export const finite = z.number();
export const positiveM = z.number().positive();
export const vec2 = z.tuple([finite, finite]);
export const vec3 = z.tuple([finite, finite, finite]);
export type Vec2 = z.infer<typeof vec2>;
export type Vec3 = z.infer<typeof vec3>;

/** Ids are stable, short and safe in file names, attributes and CSV cells. */
export const recordId = z
  .string()
  .regex(/^[A-Za-z0-9][A-Za-z0-9_.-]{0,63}$/, 'an id of 1 to 64 letters, digits, dots, dashes or underscores');
/** Free text shown to people; always rendered as text, never as markup. */
export const label = z.string().max(200);
export const note = z.string().max(4000);

/** At least three plan points; crossing outlines are refused by the validator. */
export const outline = z.array(vec2).min(3).max(400);

/** A library material by id, or a bare diffuse reflectance for textbook cases. */
export const materialRef = z.union([z.string().min(1).max(64), z.strictObject({ reflectance: z.number().min(0).max(1) })]);
export type MaterialRef = z.infer<typeof materialRef>;

/** How a dimension is known: `measured`, `photo` (± share) or `guessed`. Keyed by field name, e.g. `heightM`. */
export const known = z.record(
  z.string(),
  z.strictObject({
    how: z.enum(['measured', 'photo', 'guessed']),
    plusMinusShare: z.number().min(0).max(1).optional(),
    asTyped: z.string().max(40).optional(),
  }),
);

export const yesNoUnknown = z.enum(['yes', 'no', 'unknown']);
