import { z } from 'zod';
import { finite, label, note, recordId, vec3, yesNoUnknown } from './common.ts';

export const viewpointRecord = z.strictObject({
  id: recordId,
  name: label,
  /** Eye, metres. */
  eye: vec3,
  /** A point looked at. */
  lookAt: vec3,
  /** Horizontal field of the picture, full angle. */
  fieldDeg: z.number().min(5).max(140).default(55),
  posture: z.enum(['standing', 'seated', 'lounging', 'child', 'driving', 'inside']).default('standing'),
  weight: z.number().min(0).max(3).default(1),
  /** `look`: a view to please; `dark`: a view that must not be lit (bedroom, neighbour). */
  purpose: z.enum(['look', 'dark']).default('look'),
  /** How far either side of the gaze a person here may look; 0 = only straight. */
  gazeSpreadDeg: z.number().min(0).max(180).default(0),
  /** What must be seen from here (for the veil); else the ground 5 m ahead. */
  mustSee: vec3.optional(),
});
export type ViewpointRecord = z.infer<typeof viewpointRecord>;

export const serviceRecord = z.strictObject({
  id: recordId,
  name: label,
  kind: z.enum(['power', 'gas', 'water', 'drain', 'telecom', 'irrigation', 'other']),
  position: z.enum(['buried', 'overhead']),
  path: z.array(vec3).min(2).max(400),
});
export type ServiceRecord = z.infer<typeof serviceRecord>;

export const powerSiteRecord = z.strictObject({
  id: recordId,
  name: label,
  at: vec3,
  protectedOutlet: yesNoUnknown.default('unknown'),
  inUseCover: yesNoUnknown.default('unknown'),
  switched: yesNoUnknown.default('unknown'),
  wirelessReach: yesNoUnknown.default('unknown'),
});
export type PowerSiteRecord = z.infer<typeof powerSiteRecord>;

export const questionRecord = z.strictObject({
  id: recordId,
  text: note,
  /** Lights that depend on the answer. */
  lightIds: z.array(recordId).default([]),
  answer: note.optional(),
});
export type QuestionRecord = z.infer<typeof questionRecord>;

/** A point with a normal whose illuminance is asked for (textbook cases, meter readings). */
export const receiverRecord = z.strictObject({
  id: recordId,
  name: label.default(''),
  at: vec3,
  normal: vec3,
});
export type ReceiverRecord = z.infer<typeof receiverRecord>;

/** A reason kept in the file: a finding put off, or a limit of the user's own. */
export const reviewChoices = z.strictObject({
  putOff: z.array(z.strictObject({ findingId: z.string().max(400), reason: note })).default([]),
  limits: z
    .array(
      z.strictObject({
        kind: z.string().max(40),
        severity: z.enum(['note', 'warn', 'stop']),
        value: finite,
      }),
    )
    .default([]),
  ageYears: z.number().min(20).max(90).default(35),
});
export type ReviewChoices = z.infer<typeof reviewChoices>;
