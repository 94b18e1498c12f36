import type { Vec3 } from '../scene/index.ts';
import type { ReviewContext } from './context.ts';
import { type KindLimits, limitsOf, severityOf } from './limits.ts';
import type { Finding, FindingKind, Severity } from './types.ts';

/** What a kind measured at one subject, reached limit or not. */
export interface Measurement {
  kind: FindingKind;
  subject: string;
  at: Vec3;
  viewpoint?: string;
  value: number;
  /** Where and how much, without the limit: "light 4, 0.20 m from the wall, 286 lx, 8.4 times the mean". */
  sentence: string;
  /** Limits other than the kind's row (second criterion, figures by hour). */
  limits?: KindLimits;
  /** The limit in words, where the number alone says too little. */
  limitWords?: (limit: number) => string;
  assumptions?: string[];
}

/** Which subject or view to measure; a kind may leave out what cannot concern it. */
export interface Focus {
  subject?: string;
  viewpoint?: string;
}

/** False where a focus rules a subject out. */
export const concerns = (focus: Focus | undefined, subject: string): boolean =>
  focus?.subject === undefined || focus.subject === subject;

/** False where a focus rules a view out. */
export const seenFrom = (focus: Focus | undefined, viewId: string): boolean =>
  focus?.viewpoint === undefined || focus.viewpoint === viewId;

export type Measure = (context: ReviewContext, focus?: Focus) => Measurement[];

const RANK: Record<Severity, number> = { stop: 0, warn: 1, note: 2 };
export const severityRank = (severity: Severity): number => RANK[severity];

/** Finding of a measurement, or undefined where it reaches no limit. */
export function judge(measured: Measurement, context: ReviewContext): Finding | undefined {
  const limits = measured.limits ?? limitsOf(measured.kind, context.document);
  const reached = severityOf(measured.value, limits);
  if (!reached) return undefined;
  const id = `${measured.kind} ${measured.subject}`;
  const putOff = context.document.review.putOff.find((one) => one.findingId === id)?.reason;
  const limit = measured.limitWords?.(reached.limit) ?? `limit ${figure(reached.limit)} ${limits.unit}`;
  return {
    id,
    kind: measured.kind,
    label: limits.label,
    severity: putOff === undefined ? reached.severity : 'note',
    subject: measured.subject,
    at: measured.at,
    ...(measured.viewpoint === undefined ? {} : { viewpoint: measured.viewpoint }),
    value: measured.value,
    limit: reached.limit,
    unit: limits.unit,
    message: `${limits.label}: ${measured.sentence}; ${limit.trimEnd()} (${limits.sourceKind}).`,
    why: limits.why,
    basis: limits.sourceKind === 'your own limit' ? `Your own limit, instead of: ${limits.basis}` : limits.basis,
    assumptions: measured.assumptions ?? [],
    ...(putOff === undefined ? {} : { putOff }),
  };
}

/** Two or three significant digits, as people read them. */
export function figure(value: number): string {
  if (!Number.isFinite(value)) return 'no figure';
  const size = Math.abs(value);
  if (size === 0) return '0';
  if (size >= 100) return value.toFixed(0);
  if (size >= 10) return value.toFixed(size >= 20 ? 0 : 1).replace(/\.0$/, '');
  return String(Number(value.toPrecision(size >= 1 ? 2 : 2)));
}

/** "0.60 m". */
export const metres = (m: number): string => `${m.toFixed(2)} m`;
