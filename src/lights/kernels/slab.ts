/** Floats a slab holds: many short arrays share one buffer, since each buffer of its own costs the collector dearly. */
const SLAB = 16384;

let slab = new Float32Array(0);
let used = 0;

/** A copy of numbers as a view of a shared buffer: never hand it over to another thread, copy it. */
export function keepShort(values: Float32Array): Float32Array {
  const n = values.length;
  if (n > SLAB / 16) return values.slice();
  if (used + n > slab.length) {
    slab = new Float32Array(SLAB);
    used = 0;
  }
  const out = slab.subarray(used, used + n);
  used += n;
  out.set(values);
  return out;
}
