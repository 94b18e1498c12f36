/** What is wrong with a file, where, and what would be accepted. */
export interface PropertyError {
  /** `schemes[0].fixtures(id = l3).aim`; empty for the file as a whole. */
  path: string;
  reason: string;
  accepted: string;
}

/** One line for people: `schemes[0].fixtures(id = l3).aim: reason; accepted: …`. */
export function formatPropertyError(error: PropertyError): string {
  const where = error.path === '' ? '' : `${error.path}: `;
  const accepted = error.accepted === '' ? '' : `; accepted: ${error.accepted}`;
  return `${where}${error.reason}${accepted}`;
}

export type PathStep = string | number;

const ID = /^[A-Za-z0-9][A-Za-z0-9_.-]{0,63}$/;

/** Writes a path into `root`: the innermost record with an id is named by it, all others by their index. */
export function formatPath(root: unknown, steps: readonly PathStep[]): string {
  const ids = idsAlong(root, steps);
  const named = ids.findLastIndex((id) => id !== undefined);
  let text = '';
  steps.forEach((step, i) => {
    if (typeof step === 'string') text += text === '' ? step : `.${step}`;
    else if (i === named) text += `(id = ${ids[i]})`;
    else text += `[${step}]`;
  });
  return text;
}

/** For each step, the id of the list element it leads to, where that has a sound one. */
function idsAlong(root: unknown, steps: readonly PathStep[]): (string | undefined)[] {
  let value: unknown = root;
  return steps.map((step) => {
    value = isRecord(value) || Array.isArray(value) ? (value as Record<PathStep, unknown>)[step] : undefined;
    if (typeof step !== 'number' || !isRecord(value)) return undefined;
    return typeof value.id === 'string' && ID.test(value.id) ? value.id : undefined;
  });
}

/** A plain object, not a list. */
export function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** A value as it stands in the file, cut to a readable length. */
export function quoteValue(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (typeof value === 'number') return String(value);
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (isRecord(value)) return 'an object';
  const text = JSON.stringify(value) ?? String(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

/** Collects errors against one document; `at` takes the path as steps. */
export interface ErrorList {
  readonly errors: PropertyError[];
  add(steps: readonly PathStep[], reason: string, accepted: string): void;
}

export function createErrorList(root: unknown): ErrorList {
  const errors: PropertyError[] = [];
  return {
    errors,
    add: (steps, reason, accepted) => {
      errors.push({ path: formatPath(root, steps), reason, accepted });
    },
  };
}
