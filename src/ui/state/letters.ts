import { type Finding, letterFor, type Severity } from '../../review/index.ts';

const ORDER: Record<Severity, number> = { stop: 0, warn: 1, note: 2 };

/** Severity first, then the order of the review. Put-off findings count as notes. */
export function bySeverity(findings: readonly Finding[]): Finding[] {
  return [...findings].sort((a, b) => ORDER[shownSeverity(a)] - ORDER[shownSeverity(b)]);
}

export function shownSeverity(finding: Finding): Severity {
  return finding.putOff === undefined ? finding.severity : 'note';
}

/** A finding keeps its letter for life: known ids stay, new ones take the next letters, severity first. */
export function extendLetters(letters: Readonly<Record<string, string>>, findings: readonly Finding[]): Record<string, string> {
  const memory = new Map(Object.entries(letters));
  letterFor(bySeverity(findings), memory);
  return Object.fromEntries(memory);
}

export function countSeverities(findings: readonly Finding[]): Record<Severity, number> {
  const counts: Record<Severity, number> = { stop: 0, warn: 0, note: 0 };
  for (const finding of findings) counts[shownSeverity(finding)] += 1;
  return counts;
}

/** Findings that a trial brings: new ones, and known ones that became graver. */
export function broughtBy(before: readonly Finding[], now: readonly Finding[]): Finding[] {
  const old = new Map(before.map((f) => [f.id, ORDER[shownSeverity(f)]]));
  return bySeverity(now).filter((f) => ORDER[shownSeverity(f)] < (old.get(f.id) ?? Number.POSITIVE_INFINITY));
}

/** "0 Stop, 1 Warn, 11 Note". */
export function countWords(findings: readonly Finding[]): string {
  const { stop, warn, note } = countSeverities(findings);
  return `${stop} Stop, ${warn} Warn, ${note} Note`;
}
