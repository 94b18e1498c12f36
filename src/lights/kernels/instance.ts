import { HEAP } from './layout.ts';
import { WASM_HEX } from './wasmBytes.mjs';

/** What the compiled module exports. Addresses are bytes in its memory. */
export interface KernelCalls {
  memory: WebAssembly.Memory;
  setTrees(triangleNodes: number, triangleBlocks: number, bodyNodes: number, bodyBlocks: number, bodies: number): void;
  seeEdges(count: number): number;
  setSolids(at: number, count: number): void;
  seeTile(): number;
  setGroups(at: number, count: number, list: number, lux: number, depth: number, result: number): void;
  reachGroups(): number;
  lightPoints(points: number, count: number, oneSided: number): number;
  seePoints(points: number, count: number, stride: number, oneSided: number, out: number): void;
  dimPoints(count: number, sides: number, leafy: number): number;
  lightUp(shadowed: number, leafy: number): void;
  anyHit(
    ox: number,
    oy: number,
    oz: number,
    dx: number,
    dy: number,
    dz: number,
    tMin: number,
    tMax: number,
    nx: number,
    ny: number,
    nz: number,
    shift: number,
    beyond2: number,
  ): number;
  anyHitMany(rays: number, count: number, out: number): void;
  nearest(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, tMin: number, tMax: number): number;
  mixPatches(record: number, patches: number, lattice: number, out: number): void;
  leafReach(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, tMax: number, depth: number): number;
  leafDepth(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, tMax: number): number;
}

/** One instance with a memory of its own. Views are made anew when the memory grows. */
export interface KernelMemory {
  calls: KernelCalls;
  f32: Float32Array;
  f64: Float64Array;
  i32: Int32Array;
  u32: Uint32Array;
  /** Keeps `bytes` bytes, 16-byte aligned, for as long as the instance lives; returns their address. */
  take(bytes: number): number;
}

const PAGE = 65536;
let compiled: WebAssembly.Module | null | undefined;

/** The compiled module, once a thread; null where WebAssembly or its SIMD is missing or not allowed. */
function compileOnce(): WebAssembly.Module | null {
  if (compiled !== undefined) return compiled;
  compiled = null;
  if (typeof WebAssembly === 'undefined') return compiled;
  try {
    const bytes = Uint8Array.from({ length: WASM_HEX.length / 2 }, (_, k) =>
      Number.parseInt(WASM_HEX.slice(2 * k, 2 * k + 2), 16),
    );
    if (WebAssembly.validate(bytes)) compiled = new WebAssembly.Module(bytes);
  } catch {
    // A content policy may forbid compiling; the reference code needs none.
  }
  return compiled;
}

/** True where the kernels can run. */
export const kernelsRun = (): boolean => compileOnce() !== null;

/** A fresh instance, or undefined where kernels cannot run. */
export function instantiateKernels(): KernelMemory | undefined {
  const module = compileOnce();
  if (!module) return undefined;
  const calls = new WebAssembly.Instance(module, {}).exports as unknown as KernelCalls;
  let next = HEAP;
  const memory: KernelMemory = {
    calls,
    f32: new Float32Array(calls.memory.buffer),
    f64: new Float64Array(calls.memory.buffer),
    i32: new Int32Array(calls.memory.buffer),
    u32: new Uint32Array(calls.memory.buffer),
    take(bytes) {
      const at = next;
      next += Math.ceil(bytes / 16) * 16;
      const missing = next - calls.memory.buffer.byteLength;
      if (missing > 0) calls.memory.grow(Math.ceil(missing / PAGE));
      if (missing > 0 || memory.f32.length === 0) lookAgain(memory);
      return at;
    },
  };
  if (calls.memory.buffer.byteLength < HEAP) calls.memory.grow(Math.ceil((HEAP - calls.memory.buffer.byteLength) / PAGE));
  lookAgain(memory);
  return memory;
}

function lookAgain(memory: KernelMemory): void {
  const { buffer } = memory.calls.memory;
  memory.f32 = new Float32Array(buffer);
  memory.f64 = new Float64Array(buffer);
  memory.i32 = new Int32Array(buffer);
  memory.u32 = new Uint32Array(buffer);
}
