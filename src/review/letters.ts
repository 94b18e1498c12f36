import type { Finding } from './types.ts';

/** Letters given so far, by finding id; kept by the caller for as long as the property is open. */
export type LetterMemory = Map<string, string>;

/** A, B … Z, AA, AB … */
export function letterAt(index: number): string {
  const head = Math.floor(index / 26);
  return (head > 0 ? letterAt(head - 1) : '') + String.fromCharCode(65 + (index % 26));
}

/** Letter of each finding by id. A finding keeps its letter for life; new ones take the next free letter and are remembered. */
export function letterFor(findings: readonly Finding[], memory: LetterMemory): Map<string, string> {
  return new Map(
    findings.map((finding) => {
      const letter = memory.get(finding.id) ?? letterAt(memory.size);
      memory.set(finding.id, letter);
      return [finding.id, letter];
    }),
  );
}
