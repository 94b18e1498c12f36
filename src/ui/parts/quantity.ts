import { formatLength, type LengthSystem, parseAngle, parseLength } from '../../units/index.ts';

/** What a number field holds. `m` reads mixed units; `deg` reads degrees and slopes; the rest are plain figures. */
export type QuantityUnit =
  | 'm'
  | 'deg'
  | 'lm'
  | 'W'
  | 'K'
  | 'V'
  | 'VA'
  | 'A'
  | 'lx'
  | 'EV'
  | 'h'
  | '%'
  | 'mm²'
  | 'cd/m²'
  | 'years'
  | '';

export type Taken = { ok: true; value: number; asTyped: string } | { ok: false; reason: string };

const SPOKEN: Record<QuantityUnit, string> = {
  m: 'metres',
  deg: 'degrees',
  lm: 'lumens',
  W: 'watts',
  K: 'kelvin',
  V: 'volts',
  VA: 'volt-amperes',
  A: 'amperes',
  lx: 'lux',
  EV: 'exposure value',
  h: 'hours',
  '%': 'percent',
  'mm²': 'square millimetres',
  'cd/m²': 'candela a square metre',
  years: 'years',
  '': '',
};

export function unitSpoken(unit: QuantityUnit): string {
  return SPOKEN[unit];
}

export function showQuantity(value: number, unit: QuantityUnit, system: LengthSystem, decimals?: number): string {
  if (unit === 'm') return formatLength(value, system);
  const text = decimals === undefined ? String(Number(value.toFixed(3))) : value.toFixed(decimals);
  if (unit === 'deg') return `${text}°`;
  return unit === '' ? text : `${text} ${unit}`;
}

/** Other system in a second reading: 0.38 m → 1' 3". */
export function otherReading(value: number, unit: QuantityUnit, system: LengthSystem): string {
  return unit === 'm' ? formatLength(value, system === 'metric' ? 'feetInches' : 'metric') : '';
}

/**
 * Reads what was typed. `+10 cm` and `-2 in` add to `now` for lengths; a bare number takes the unit of the field. With
 * `adding` (several records at once) a leading `+` adds in every unit.
 */
export function takeQuantity(
  text: string,
  unit: QuantityUnit,
  system: LengthSystem,
  now: number,
  min: number,
  max: number,
  options: { adding?: boolean } = {},
): Taken {
  const typed = text.trim();
  const read = readNumber(typed, unit, system, now);
  if (!read.ok) return read;
  const adds = options.adding === true && unit !== 'm' && typed.startsWith('+');
  const value = adds ? now + read.value : read.value;
  if (value < min - 1e-9 || value > max + 1e-9) {
    const low = showQuantity(min, unit, system);
    const high = showQuantity(max, unit, system);
    return { ok: false, reason: `Accepted: ${low} to ${high}. The old value stays.` };
  }
  return { ok: true, value, asTyped: typed };
}

function readNumber(typed: string, unit: QuantityUnit, system: LengthSystem, now: number): Taken {
  if (unit === 'm') {
    const result = parseLength(typed, { bareUnit: system === 'metric' ? 'm' : 'ft', relativeToM: now });
    return result.ok ? { ok: true, value: result.valueM, asTyped: typed } : { ok: false, reason: result.reason };
  }
  if (unit === 'deg') {
    const result = parseAngle(typed);
    return result.ok ? { ok: true, value: result.valueDeg, asTyped: typed } : { ok: false, reason: result.reason };
  }
  const bare = typed
    .replace(unit === '' ? /$^/ : new RegExp(`\\s*${unit.replace('/', '\\/')}$`, 'i'), '')
    .replace(',', '.')
    .replace('−', '-');
  const value = bare === '' ? Number.NaN : Number(bare);
  return Number.isFinite(value)
    ? { ok: true, value, asTyped: typed }
    : { ok: false, reason: `“${typed}” is not a number. Type a figure${unit ? `, with or without ${unit}` : ''}.` };
}
