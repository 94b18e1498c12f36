// Light of the patches on the samples of a tile, RGB.

/** Numbers of a record before its points: stride, lattice i0, i1, j0, j1, samples i0, i1, j0, j1. */
const HEAD: usize = 48;
/** Bytes of a point of the lattice: four patches (u16), then their weights (f32). */
const POINT: usize = 24;

/** Weighted sum of four patches. */
function pointLight(point: usize, patches: usize): v128 {
  const a = v128.mul<f32>(v128.load32_splat(point + 8), v128.load(patches + ((<usize>load<u16>(point)) << 4)));
  const b = v128.mul<f32>(v128.load32_splat(point + 12), v128.load(patches + ((<usize>load<u16>(point + 2)) << 4)));
  const c = v128.mul<f32>(v128.load32_splat(point + 16), v128.load(patches + ((<usize>load<u16>(point + 4)) << 4)));
  const d = v128.mul<f32>(v128.load32_splat(point + 20), v128.load(patches + ((<usize>load<u16>(point + 6)) << 4)));
  return f32x4.add(f32x4.add(a, b), f32x4.add(c, d));
}

/**
 * Writes the samples of the record's span, 32 × 32 of three f32 each from `out` on; each store spills one number into the
 * next place, which is written later or lies outside the span. `patches`: four f32 each; `lattice`: room for its points.
 */
export function mixPatches(record: usize, patches: usize, lattice: usize, out: usize): void {
  const stride = load<i32>(record);
  if (stride === 1) {
    mixDense(record, patches, out);
    return;
  }
  const i0 = load<i32>(record + 4);
  const i1 = load<i32>(record + 8);
  const j0 = load<i32>(record + 12);
  const j1 = load<i32>(record + 16);
  const wide = i1 - i0 + 1;
  const points = wide * (j1 - j0 + 1);
  for (let p = 0; p < points; p++) {
    v128.store(lattice + ((<usize>p) << 4), pointLight(record + HEAD + <usize>p * POINT, patches));
  }
  const si0 = load<i32>(record + 20);
  const si1 = load<i32>(record + 24);
  const sj1 = load<i32>(record + 32);
  const perStep = f32x4.splat(<f32>1 / <f32>stride);
  for (let j = load<i32>(record + 28); j <= sj1; j++) {
    let b = j / stride;
    if (b < j0) b = j0;
    if (b > j1 - 1) b = j1 - 1;
    const fb = f32x4.splat(<f32>(j - b * stride) / <f32>stride);
    const low = lattice + ((<usize>((b - j0) * wide)) << 4);
    const high = low + ((<usize>wide) << 4);
    const line = out + <usize>(j << 5) * 12;
    let left = between(v128.load(low), v128.load(high), fb);
    for (let a = i0; a < i1; a++) {
      const at = (<usize>(a - i0 + 1)) << 4;
      const right = between(v128.load(low + at), v128.load(high + at), fb);
      const step = f32x4.mul(f32x4.sub(right, left), perStep);
      const first = a * stride;
      let from = si0;
      if (first > from) from = first;
      let to = first + stride - 1;
      if (a === i1 - 1 || to > si1) to = si1;
      let light = f32x4.add(left, f32x4.mul(step, f32x4.splat(<f32>(from - first))));
      for (let i = from; i <= to; i++) {
        v128.store(line + <usize>i * 12, light);
        light = f32x4.add(light, step);
      }
      left = right;
    }
  }
}

function between(a: v128, b: v128, f: v128): v128 {
  return f32x4.add(a, f32x4.mul(f, f32x4.sub(b, a)));
}

/** A point of the lattice for every sample. */
function mixDense(record: usize, patches: usize, out: usize): void {
  const i0 = load<i32>(record + 4);
  const wide = load<i32>(record + 8) - i0 + 1;
  const j0 = load<i32>(record + 12);
  const si0 = load<i32>(record + 20);
  const si1 = load<i32>(record + 24);
  const sj1 = load<i32>(record + 32);
  for (let j = load<i32>(record + 28); j <= sj1; j++) {
    let point = record + HEAD + <usize>((j - j0) * wide + si0 - i0) * POINT;
    let at = out + <usize>((j << 5) + si0) * 12;
    for (let i = si0; i <= si1; i++) {
      v128.store(at, pointLight(point, patches));
      point += POINT;
      at += 12;
    }
  }
}
