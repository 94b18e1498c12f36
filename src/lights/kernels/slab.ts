/** Floats a slab holds: many short arrays share one buffer, since each buffer of its own costs the collector dearly. */
const SLAB = 16384;

let slab = new Float32Array(0);
let used = 0;

/** A copy of `from[start, end)` as a view of a shared buffer: never hand it over to another thread, copy it. */
export function keepShort(from: Float32Array, start: number, end: number): Float32Array {
  const n = end - start;
  if (n > SLAB / 16) return from.slice(start, end);
  if (used + n > slab.length) {
    slab = new Float32Array(SLAB);
    used = 0;
  }
  const out = slab.subarray(used, used + n);
  for (let k = 0; k < n; k++) slab[used + k] = from[start + k]!;
  used += n;
  return out;
}
