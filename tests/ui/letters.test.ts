import { describe, expect, it } from 'vitest';
import type { Finding } from '../../src/review/index.ts';
import { broughtBy, bySeverity, countSeverities, countWords, extendLetters } from '../../src/ui/state/letters.ts';

function finding(id: string, severity: Finding['severity'], putOff?: string): Finding {
  return {
    id,
    kind: 'hotSpot',
    label: 'Hot spot',
    severity,
    subject: id,
    at: [0, 0, 0],
    value: 1,
    limit: 1,
    unit: '',
    message: '',
    why: '',
    basis: '',
    assumptions: [],
    putOff,
  };
}

describe('letters of findings', () => {
  it('counts A … Z, AA like columns of a table', () => {
    const many = Array.from({ length: 53 }, (_, i) => finding(`f${i}`, 'note'));
    const letters = extendLetters({}, many);
    expect([0, 25, 26, 27, 51, 52].map((i) => letters[`f${i}`])).toEqual(['A', 'Z', 'AA', 'AB', 'AZ', 'BA']);
  });

  it('says what a trial brings: new findings and graver ones, not those that stay or ease', () => {
    const before = [finding('same', 'warn'), finding('graver', 'note'), finding('eased', 'warn'), finding('gone', 'stop')];
    const now = [finding('same', 'warn'), finding('graver', 'warn'), finding('eased', 'note'), finding('new', 'note')];
    expect(broughtBy(before, now).map((f) => f.id)).toEqual(['graver', 'new']);
    expect(countWords(now)).toBe('0 Stop, 2 Warn, 2 Note');
  });

  it('gives letters severity first and keeps them for the life of a finding', () => {
    const first = extendLetters({}, [finding('n', 'note'), finding('s', 'stop'), finding('w', 'warn')]);
    expect(first).toEqual({ s: 'A', w: 'B', n: 'C' });
    const gone = extendLetters(first, [finding('n', 'note')]);
    const next = extendLetters(gone, [finding('x', 'stop'), finding('n', 'note'), finding('w', 'warn')]);
    expect(next).toEqual({ s: 'A', w: 'B', n: 'C', x: 'D' });
  });

  it('counts a put-off finding as a note and sorts it so (screens 3.6)', () => {
    const list = [finding('a', 'warn', 'the owner likes it'), finding('b', 'warn'), finding('c', 'stop')];
    expect(countSeverities(list)).toEqual({ stop: 1, warn: 1, note: 1 });
    expect(bySeverity(list).map((f) => f.id)).toEqual(['c', 'b', 'a']);
  });
});
