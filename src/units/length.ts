import { feetToM, inchesToM } from './convert.ts';
import { type Refusal, refuseLength, refuseSwapped } from './refusals.ts';

export type LengthUnit = 'm' | 'cm' | 'mm' | 'ft' | 'in';

export type LengthEntry =
  | {
      ok: true;
      valueM: number;
      /** What was typed, trimmed; kept with the dimension. */
      asTyped: string;
      /** True for `+10 cm` and `-2 in`, which add to what was there. */
      relative: boolean;
    }
  | Refusal;

export interface LengthOptions {
  /** Unit of a bare number: the one printed in the field. */
  bareUnit: LengthUnit;
  /** Value that `+10 cm` and `-2 in` add to; without it they are refused. */
  relativeToM?: number;
}

const TO_M: Record<LengthUnit, (value: number) => number> = {
  m: (value) => value,
  cm: (value) => value / 100,
  mm: (value) => value / 1000,
  ft: feetToM,
  in: inchesToM,
};

const UNIT_WORDS: Readonly<Record<string, LengthUnit>> = {
  "'": 'ft',
  ft: 'ft',
  foot: 'ft',
  feet: 'ft',
  '"': 'in',
  in: 'in',
  inch: 'in',
  inches: 'in',
  m: 'm',
  metre: 'm',
  metres: 'm',
  meter: 'm',
  meters: 'm',
  cm: 'cm',
  centimetre: 'cm',
  centimetres: 'cm',
  mm: 'mm',
  millimetre: 'mm',
  millimetres: 'mm',
};

const METRIC_ORDER: readonly (LengthUnit | undefined)[] = ['m', 'cm', 'mm'];

/** Unlike signs people and telephones write for the same thing. */
const SAME_SIGNS: readonly (readonly [RegExp, string])[] = [
  [/[′’‘ʹ]/g, "'"],
  [/''|[″”“ʺ]/g, '"'],
  [/[−–]/g, '-'],
  [/\s*½/g, ' 1/2'],
  [/\s*¼/g, ' 1/4'],
  [/\s*¾/g, ' 3/4'],
  [/\s*⅛/g, ' 1/8'],
  [/\s*⅜/g, ' 3/8'],
  [/\s*⅝/g, ' 5/8'],
  [/\s*⅞/g, ' 7/8'],
  [/\s+/g, ' '],
];

interface Quantity {
  value: number;
  unit: LengthUnit | undefined;
  /** True where the number has no fraction of any form. */
  whole: boolean;
  /** A comma before exactly three digits may part thousands or decimals. */
  doubtful: boolean;
}

/**
 * Reads a length in mixed units: `6' 8"`, `6ft 8 1/2in`, `6' 8`, `80 in`, `18"`, `2.03 m`, `2,03 m`, `203 cm`, `2030 mm`; a bare
 * number takes `bareUnit`; `+10 cm` and `-2 in` add to `relativeToM`; `=-5 cm` sets a length below zero.
 * Inches are exact: 80 in = 2.032 m. A refusal names three entries that would be taken.
 *
 * @see tests/units/length.test.ts
 * @example parseLength(`6' 8"`, { bareUnit: 'm' }) // → valueM 2.032
 */
export function parseLength(text: string, options: LengthOptions): LengthEntry {
  const asTyped = text.trim();
  let rest = SAME_SIGNS.reduce((t, [sign, plain]) => t.replace(sign, plain), asTyped.toLowerCase()).trim();
  const set = rest.startsWith('=');
  if (set) rest = rest.slice(1).trim();
  const sign = rest.startsWith('-') ? -1 : 1;
  const signed = rest.startsWith('-') || rest.startsWith('+');
  const quantities = readQuantities(signed ? rest.slice(1).trim() : rest);
  if (!quantities) return refuseLength(asTyped, 'is not a length');
  const sizeM = toMetres(asTyped, quantities, options.bareUnit);
  if (typeof sizeM !== 'number') return sizeM;
  if (!Number.isFinite(sizeM)) return refuseLength(asTyped, 'is too large');
  if (!signed || set) return { ok: true, valueM: sign * sizeM, asTyped, relative: false };
  if (options.relativeToM === undefined) return refuseLength(asTyped, 'adds to a length, and there is none yet');
  return { ok: true, valueM: options.relativeToM + sign * sizeM, asTyped, relative: true };
}

