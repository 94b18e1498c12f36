import type { MaterialRef } from '../../scene/index.ts';
import { Choice, TextField, Toggle } from './controls.tsx';
import { type FieldSpec, readPath, writePath } from './fields.ts';
import { MaterialChoice } from './MaterialChoice.tsx';
import { QuantityField } from './QuantityField.tsx';

export interface FieldTableProps<R> {
  fields: readonly FieldSpec<R>[];
  /** One record, or several edited at once: fields then show one value or "3 values". */
  records: readonly R[];
  disabled?: boolean;
  /** One undo step over all records, named by what changes. */
  onPut(what: string, next: R[]): void;
}

/** Fields of a record by a table: number with mixed units, choice, switch, text, material. */
export function FieldTable<R extends object>({ fields, records, disabled, onPut }: FieldTableProps<R>) {
  const [first] = records;
  if (!first) return null;
  const shown = fields.filter((f) => records.every((r) => f.when?.(r) ?? true));
  return (
    <div className="fields">
      {shown.map((field) => (
        <Field
          key={field.label}
          field={field}
          records={records}
          disabled={disabled || records.every((r) => field.locked?.(r) ?? false)}
          onPut={onPut}
        />
      ))}
    </div>
  );
}

function Field<R extends object>(props: {
  field: FieldSpec<R>;
  records: readonly R[];
  disabled: boolean | undefined;
  onPut(what: string, next: R[]): void;
}) {
  const { field, records, disabled } = props;
  const what = field.what ?? field.label.toLowerCase();
  const put = (change: (record: R, index: number) => R) => props.onPut(what, records.map(change));
  const [first] = records;
  if (!first) return null;
  if (field.kind === 'number') {
    const readNumber = (r: R) => field.get?.(r) ?? Number(readPath(r, field.path) ?? field.otherwise ?? 0);
    const write = (r: R, value: number, typed: string): R =>
      field.set ? field.set(r, value, typed) : (writePath(r, field.path, value) as R);
    return (
      <QuantityField
        label={field.label}
        value={readNumber(first)}
        values={records.length > 1 ? records.map(readNumber) : undefined}
        unit={field.unit}
        min={field.min}
        max={typeof field.max === 'number' ? field.max : field.max(first)}
        step={field.step}
        decimals={field.decimals}
        disabled={disabled}
        hint={records.length === 1 ? field.hint?.(first) : undefined}
        onTake={(value, typed) => put((r) => write(r, value, typed))}
        onTakeEach={(values, typed) => put((r, i) => write(r, values[i] ?? readNumber(r), typed))}
      />
    );
  }
  const values = records.map((r) => readPath(r, field.path));
  const distinct = new Set(values).size;
  const set = (value: unknown) => put((r) => writePath(r, field.path, value) as R);
  if (field.kind === 'choice') {
    const many: [string, string][] = distinct > 1 ? [['', `${distinct} values`]] : [];
    return (
      <Choice
        label={field.label}
        value={distinct > 1 ? '' : String(values[0] ?? field.otherwise ?? '')}
        options={[...many, ...field.options]}
        disabled={disabled}
        onChoose={(value) => {
          if (distinct > 1 && value === '') return;
          set(field.parse ? field.parse(value) : value);
        }}
      />
    );
  }
  if (field.kind === 'toggle') {
    return (
      <Toggle
        label={distinct > 1 ? `${field.label}: ${distinct} values` : field.label}
        on={values.every((v) => v === true)}
        disabled={disabled}
        onChange={set}
      />
    );
  }
  if (field.kind === 'material') {
    return (
      <div className="wide">
        <MaterialChoice label={field.label} value={(values[0] ?? field.otherwise ?? '') as MaterialRef} onChoose={set} />
      </div>
    );
  }
  return (
    <TextField
      label={field.label}
      value={distinct > 1 ? '' : String(values[0] ?? '')}
      placeholder={distinct > 1 ? `${distinct} values` : undefined}
      multiline={field.multiline}
      onTake={(text) => set(text.slice(0, field.longest ?? 200))}
    />
  );
}
