import { radToDeg } from './convert.ts';
import { type Refusal, refuseAngle } from './refusals.ts';

export type AngleEntry = { ok: true; valueDeg: number; asTyped: string; relative: boolean } | Refusal;

const DEGREES = /^([+-]?)(\d+(?:[.,]\d+)?|[.,]\d+) ?(?:°|deg|degree|degrees)?$/;
const SLOPE = /^(\d+(?:[.,]\d+)?) ?(?::|in) ?(\d+(?:[.,]\d+)?)$/;

/**
 * Reads an angle: `35`, `35°`, or a slope `rise:run` such as `7:12` (roof) or `1:15` (ramp), atan(rise/run).
 * With `relativeToDeg`, a leading plus adds; a leading minus is the sign of the angle.
 *
 * @example parseAngle('7:12') // → valueDeg 30.256…
 */
export function parseAngle(text: string, options: { relativeToDeg?: number } = {}): AngleEntry {
  const asTyped = text.trim();
  const plain = asTyped.toLowerCase().replace(/[−–]/g, '-').replace(/\s+/g, ' ');
  const slope = SLOPE.exec(plain);
  if (slope) {
    const rise = toNumber(slope[1]!);
    const run = toNumber(slope[2]!);
    if (rise === 0 && run === 0) return refuseAngle(asTyped, 'is a slope without length');
    return { ok: true, valueDeg: radToDeg(Math.atan2(rise, run)), asTyped, relative: false };
  }
  const degrees = DEGREES.exec(plain);
  if (!degrees) return refuseAngle(asTyped, 'is not an angle');
  const valueDeg = toNumber(degrees[2]!);
  if (degrees[1] !== '+' || options.relativeToDeg === undefined) {
    return { ok: true, valueDeg: degrees[1] === '-' ? -valueDeg : valueDeg, asTyped, relative: false };
  }
  return { ok: true, valueDeg: options.relativeToDeg + valueDeg, asTyped, relative: true };
}

const toNumber = (text: string): number => Number(text.replace(',', '.'));
