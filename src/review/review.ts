import { createContext, judgingSteps, type ReviewContext } from './context.ts';
import { type KindEntry, KINDS, type Night } from './kinds/index.ts';
import { judge, type Measurement, severityRank } from './measure.ts';
import type { Finding, ReviewInput } from './types.ts';
import { viewsToPlease } from './viewRays.ts';

/**
 * Reviews one scheme: every kind of findings, worst first, then by the weight of the view.
 *
 * Uses the model for the judging night (sun −12°, no moon) twice, with clean and with dirty lenses, and leaves it there.
 *
 * @throws {RangeError} no such scheme.
 */
export function reviewScheme(input: ReviewInput): Finding[] {
  return runToEnd(reviewSteps(input));
}

/** Value of a generator whose pauses nobody uses. */
export function runToEnd<T>(steps: Generator<unknown, T, void>): T {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** The same with pauses, within the solve and between kinds, so that a newer change can overtake. */
export function* reviewSteps(
  input: ReviewInput,
  kinds: readonly KindEntry[] = KINDS,
): Generator<{ done: number; of: number }, Finding[], void> {
  const context = createContext(input);
  const findings: Finding[] = [];
  let night: Night = 'none';
  for (const [i, entry] of kinds.entries()) {
    if (entry.night !== night) for (const _ of nightSteps(context, entry.night)) yield { done: i, of: kinds.length };
    night = entry.night;
    const views = entry.byView ? viewsToPlease(context).map((view) => ({ viewpoint: view.id })) : [undefined];
    const measured: Measurement[] = [];
    for (const focus of views) {
      measured.push(...entry.measure(context, focus));
      if (focus) yield { done: i, of: kinds.length };
    }
    findings.push(...judgeAll(measured, context));
    yield { done: i + 1, of: kinds.length };
  }
  return sortFindings(findings, context);
}

/** Brings the model to the night a kind is judged in. */
export function* nightSteps(context: ReviewContext, night: Night): Generator<void, void, void> {
  if (night !== 'none') yield* judgingSteps(context, night === 'clean' ? 'judgedFirstNight' : 'asShown');
}

/** Findings of measurements; of two about one subject the worse is kept. */
export function judgeAll(measured: readonly Measurement[], context: ReviewContext): Finding[] {
  const byId = new Map<string, Finding>();
  for (const one of measured) {
    const finding = judge(one, context);
    if (!finding) continue;
    const other = byId.get(finding.id);
    if (!other || severityRank(finding.severity) < severityRank(other.severity)) byId.set(finding.id, finding);
  }
  return [...byId.values()];
}

function sortFindings(findings: Finding[], context: ReviewContext): Finding[] {
  const weight = new Map(context.document.viewpoints.map((view) => [view.id, view.weight]));
  const weightOf = (one: Finding) => (one.viewpoint === undefined ? 0 : (weight.get(one.viewpoint) ?? 0));
  return findings
    .map((finding, order) => ({ finding, order }))
    .sort(
      (a, b) =>
        severityRank(a.finding.severity) - severityRank(b.finding.severity) ||
        weightOf(b.finding) - weightOf(a.finding) ||
        a.order - b.order,
    )
    .map(({ finding }) => finding);
}
