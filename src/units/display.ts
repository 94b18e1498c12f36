import { lxToFc, mToInches } from './convert.ts';

export type LengthSystem = 'metric' | 'feetInches';
export type LightUnit = 'lx' | 'fc';

interface FeetInches {
  sign: '' | '-';
  feet: number;
  inches: number;
  /** Numerator over `denominator`, lowest terms; 0 = none. */
  numerator: number;
  denominator: number;
}

/** Splits a length into feet, inches and a fraction, rounded to 1/`parts` inch. */
function toFeetInches(valueM: number, parts: number): FeetInches {
  const units = Math.round(Math.abs(mToInches(valueM)) * parts);
  const wholeInches = Math.floor(units / parts);
  let numerator = units % parts;
  let denominator = parts;
  while (numerator > 0 && numerator % 2 === 0 && denominator % 2 === 0)
    [numerator, denominator] = [numerator / 2, denominator / 2];
  const sign = valueM < 0 && units > 0 ? '-' : '';
  return { sign, feet: Math.floor(wholeInches / 12), inches: wholeInches % 12, numerator, denominator };
}

/** Fixed decimals without a minus before zero. */
function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/**
 * Length for people: `2.03 m`, or feet and inches to the half inch: `6' 8"`, `6' 8 1/2"`, `3"`.
 *
 * @param options `decimals` of metres (2), `inchParts` a power of two: 2 = half inches (2).
 */
export function formatLength(
  valueM: number,
  system: LengthSystem = 'metric',
  options: { decimals?: number; inchParts?: 1 | 2 | 4 | 8 | 16 } = {},
): string {
  if (!Number.isFinite(valueM)) return '–';
  if (system === 'metric') return `${fixed(valueM, options.decimals ?? 2)} m`;
  const { sign, feet, inches, numerator, denominator } = toFeetInches(valueM, options.inchParts ?? 2);
  const fraction = numerator === 0 ? '' : `${numerator}/${denominator}`;
  const inchText = [inches > 0 || fraction === '' ? String(inches) : '', fraction].filter((t) => t !== '').join(' ');
  if (feet === 0) return `${sign}${inchText}"`;
  return inches === 0 && fraction === '' ? `${sign}${feet}'` : `${sign}${feet}' ${inchText}"`;
}

/** Length as a voice says it, both systems: "0.38 metres, 1 foot 3 inches". */
export function spokenLength(valueM: number, first: LengthSystem = 'metric'): string {
  const { sign, feet, inches, numerator, denominator } = toFeetInches(valueM, 2);
  const minus = sign === '-' ? 'minus ' : '';
  const inchValue = inches + numerator / denominator;
  const words = [
    feet > 0 ? `${feet} ${feet === 1 ? 'foot' : 'feet'}` : '',
    inchValue > 0 || feet === 0 ? `${inchValue} ${inchValue === 1 ? 'inch' : 'inches'}` : '',
  ].filter((word) => word !== '');
  const imperial = `${minus}${words.join(' ')}`;
  const metric = `${fixed(valueM, 2).replace('-', 'minus ')} metres`;
  return first === 'metric' ? `${metric}, ${imperial}` : `${imperial}, ${metric}`;
}

/** Three figures at most, none that say nothing: 286, 42, 4.5, 0.43, 0.021; below 0.001 "0". */
export function formatFigure(value: number): string {
  if (!Number.isFinite(value)) return '–';
  const size = Math.abs(value);
  if (size < 0.0005) return '0';
  const decimals = size >= 99.5 ? 0 : size >= 9.95 ? 1 : size >= 0.995 ? 2 : 3;
  return fixed(value, decimals)
    .replace(/(\.\d*?)0+$/, '$1')
    .replace(/\.$/, '');
}

/** Illuminance for people, in lux or footcandles. */
export function formatIlluminance(illuminanceLx: number, unit: LightUnit = 'lx'): string {
  return `${formatFigure(unit === 'lx' ? illuminanceLx : lxToFc(illuminanceLx))} ${unit}`;
}

/** Angle for people: `35°`, one decimal where it is not whole. */
export function formatAngle(angleDeg: number): string {
  return Number.isFinite(angleDeg) ? `${fixed(angleDeg, 1).replace(/\.0$/, '')}°` : '–';
}
