import { applyChanges, type Change, diff } from './diff.ts';

/** One undo step: what changed between two marks, named in words. */
interface Step {
  label: string;
  changes: Change[];
}

/** Undo and redo as inverse diffs between marks, over any plain-data value. */
export interface History<T> {
  /** Records the way from `before` to `after`; false (and nothing kept) when they do not differ. */
  record(label: string, before: T, after: T): boolean;
  undo(value: T): T | undefined;
  redo(value: T): T | undefined;
  undoLabel(): string | undefined;
  redoLabel(): string | undefined;
  clear(): void;
}

export function createHistory<T>(): History<T> {
  let done: Step[] = [];
  let undone: Step[] = [];
  return {
    record(label, before, after) {
      const changes = diff(before, after);
      if (changes.length === 0) return false;
      done.push({ label, changes });
      undone = [];
      return true;
    },
    undo(value) {
      const step = done.pop();
      if (!step) return undefined;
      undone.push(step);
      return applyChanges(value, step.changes, 'undo');
    },
    redo(value) {
      const step = undone.pop();
      if (!step) return undefined;
      done.push(step);
      return applyChanges(value, step.changes, 'redo');
    },
    undoLabel: () => done.at(-1)?.label,
    redoLabel: () => undone.at(-1)?.label,
    clear() {
      done = [];
      undone = [];
    },
  };
}
