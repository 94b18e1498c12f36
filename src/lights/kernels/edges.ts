import { EDGE_ALLOWED, EDGE_AT, EDGE_SEEN, JITTER, PARAM_LENS, PARAMS } from './layout.ts';
import type { KernelMemory } from './instance.ts';

/** Rays an edge sample may shoot, as bits. */
export const ALL_RAYS = 0xfff;

/** Tells an instance where rays start in a texel and end on the lens: twelve times (a, b, x, y). */
export function setJitter(kernels: KernelMemory, jitter: Float64Array): void {
  for (let k = 0; k < 12; k++) for (let c = 0; c < 4; c++) kernels.f32[JITTER / 4 + c * 12 + k] = jitter[k * 4 + c]!;
}

/**
 * Shares of texel and lens seen, and rays shot for them, at shadow edges of the tile that `lightTile` was last called for.
 *
 * @param allowed rays of a sample that start on the face, as bits; 0: the sample keeps `hard`.
 */
export function seeEdges(
  kernels: KernelMemory,
  at: Uint16Array,
  lensRadiusM: number,
  allowed: (sample: number) => number,
  shadow: Uint32Array,
): { seen: Float32Array; rays: number } {
  const { i32, calls, f32, f64 } = kernels;
  f64[PARAMS / 8 + PARAM_LENS] = lensRadiusM;
  for (let n = 0; n < at.length; n++) {
    i32[EDGE_AT / 4 + n] = at[n]!;
    i32[EDGE_ALLOWED / 4 + n] = allowed(at[n]!);
  }
  const rays = calls.seeEdges(at.length);
  const seen = f32.slice(EDGE_SEEN / 4, EDGE_SEEN / 4 + at.length);
  for (let n = 0; n < at.length; n++) {
    const k = at[n]!;
    if (i32[EDGE_ALLOWED / 4 + n] === 0) seen[n] = 1 - ((shadow[k >> 5]! >>> (k & 31)) & 1);
  }
  return { seen, rays };
}
