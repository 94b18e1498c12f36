/**
 * Low-discrepancy points of Roberts' generalised golden ratio: fraction(shift + index · α), α_k = φ_d^−(k+1) with φ_d the
 * real root of x^(d+1) = x + 1. Deterministic; a shift of its own for each patch (Cranley & Patterson 1976) keeps
 * neighbours from sharing their error.
 */
const alphas4 = rootPowers(4);
const alphas2 = rootPowers(2);

function rootPowers(dimensions: number): Float64Array {
  let x = 1.5;
  for (let step = 0; step < 60; step++) x = (1 + x) ** (1 / (dimensions + 1));
  return Float64Array.from({ length: dimensions }, (_, k) => 1 / x ** (k + 1));
}

/** Fill `out` with point `index` of the four-dimensional sequence of one patch. */
export function point4(index: number, patch: number, out: Float64Array): void {
  for (let k = 0; k < 4; k++) {
    const v = shiftOf(patch, k) + (index + 1) * alphas4[k]!;
    out[k] = v - Math.floor(v);
  }
}

/** Fill `out` with point `index` of the plane sequence. */
export function point2(index: number, seed: number, out: Float64Array): void {
  for (let k = 0; k < 2; k++) {
    const v = shiftOf(seed, k) + (index + 1) * alphas2[k]!;
    out[k] = v - Math.floor(v);
  }
}

/** Hash of (seed, dimension) to 0…1. */
function shiftOf(seed: number, dimension: number): number {
  let h = Math.imul(seed + 1, 0x9e3779b1) ^ Math.imul(dimension + 1, 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
  return ((h ^ (h >>> 15)) >>> 0) / 4294967296;
}

/** Cosine-weighted direction round `normal` from two numbers 0…1 (Shirley & Chiu's concentric map, lifted to the sphere). */
export function cosineDirection(p: number, q: number, frame: Float64Array, out: Float64Array): void {
  const a = 2 * p - 1;
  const b = 2 * q - 1;
  let [r, phi] = [0, 0];
  if (a !== 0 || b !== 0) {
    if (Math.abs(a) > Math.abs(b)) {
      r = a;
      phi = (Math.PI / 4) * (b / a);
    } else {
      r = b;
      phi = Math.PI / 2 - (Math.PI / 4) * (a / b);
    }
  }
  const x = r * Math.cos(phi);
  const y = r * Math.sin(phi);
  const z = Math.sqrt(Math.max(0, 1 - x * x - y * y));
  out[0] = x * frame[0]! + y * frame[3]! + z * frame[6]!;
  out[1] = x * frame[1]! + y * frame[4]! + z * frame[7]!;
  out[2] = x * frame[2]! + y * frame[5]! + z * frame[8]!;
}

/** Two tangents and the normal, 9 numbers. `normal` is made unit. @throws {RangeError} for a zero or non-finite normal. */
export function frameOf(normal: ArrayLike<number>): Float64Array {
  const length = Math.hypot(normal[0]!, normal[1]!, normal[2]!);
  if (!(length > 0 && Number.isFinite(length))) throw new RangeError('normal: a vector of finite length above 0 is accepted');
  const [x, y, z] = [normal[0]! / length, normal[1]! / length, normal[2]! / length];
  const sign = z >= 0 ? 1 : -1;
  const a = -1 / (sign + z);
  const b = x * y * a;
  return Float64Array.of(1 + sign * x * x * a, sign * b, -sign * x, b, sign + y * y * a, -y, x, y, z);
}