const QUANTITY = /^(?:(\d+(?:[.,]\d+)?|[.,]\d+)(?:[ -]+(\d+)\/(\d+))?|(\d+)\/(\d+)) ?("|'|[a-z]+\.?)?(?: ?-? ?|$)/;

/** Numbers with their units, in the order typed; undefined for anything else. */
function readQuantities(text: string): Quantity[] | undefined {
  const found: Quantity[] = [];
  let rest = text;
  while (rest !== '') {
    const lone = /^(\d+)\/(\d+)/.test(rest);
    const match = QUANTITY.exec(lone ? `0 ${rest}` : rest);
    if (!match) return undefined;
    const quantity = toQuantity(match, lone);
    if (!quantity) return undefined;
    found.push(quantity);
    rest = rest.slice(match[0].length - (lone ? 2 : 0));
  }
  return found.length > 0 && !/-\s*$/.test(text) ? found : undefined;
}

function toQuantity(match: RegExpExecArray, lone: boolean): Quantity | undefined {
  const number = match[1] ?? '0';
  const word = match[6]?.replace('.', '');
  const unit = word === undefined ? undefined : UNIT_WORDS[word];
  if (word !== undefined && unit === undefined) return undefined;
  const whole = /^\d+$/.test(number);
  const hasFraction = match[2] !== undefined;
  if (hasFraction && (!whole || Number(match[3]) === 0)) return undefined;
  const value = Number(number.replace(',', '.')) + (hasFraction ? Number(match[2]) / Number(match[3]) : 0);
  return { value, unit, whole: whole && !hasFraction && !lone, doubtful: /^\d{1,3},\d{3}$/.test(number) };
}

function toMetres(asTyped: string, quantities: Quantity[], bareUnit: LengthUnit): number | Refusal {
  const [first, second, third] = quantities;
  if (!first || third) return metricSum(asTyped, quantities);
  if (!second) {
    const unit = first.unit ?? bareUnit;
    if (first.doubtful && unit !== 'm') return refuseLength(asTyped, 'reads two ways: the comma may part thousands or decimals');
    return TO_M[unit](first.value);
  }
  if (first.unit === 'in' && second.unit === 'ft') return refuseSwapped(asTyped, first.value, second.value);
  if (first.unit !== 'ft' || (second.unit !== 'in' && second.unit !== undefined)) return metricSum(asTyped, quantities);
  if (!first.whole) return refuseLength(asTyped, 'gives a part of a foot twice');
  if (second.value >= 12) return refuseLength(asTyped, 'has 12 inches or more beside its feet');
  return inchesToM(first.value * 12 + second.value);
}

/** `2 m 3 cm`: metric pieces from large to small, all but the last whole. */
function metricSum(asTyped: string, quantities: Quantity[]): number | Refusal {
  const places = quantities.map((q) => METRIC_ORDER.indexOf(q.unit));
  const metric = places.every((place) => place >= 0);
  if (!metric) return refuseLength(asTyped, 'mixes units that do not belong together');
  if (places.some((place, i) => i > 0 && place <= places[i - 1]!))
    return refuseLength(asTyped, 'reads small units before large ones');
  if (quantities.slice(0, -1).some((q) => !q.whole)) return refuseLength(asTyped, 'gives a part of a unit twice');
  return quantities.reduce((sumMm, q) => sumMm + TO_M[q.unit ?? 'm'](q.value) * 1000, 0) / 1000;
}
