import { inchesToM } from './convert.ts';

/** Entry that was not taken: one sentence that says why, and entries that would be. The old value stays. */
export interface Refusal {
  ok: false;
  reason: string;
  accepted: readonly string[];
}

const LENGTHS = [`6' 8"`, '80 in', '2.03 m'] as const;

function sentence(typed: string, what: string, [a, b, c]: readonly [string, string, string]): Refusal {
  return { ok: false, reason: `'${typed}' ${what}. Try ${a}, ${b} or ${c}.`, accepted: [a, b, c] };
}

/** A length refused, with the standing examples. */
export function refuseLength(typed: string, what: string): Refusal {
  return sentence(typed, what, LENGTHS);
}

/** Inches before feet: most likely the marks were swapped, so the examples read the figures in the order typed. */
export function refuseSwapped(typed: string, first: number, second: number): Refusal {
  const [feet, inches] = second < 12 && Number.isInteger(first) ? [first, second] : [second, first];
  if (!Number.isInteger(feet) || inches >= 12) return refuseLength(typed, 'reads inches before feet');
  const total = feet * 12 + inches;
  return sentence(typed, 'reads inches before feet', [`${feet}' ${inches}"`, `${total} in`, `${inchesToM(total).toFixed(2)} m`]);
}

/** An angle refused. */
export function refuseAngle(typed: string, what: string): Refusal {
  return sentence(typed, what, ['35', '35°', '7:12']);
}
