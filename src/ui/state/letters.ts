import type { Finding, Severity } from '../../review/index.ts';

/** 0 → A, 25 → Z, 26 → AA. */
export function letterOf(index: number): string {
  const head = Math.floor(index / 26);
  return (head > 0 ? letterOf(head - 1) : '') + String.fromCharCode(65 + (index % 26));
}

const ORDER: Record<Severity, number> = { stop: 0, warn: 1, note: 2 };

/** Severity first, then the order of the review. Put-off findings count as notes. */
export function bySeverity(findings: readonly Finding[]): Finding[] {
  return [...findings].sort((a, b) => ORDER[shownSeverity(a)] - ORDER[shownSeverity(b)]);
}

export function shownSeverity(finding: Finding): Severity {
  return finding.putOff === undefined ? finding.severity : 'note';
}

/** A finding keeps its letter for life: known ids stay, new ones take the next letters never used before. */
export function extendLetters(letters: Readonly<Record<string, string>>, findings: readonly Finding[]): Record<string, string> {
  const next = { ...letters };
  let used = Object.keys(next).length;
  for (const finding of bySeverity(findings)) {
    if (next[finding.id] === undefined) {
      next[finding.id] = letterOf(used);
      used += 1;
    }
  }
  return next;
}

export function countSeverities(findings: readonly Finding[]): Record<Severity, number> {
  const counts: Record<Severity, number> = { stop: 0, warn: 0, note: 0 };
  for (const finding of findings) counts[shownSeverity(finding)] += 1;
  return counts;
}
