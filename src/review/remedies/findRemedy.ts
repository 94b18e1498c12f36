import { solvePower } from '../../power/index.ts';
import { applySchemeChange } from '../change.ts';
import { createContext, type ReviewContext } from '../context.ts';
import { KINDS, type KindEntry } from '../kinds/index.ts';
import { limitsOf } from '../limits.ts';
import { judge, type Measurement, severityRank } from '../measure.ts';
import { nightSteps, reviewSteps, runToEnd } from '../review.ts';
import type { Finding, Remedy, ReviewInput, SchemeChange } from '../types.ts';
import type { Candidate } from './edits.ts';
import { PROPOSALS } from './propose.ts';

/** At most this many helpful candidates are reviewed in full for what they bring. */
const FULL_REVIEWS = 3;
const NONE_LEFT = 3;

interface Trial {
  candidate: Candidate;
  input: ReviewInput;
  after: number;
  /** Rank of the severity left; `NONE_LEFT` where the finding is gone. */
  left: number;
}

/**
 * Looks for a change that takes a finding away, or at least one severity down. Each candidate is tried on the field or on
 * the cable solve before it is offered; the first that takes the finding away and brings no new warn or stop is taken,
 * else the one that helps most and brings least. The model is left on the judging night with a trial's sources.
 *
 * @param known findings of the scheme as it stands; reviewed afresh when not given.
 * @returns undefined where nothing tried helps.
 */
export function findRemedy(finding: Finding, input: ReviewInput, known?: readonly Finding[]): Remedy | undefined {
  return runToEnd(remedySteps(finding, input, known));
}

/** The same with pauses, so that a newer change can overtake. */
export function* remedySteps(
  finding: Finding,
  input: ReviewInput,
  known?: readonly Finding[],
): Generator<void, Remedy | undefined, void> {
  const entry = KINDS.find((one) => one.kind === finding.kind);
  const propose = PROPOSALS[finding.kind];
  if (!entry || !propose) return undefined;
  const before = warnsOf(known ?? (yield* reviewed(input, KINDS)));
  const context = createContext(input);
  yield* nightSteps(context, entry.night);
  let best: { remedy: Remedy; cost: number } | undefined;
  let reviews = 0;
  for (const candidate of propose(finding, context)) {
    const trial = yield* tryCandidate(finding, entry, input, candidate);
    const left = 10 * (NONE_LEFT - trial.left);
    if (trial.left <= severityRank(finding.severity) || (best && left >= best.cost)) continue;
    const touched = candidate.change.fixtures ? KINDS : KINDS.filter((one) => one.night === 'none');
    const brings = [...warnsOf(yield* reviewed(trial.input, touched))].filter(([id]) => !before.has(id)).map(([, name]) => name);
    const cost = left + brings.length;
    if (!best || cost < best.cost) best = { remedy: toRemedy(finding, input, trial, brings), cost };
    if (best.cost === 0 || ++reviews >= FULL_REVIEWS) break;
  }
  return best?.remedy;
}

/** Review of a scheme; its steps become plain pauses. A change of cables alone cannot touch what is judged by light. */
function* reviewed(input: ReviewInput, kinds: readonly KindEntry[]): Generator<void, Finding[], void> {
  const steps = reviewSteps(input, kinds);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    yield;
  }
}

/** Warns and stops by id, as `kind × subject`. */
const warnsOf = (findings: readonly Finding[]): Map<string, string> =>
  new Map(findings.filter((one) => one.severity !== 'note').map((one) => [one.id, `${one.kind} × ${one.subject}`]));

/** The scheme with a change applied, and its cables solved again. */
export function trialInput(input: ReviewInput, change: SchemeChange): ReviewInput {
  const document = applySchemeChange(input.document, input.schemeId, change);
  return {
    ...input,
    document,
    power: solvePower(document, input.schemeId),
    powerAt175: solvePower(document, input.schemeId, { drawFactor: 1.75 }),
  };
}

function* tryCandidate(
  finding: Finding,
  entry: KindEntry,
  input: ReviewInput,
  candidate: Candidate,
): Generator<void, Trial, void> {
  const trial = trialInput(input, candidate.change);
  const context = createContext(trial);
  yield* nightSteps(context, entry.night);
  const focus = { subject: finding.subject, ...(finding.viewpoint === undefined ? {} : { viewpoint: finding.viewpoint }) };
  const measured = entry.measure(context, focus).filter((one) => isAbout(one, finding, context));
  const ranks = measured.map((one) => judge(one, context)).map((one) => (one ? severityRank(one.severity) : NONE_LEFT));
  const same = measured.find((one) => unitOf(one, context) === finding.unit) ?? measured[0];
  return { candidate, input: trial, after: same?.value ?? valueWhenGone(finding, context), left: Math.min(NONE_LEFT, ...ranks) };
}

/** A gap may break into others of the same view where the wash stands: all that overlap count as this one. */
function isAbout(measured: Measurement, finding: Finding, context: ReviewContext): boolean {
  if (finding.kind !== 'darkGap') return measured.subject === finding.subject;
  const view = context.document.viewpoints.find((one) => one.id === finding.viewpoint);
  if (!view || measured.viewpoint !== view.id) return false;
  const angle = (at: readonly [number, number, number]) => Math.atan2(at[0] - view.eye[0], view.eye[2] - at[2]);
  return Math.abs(angle(measured.at) - angle(finding.at)) * (180 / Math.PI) < finding.value;
}

const unitOf = (measured: Measurement, context: ReviewContext): string =>
  (measured.limits ?? limitsOf(measured.kind, context.document)).unit;

/** What is shown where the trial has nothing left to measure: a closed gap, the watts a run can now feed. */
function valueWhenGone(finding: Finding, context: ReviewContext): number {
  if (finding.kind !== 'mayNotStart') return 0;
  return context.power.runs.find((one) => one.id === finding.subject)?.mostWatts ?? 0;
}

function toRemedy(finding: Finding, input: ReviewInput, trial: Trial, brings: string[]): Remedy {
  const run = input.power.runs.find((one) => one.id === finding.subject);
  const byWatts = finding.kind === 'mayNotStart' && finding.unit === 'W' && run !== undefined;
  return {
    text: trial.candidate.text,
    change: trial.candidate.change,
    before: byWatts ? run.mostWatts : finding.value,
    after: trial.after,
    unit: byWatts ? 'W it can feed' : finding.unit,
    brings,
  };
}
