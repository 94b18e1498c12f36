/**
 * Points of Sobol's sequence (direction numbers of Joe & Kuo 2008, first four dimensions), scrambled by nested uniform
 * scrambling in the hashed form of Laine & Karras 2011. Every patch scrambles with a seed of its own, so neighbours do not
 * share their error; every count that is a power of two fills each of its strata once. Deterministic.
 */
const DIMENSIONS = 4;
const BITS = 32;
const directions = directionNumbers();
let table = new Uint32Array(0);

/** Direction numbers as 32-bit fractions, dimension by dimension. */
function directionNumbers(): Uint32Array[] {
  const polynomials = [
    { degree: 1, a: 0, m: [1] },
    { degree: 2, a: 1, m: [1, 3] },
    { degree: 3, a: 1, m: [1, 3, 1] },
  ];
  const first = Uint32Array.from({ length: BITS }, (_, k) => 2 ** (31 - k));
  return [first, ...polynomials.map(({ degree, a, m }) => extend(degree, a, m))];
}

function extend(degree: number, a: number, m: readonly number[]): Uint32Array {
  const v = new Uint32Array(BITS);
  for (let k = 0; k < BITS; k++) {
    if (k < degree) {
      v[k] = m[k]! * 2 ** (31 - k);
      continue;
    }
    let x = v[k - degree]! ^ (v[k - degree]! >>> degree);
    for (let i = 1; i < degree; i++) if ((a >> (degree - 1 - i)) & 1) x ^= v[k - i]!;
    v[k] = x >>> 0;
  }
  return v;
}

/** Unscrambled points 0…count, four numbers each; grows on demand. */
function points(count: number): Uint32Array {
  if (table.length >= count * DIMENSIONS) return table;
  const size = Math.max(1024, 2 ** Math.ceil(Math.log2(count)));
  table = new Uint32Array(size * DIMENSIONS);
  for (let i = 0; i < size; i++) {
    for (let d = 0; d < DIMENSIONS; d++) {
      let x = 0;
      for (let k = 0, rest = i; rest > 0; k++, rest >>>= 1) if (rest & 1) x ^= directions[d]![k]!;
      table[i * DIMENSIONS + d] = reversed(x);
    }
  }
  return table;
}

/** Fill `out` (two or four numbers 0…1) with point `index` of the sequence that belongs to `seed`. */
export function sobol(index: number, seed: number, out: Float64Array): void {
  const all = points(index + 1);
  for (let d = 0; d < out.length; d++) {
    out[d] = (reversed(scrambled(all[index * DIMENSIONS + d]!, hash(seed, d))) >>> 0) * 2 ** -32;
  }
}

/** Owen scrambling on reversed bits: each bit is flipped by a hash of the bits above it. */
function scrambled(reversedBits: number, seed: number): number {
  let x = (reversedBits + seed) | 0;
  x ^= Math.imul(x, 0x6c50b47c);
  x ^= Math.imul(x, 0xb82f1e52);
  x ^= Math.imul(x, 0xc7afe638);
  x ^= Math.imul(x, 0x8d22f6e6);
  return x;
}

function reversed(value: number): number {
  let x = value;
  x = ((x >>> 1) & 0x55555555) | ((x & 0x55555555) << 1);
  x = ((x >>> 2) & 0x33333333) | ((x & 0x33333333) << 2);
  x = ((x >>> 4) & 0x0f0f0f0f) | ((x & 0x0f0f0f0f) << 4);
  x = ((x >>> 8) & 0x00ff00ff) | ((x & 0x00ff00ff) << 8);
  return (x >>> 16) | (x << 16);
}

/** Hash of (seed, dimension) to 32 bits. */
function hash(seed: number, dimension: number): number {
  let h = Math.imul(seed + 1, 0x9e3779b1) ^ Math.imul(dimension + 1, 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
  return h ^ (h >>> 15);
}

/** Cosine-weighted direction round `normal` from two numbers 0…1 (Shirley & Chiu's concentric map, lifted to the sphere). */
export function cosineDirection(p: number, q: number, frame: Float64Array, out: Float64Array): void {
  const a = 2 * p - 1;
  const b = 2 * q - 1;
  let r = 0;
  let phi = 0;
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
