/** One place where two plain-data values differ. A missing key is told from a key that holds `undefined`. */
export interface Change {
  path: readonly (string | number)[];
  before: unknown;
  after: unknown;
  hadBefore: boolean;
  hasAfter: boolean;
}

type Plain = Record<string, unknown>;

const isPlain = (value: unknown): value is Plain => typeof value === 'object' && value !== null && !Array.isArray(value);

/** Lists what differs between two trees of plain data; parts shared by reference cost nothing. */
export function diff(before: unknown, after: unknown): Change[] {
  const changes: Change[] = [];
  collect(before, after, [], changes);
  return changes;
}

function collect(before: unknown, after: unknown, path: readonly (string | number)[], out: Change[]): void {
  if (Object.is(before, after)) return;
  if (isPlain(before) && isPlain(after)) {
    collectKeys(before, after, path, out);
  } else if (Array.isArray(before) && Array.isArray(after) && before.length === after.length) {
    for (let i = 0; i < before.length; i++) collect(before[i], after[i], [...path, i], out);
  } else {
    out.push({ path, before, after, hadBefore: true, hasAfter: true });
  }
}

function collectKeys(before: Plain, after: Plain, path: readonly (string | number)[], out: Change[]): void {
  for (const key of new Set([...Object.keys(before), ...Object.keys(after)])) {
    const hadBefore = Object.hasOwn(before, key);
    const hasAfter = Object.hasOwn(after, key);
    if (hadBefore && hasAfter) collect(before[key], after[key], [...path, key], out);
    else out.push({ path: [...path, key], before: before[key], after: after[key], hadBefore, hasAfter });
  }
}

/** Plays changes forward (`redo`) or backward (`undo`) on a tree without touching it; untouched branches are shared. */
export function applyChanges<T>(value: T, changes: readonly Change[], direction: 'undo' | 'redo'): T {
  let result: unknown = value;
  for (const change of changes) {
    const present = direction === 'undo' ? change.hadBefore : change.hasAfter;
    const put = direction === 'undo' ? change.before : change.after;
    result = setAt(result, change.path, 0, present, put);
  }
  return result as T;
}

function setAt(value: unknown, path: readonly (string | number)[], depth: number, present: boolean, put: unknown): unknown {
  if (depth === path.length) return put;
  const key = path[depth]!;
  if (Array.isArray(value)) {
    const copy = value.slice();
    copy[Number(key)] = setAt(value[Number(key)], path, depth + 1, present, put);
    return copy;
  }
  const copy: Plain = { ...(value as Plain) };
  if (depth === path.length - 1 && !present) delete copy[key];
  else copy[key] = setAt(copy[key], path, depth + 1, present, put);
  return copy;
}
