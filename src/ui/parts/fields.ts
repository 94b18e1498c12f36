import type { QuantityUnit } from './quantity.ts';

interface Shared<R> {
  label: string;
  /** Place in the record, dots between: `sizeM.0`. */
  path: string;
  /** Name of the undo step; the label in small letters unless given. */
  what?: string;
  when?(record: R): boolean;
  locked?(record: R): boolean;
}

export interface NumberField<R> extends Shared<R> {
  kind: 'number';
  unit: QuantityUnit;
  min: number;
  max: number | ((record: R) => number);
  step: number;
  decimals?: number;
  /** Shown where the record says nothing. */
  otherwise?: number;
  hint?(record: R): string;
  /** Value worked out from the record instead of lying in it. */
  get?(record: R): number;
  set?(record: R, value: number, typed: string): R;
}

export type FieldSpec<R> =
  | NumberField<R>
  | (Shared<R> & {
      kind: 'choice';
      options: readonly (readonly [string, string])[];
      otherwise?: string;
      parse?(value: string): unknown;
    })
  | (Shared<R> & { kind: 'toggle' })
  | (Shared<R> & { kind: 'material'; otherwise?: string })
  | (Shared<R> & { kind: 'text'; multiline?: boolean; longest?: number });

/** Value at a dotted path of plain data, or undefined. */
export function readPath(record: object, path: string): unknown {
  let at: unknown = record;
  for (const key of path.split('.')) {
    if (typeof at !== 'object' || at === null) return undefined;
    at = (at as Record<string, unknown>)[key];
  }
  return at;
}

/** Copy of plain data with the value at a dotted path replaced; `undefined` takes the key out. */
export function writePath(record: unknown, path: string, value: unknown): unknown {
  const [key = '', ...rest] = path.split('.');
  const inner = rest.length === 0 ? value : writePath((record as Record<string, unknown>)?.[key] ?? {}, rest.join('.'), value);
  if (Array.isArray(record)) return record.map((old, i) => (String(i) === key ? inner : old));
  const copy: Record<string, unknown> = { ...(record as Record<string, unknown>) };
  if (inner === undefined) delete copy[key];
  else copy[key] = inner;
  return copy;
}

type Known = Record<string, { how: 'measured' | 'photo' | 'guessed'; plusMinusShare?: number; asTyped?: string }>;
interface Knowing {
  known?: Known;
}

/** Words of how a dimension is known; nothing recorded says so. */
export function knownWords(known: Known | undefined, field: string): string {
  const entry = known?.[field];
  if (!entry) return 'not said how known';
  const spread = entry.plusMinusShare === undefined ? '' : ` ±${Math.round(entry.plusMinusShare * 100)} %`;
  return entry.how === 'photo' ? `from photo${spread}` : `${entry.how}${spread}`;
}

/** A record with one dimension typed by hand: it counts as measured and keeps what was typed. */
export function withTyped<T extends Knowing>(record: T, field: string, value: number, asTyped: string): T {
  return { ...record, [field]: value, known: { ...record.known, [field]: { how: 'measured', asTyped: asTyped.slice(0, 40) } } };
}

/** Length in metres that wears how it is known. */
export function size<R extends Knowing>(label: string, path: string, min: number, max: number, step = 0.01): NumberField<R> {
  return {
    kind: 'number',
    label,
    path,
    unit: 'm',
    min,
    max,
    step,
    hint: (r) => knownWords(r.known, path),
    set: (r, value, typed) => withTyped(r, path, value, typed),
  };
}

/** Plain number; whole numbers where the step is 1 or more. */
export function number<R>(
  label: string,
  path: string,
  unit: QuantityUnit,
  range: readonly [min: number, max: number, step: number],
  more: Partial<NumberField<R>> = {},
): NumberField<R> {
  const [min, max, step] = range;
  return { kind: 'number', label, path, unit, min, max, step, ...more };
}

/** Coordinates of a place, named by what they mean: left to right, level, toward the street. */
export function place<R>(path: string, axes: 'xz' | 'xyz', prefix = ''): FieldSpec<R>[] {
  const named = (word: string) => (prefix === '' ? word : `${prefix}, ${word.toLowerCase()}`);
  const last = axes === 'xyz' ? 2 : 1;
  const across = number<R>(named('Left to right'), `${path}.0`, 'm', [-500, 500, 0.05], { what: 'place' });
  const street = number<R>(named('Toward the street'), `${path}.${last}`, 'm', [-500, 500, 0.05], { what: 'place' });
  const level = number<R>(named('Level'), `${path}.1`, 'm', [-50, 60, 0.05], { what: 'level' });
  return axes === 'xyz' ? [across, level, street] : [across, street];
}

export function choice<R>(
  label: string,
  path: string,
  options: readonly (readonly [string, string])[],
  more: { otherwise?: string; parse?(value: string): unknown; when?(record: R): boolean; locked?(record: R): boolean } = {},
): FieldSpec<R> {
  return { kind: 'choice', label, path, options, ...more };
}

export const toggle = <R>(label: string, path: string): FieldSpec<R> => ({ kind: 'toggle', label, path });
export const material = <R>(label: string, path: string, otherwise?: string): FieldSpec<R> => ({
  kind: 'material',
  label,
  path,
  otherwise,
});
export const text = <R>(label: string, path: string, longest = 200, multiline = false): FieldSpec<R> => ({
  kind: 'text',
  label,
  path,
  longest,
  multiline,
});
