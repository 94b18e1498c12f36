import type { SceneKernels } from './scene.ts';

/** Rays handed over at once. */
const BATCH = 2048;
/** Numbers a ray: origin, direction, how far. */
export const RAY_NUMBERS = 7;

/** Any hit for many rays (`RAY_NUMBERS` each): 1 where something opaque lies within reach, else 0. */
export function anyHitMany(kernels: SceneKernels, rays: Float32Array, out: Uint8Array): void {
  if (kernels.batchAt === 0) kernels.batchAt = kernels.take(BATCH * (RAY_NUMBERS * 4 + 1));
  const { batchAt, calls } = kernels;
  const count = rays.length / RAY_NUMBERS;
  const answers = batchAt + BATCH * RAY_NUMBERS * 4;
  for (let from = 0; from < count; from += BATCH) {
    const n = Math.min(BATCH, count - from);
    kernels.f32.set(rays.subarray(from * RAY_NUMBERS, (from + n) * RAY_NUMBERS), batchAt / 4);
    calls.anyHitMany(batchAt, n, answers);
    out.set(new Uint8Array(calls.memory.buffer, answers, n), from);
  }
}
