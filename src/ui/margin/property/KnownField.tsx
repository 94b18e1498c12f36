import { QuantityField } from '../../parts/QuantityField.tsx';
import type { QuantityUnit } from '../../parts/quantity.ts';

type Known = Record<string, { how: 'measured' | 'photo' | 'guessed'; plusMinusShare?: number; asTyped?: string }>;

/** Words of how a dimension is known; nothing recorded says so. */
export function knownWords(known: Known | undefined, field: string): string {
  const entry = known?.[field];
  if (!entry) return 'not said how known';
  const spread = entry.plusMinusShare === undefined ? '' : ` ±${Math.round(entry.plusMinusShare * 100)} %`;
  return entry.how === 'photo' ? `from photo${spread}` : `${entry.how}${spread}`;
}

/** A record with one dimension typed by hand: it counts as measured and keeps what was typed. */
export function withTyped<T extends { known?: Known }>(record: T, field: string, value: number, asTyped: string): T {
  return { ...record, [field]: value, known: { ...record.known, [field]: { how: 'measured', asTyped: asTyped.slice(0, 40) } } };
}

/** Dimension field with its how-known mark under it. */
export function KnownField<T extends { known?: Known }>(props: {
  label: string;
  record: T;
  field: keyof T & string;
  unit?: QuantityUnit;
  min: number;
  max: number;
  step: number;
  onTake(next: T): void;
}) {
  const { record, field } = props;
  const value = record[field];
  if (typeof value !== 'number') return null;
  return (
    <QuantityField
      label={props.label}
      value={value}
      unit={props.unit ?? 'm'}
      min={props.min}
      max={props.max}
      step={props.step}
      hint={knownWords(record.known, field)}
      onTake={(next, typed) => props.onTake(withTyped(record, field, next, typed))}
    />
  );
}
