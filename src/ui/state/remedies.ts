import type { Remedy } from '../../review/index.ts';

/** Name of the trial and of its undo step: the remedy's text without a full stop. */
export function remedyName(remedy: Remedy): string {
  return remedy.text.replace(/\.$/, '');
}
