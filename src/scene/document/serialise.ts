import type { PropertyDocument } from '../records/property.ts';
import { isRecord } from './errors.ts';
import { schemaAt } from './accepted.ts';
import { CURRENT_VERSION } from './versions.ts';

/**
 * Writes a property as JSON text: fields in the order of the records, one space of indent, points on one line, a newline at
 * the end. The same document always gives the same bytes, whatever order its fields were set in.
 */
export function serialiseProperty(document: PropertyDocument): string {
  return `${write({ ...document, version: CURRENT_VERSION }, ordered(document), 0)}\n`;
}

/** Order of fields by path pattern; schemas are looked up once per record shape. */
function ordered(document: PropertyDocument): FieldOrder {
  const known = new Map<string, readonly string[]>();
  return (steps) => {
    const kind = kindAt(document, steps);
    const shape = `${steps.map((s) => (typeof s === 'number' ? '#' : s)).join('.')}|${kind}`;
    let fields = known.get(shape);
    if (!fields) {
      const properties = schemaAt(document, steps)?.properties;
      fields = isRecord(properties) ? Object.keys(properties) : [];
      known.set(shape, fields);
    }
    return fields;
  };
}

type FieldOrder = (steps: readonly (string | number)[]) => readonly string[];

function kindAt(document: unknown, steps: readonly (string | number)[]): string {
  const value = steps.reduce<unknown>((v, s) => (v as Record<string | number, unknown>)[s], document);
  return isRecord(value) && typeof value.kind === 'string' ? value.kind : '';
}

function write(value: unknown, order: FieldOrder, depth: number, steps: readonly (string | number)[] = []): string {
  const inner = ' '.repeat(depth + 1);
  const close = `\n${' '.repeat(depth)}`;
  if (Array.isArray(value)) {
    if (value.every((entry) => typeof entry !== 'object' || entry === null)) return JSON.stringify(value);
    const entries = value.map((entry, i) => `${inner}${write(entry, order, depth + 1, [...steps, i])}`);
    return `[\n${entries.join(',\n')}${close}]`;
  }
  if (!isRecord(value)) return JSON.stringify(value);
  const fields = sortedKeys(value, order(steps)).map(
    (key) => `${inner}${JSON.stringify(key)}: ${write(value[key], order, depth + 1, [...steps, key])}`,
  );
  return fields.length === 0 ? '{}' : `{\n${fields.join(',\n')}${close}}`;
}

/** Fields present, those of the record in its order, free keys (as in `known`) by name after them. */
function sortedKeys(value: Record<string, unknown>, order: readonly string[]): string[] {
  const present = Object.keys(value).filter((key) => value[key] !== undefined);
  const place = (key: string): number => (order.includes(key) ? order.indexOf(key) : order.length);
  return present.sort((a, b) => place(a) - place(b) || (a < b ? -1 : 1));
}
