import type { Vec3 } from '../../scene/index.ts';

/**
 * Places of the lamps of a string that hangs between two points: a catenary, lamps at even distances along the cable.
 *
 *     y = a·cosh((x − x₀)/a) + c,   sag = depth of the lowest point under the chord's middle
 *
 * @param count lamps, 1 or more; they divide the cable into count + 1 equal lengths, none at the ends.
 * @param sagM at the middle, 0 for a taut line.
 * @throws {RangeError} points one above the other, a count under 1 or a negative sag.
 * @source catenary, closed form (handbook).
 * @see tests/lights/lampShape.test.ts
 */
export function stringLightPlaces(from: Vec3, to: Vec3, count: number, sagM: number): Vec3[] {
  const span = Math.hypot(to[0] - from[0], to[2] - from[2]);
  if (!(span > 0)) throw new RangeError('string lights: two points one above the other; they need a span');
  if (!Number.isInteger(count) || count < 1) throw new RangeError(`string lights: ${count} lamps; 1 or more are accepted`);
  if (!(sagM >= 0)) throw new RangeError(`string lights: a sag of ${sagM} m; 0 or more is accepted`);
  const rise = to[1] - from[1];
  const place = (x: number, y: number): Vec3 => [
    from[0] + ((to[0] - from[0]) * x) / span,
    from[1] + y,
    from[2] + ((to[2] - from[2]) * x) / span,
  ];
  if (sagM === 0) return evenly(count).map((share) => place(share * span, share * rise));
  const { a, x0 } = catenary(span, rise, sagM);
  const arc = (x: number): number => a * (Math.sinh((x - x0) / a) + Math.sinh(x0 / a));
  const whole = arc(span);
  return evenly(count).map((share) => {
    const x = x0 + a * Math.asinh((share * whole) / a - Math.sinh(x0 / a));
    return place(x, a * (Math.cosh((x - x0) / a) - Math.cosh(x0 / a)));
  });
}

const evenly = (count: number): number[] => Array.from({ length: count }, (_, k) => (k + 1) / (count + 1));

/** Parameter a and lowest place x₀ of the catenary through both ends with this sag at mid-span, by bisection. */
function catenary(span: number, rise: number, sagM: number): { a: number; x0: number } {
  const x0Of = (a: number): number => span / 2 - a * Math.asinh(rise / (2 * a * Math.sinh(span / (2 * a))));
  const sagOf = (a: number): number => {
    const x0 = x0Of(a);
    return rise / 2 - a * (Math.cosh((span / 2 - x0) / a) - Math.cosh(x0 / a));
  };
  let [low, high] = [span / 200, span * 1e4];
  for (let i = 0; i < 200; i++) {
    const mid = Math.sqrt(low * high);
    if (sagOf(mid) > sagM) low = mid;
    else high = mid;
  }
  const a = Math.sqrt(low * high);
  return { a, x0: x0Of(a) };
}
