/** Table-driven float32 → IEEE 754 binary16, round to nearest by truncation with carry; values over 65,504 clamp. */
const base = new Uint16Array(512);
const shift = new Uint8Array(512);
for (let i = 0; i < 256; i++) {
  const e = i - 127;
  if (e < -24) {
    base[i] = 0;
    base[i | 256] = 0x8000;
    shift[i] = shift[i | 256] = 24;
  } else if (e < -14) {
    base[i] = 0x0400 >> (-e - 14);
    base[i | 256] = (0x0400 >> (-e - 14)) | 0x8000;
    shift[i] = shift[i | 256] = -e - 1;
  } else if (e <= 15) {
    base[i] = (e + 15) << 10;
    base[i | 256] = ((e + 15) << 10) | 0x8000;
    shift[i] = shift[i | 256] = 13;
  } else {
    base[i] = 0x7bff;
    base[i | 256] = 0xfbff;
    shift[i] = shift[i | 256] = 24;
  }
}
const floatView = new Float32Array(1);
const bitsView = new Uint32Array(floatView.buffer);

/** Half float of the 32 bits of a number. */
function halfOfBits(bits: number): number {
  const e = bits >>> 23;
  const s = shift[e]!;
  const rounded = base[e]! + (((bits & 0x007fffff) + (s > 1 ? 1 << (s - 1) : 0)) >>> s);
  return (rounded & 0x7fff) > 0x7bff ? (rounded & 0x8000) | 0x7bff : rounded;
}

/** Nearest half float of a number, as its 16 bits. */
export function halfFromFloat(value: number): number {
  floatView[0] = value;
  return halfOfBits(bitsView[0]!);
}

/** Number of 16 half-float bits. */
export function floatFromHalf(bits: number): number {
  const sign = bits & 0x8000 ? -1 : 1;
  const e = (bits >> 10) & 31;
  const m = bits & 1023;
  return sign * (e === 0 ? m * 2 ** -24 : (1 + m / 1024) * 2 ** (e - 15));
}

/** Writes RGB triples (three floats each) as RGBA halves into zeroed `out`; A is number `fourth.at` of the triples `fourth.of`, or 1. */
export function packRgb(
  out: Uint16Array,
  outAt: number,
  rgb: Float32Array,
  rgbAt: number,
  count: number,
  fourth?: { of: Float32Array; at: number },
): void {
  const bits = bitsOf(rgb);
  const others = fourth && bitsOf(fourth.of);
  const end = rgbAt + count * 3;
  for (let r = rgbAt, o = outAt, a = fourth?.at ?? 0; r < end; r += 3, o += 4, a += 3) {
    /* Most of a field is dark. */
    if (bits[r] !== 0) out[o] = halfOfBits(bits[r]!);
    if (bits[r + 1] !== 0) out[o + 1] = halfOfBits(bits[r + 1]!);
    if (bits[r + 2] !== 0) out[o + 2] = halfOfBits(bits[r + 2]!);
    if (!others) out[o + 3] = ONE;
    else if (others[a] !== 0) out[o + 3] = halfOfBits(others[a]!);
  }
}

const ONE = 0x3c00;

const bitsOf = (values: Float32Array): Uint32Array => new Uint32Array(values.buffer, values.byteOffset, values.length);
