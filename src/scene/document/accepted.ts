import { isRecord, type PathStep } from './errors.ts';
import { propertyJsonSchema } from './schema.ts';

type Schema = Record<string, unknown>;
let cached: Schema | undefined;

/** Schema that holds at a path of a file; unions are told apart by the `kind` the file gives. */
export function schemaAt(file: unknown, steps: readonly PathStep[]): Schema | undefined {
  cached ??= propertyJsonSchema();
  let schema: Schema | undefined = chosen(cached, file);
  let value: unknown = file;
  for (const step of steps) {
    if (!schema) return undefined;
    value = isRecord(value) || Array.isArray(value) ? (value as Record<PathStep, unknown>)[step] : undefined;
    schema = chosen(childOf(schema, step), value);
  }
  return schema;
}

function childOf(schema: Schema, step: PathStep): Schema | undefined {
  if (typeof step === 'string') {
    const properties = isRecord(schema.properties) ? schema.properties : {};
    return asSchema(properties[step]) ?? asSchema(schema.additionalProperties);
  }
  const tuple = Array.isArray(schema.prefixItems) ? asSchema(schema.prefixItems[step]) : undefined;
  return tuple ?? asSchema(schema.items);
}

const asSchema = (value: unknown): Schema | undefined => (isRecord(value) ? value : undefined);

/** Of several forms, the one whose `kind` the value names, else the one form that is an object. */
function chosen(schema: Schema | undefined, value: unknown): Schema | undefined {
  const forms = schema?.anyOf ?? schema?.oneOf;
  if (!schema || !Array.isArray(forms)) return schema;
  const kind = isRecord(value) ? value.kind : undefined;
  const byKind = forms.find((form: unknown) => {
    const properties = isRecord(form) && isRecord(form.properties) ? form.properties : {};
    return isRecord(properties.kind) && properties.kind.const === kind;
  });
  return (
    asSchema(byKind) ?? (isRecord(value) ? asSchema(forms.find((f: unknown) => isRecord(f) && f.type === 'object')) : schema)
  );
}

/** "1 to 175", "at least 0", "above 0, at most 3" from the bounds of a number's schema. */
export function rangeWords(schema: Schema | undefined): string {
  if (!schema) return '';
  const has = (key: string): number | undefined => {
    const bound = schema[key];
    return typeof bound === 'number' && Math.abs(bound) < Number.MAX_SAFE_INTEGER ? bound : undefined;
  };
  const low = has('minimum');
  const above = has('exclusiveMinimum');
  const high = has('maximum');
  const whole = schema.type === 'integer' ? 'a whole number, ' : '';
  if (low !== undefined && high !== undefined) return `${whole}${low} to ${high}`;
  const parts = [
    low === undefined ? '' : `at least ${low}`,
    above === undefined ? '' : `above ${above}`,
    high === undefined ? '' : `at most ${high}`,
  ].filter((part) => part !== '');
  return parts.length > 0 ? `${whole}${parts.join(', ')}` : '';
}

/** Names of the fields an object may have. */
export function fieldsOf(schema: Schema | undefined): string[] {
  return schema && isRecord(schema.properties) ? Object.keys(schema.properties) : [];
}
