import { instantiateKernels, type KernelMemory } from './instance.ts';

const SAMPLES_SIDE = 32;
const TILE_BYTES = SAMPLES_SIDE * SAMPLES_SIDE * 12 + 16;
const MOST_POINTS = SAMPLES_SIDE * SAMPLES_SIDE + 128;
const HEAD_BYTES = 48;
const POINT_BYTES = 24;
/** Records come in multiples of this, so that the room of one that goes serves another. */
const ROOM_BYTES = 1024;
/** Patches are numbered by 16 bits. */
const MOST_PATCHES = 65536;

/** Columns and rows, both ends included. */
export interface Span {
  i0: number;
  i1: number;
  j0: number;
  j1: number;
}

/** What a record holds: weights of four patches on each point of a lattice of every `stride`-th sample. */
export interface PatchLattice {
  stride: number;
  /** Points a row of `patch` and `weight`. */
  side: number;
  lattice: Span;
  samples: Span;
  patch: Int32Array;
  weight: Float32Array;
}

/** A lattice in the kernels' memory. */
export interface KeptLattice {
  at: number;
  rooms: number;
}

/** Mixes the light of patches onto tiles in a memory of its own. */
export interface PatchMixer {
  /** Copies a lattice into the kernels' memory. */
  keep(of: PatchLattice): KeptLattice;
  /** Its room may serve another. */
  drop(kept: KeptLattice): void;
  /** RGB of the patches, three numbers each; copied unless they are the ones of last time. */
  load(patchRgb: ArrayLike<number>): void;
  /** The numbers of the patches loaded last have changed. */
  unload(): void;
  /** Writes the samples of the span, RGB, three numbers each, the tile from number `from` on. */
  write(kept: KeptLattice, samples: Span, out: Float32Array, from: number): void;
  readonly byteLength: number;
}

/** A mixer for so many patches; undefined where kernels cannot run. */
export function createPatchMixer(patches: number): PatchMixer | undefined {
  const memory = patches <= MOST_PATCHES ? instantiateKernels() : undefined;
  if (!memory) return undefined;
  const patchesAt = memory.take(Math.max(1, patches) * 16);
  const latticeAt = memory.take(MOST_POINTS * 16);
  const tileAt = memory.take(TILE_BYTES);
  const free: number[][] = [];
  let loaded: ArrayLike<number> | undefined;
  return {
    keep(of) {
      const { lattice: l } = of;
      const bytes = HEAD_BYTES + (l.i1 - l.i0 + 1) * (l.j1 - l.j0 + 1) * POINT_BYTES;
      const rooms = Math.ceil(bytes / ROOM_BYTES);
      const at = free[rooms]?.pop() ?? memory.take(rooms * ROOM_BYTES);
      writeRecord(memory, at, of);
      return { at, rooms };
    },
    drop({ at, rooms }) {
      free[rooms] ??= [];
      free[rooms].push(at);
    },
    load(patchRgb) {
      if (loaded === patchRgb) return;
      loaded = patchRgb;
      const { f32 } = memory;
      for (let p = 0, from = 0, at = patchesAt / 4; p < patches; p++, from += 3, at += 4) {
        f32[at] = patchRgb[from]!;
        f32[at + 1] = patchRgb[from + 1]!;
        f32[at + 2] = patchRgb[from + 2]!;
      }
    },
    unload() {
      loaded = undefined;
    },
    write({ at }, { i0, i1, j0, j1 }, out, from) {
      memory.calls.mixPatches(at, patchesAt, latticeAt, tileAt);
      const row = SAMPLES_SIDE * 3;
      const first = tileAt / 4;
      if (i0 === 0 && i1 === SAMPLES_SIDE - 1) {
        out.set(memory.f32.subarray(first + j0 * row, first + (j1 + 1) * row), from + j0 * row);
        return;
      }
      for (let j = j0; j <= j1; j++) {
        const line = j * row;
        out.set(memory.f32.subarray(first + line + i0 * 3, first + line + (i1 + 1) * 3), from + line + i0 * 3);
      }
    },
    get byteLength() {
      return memory.calls.memory.buffer.byteLength;
    },
  };
}

function writeRecord({ i32, f32 }: KernelMemory, at: number, of: PatchLattice): void {
  const { stride, side, lattice: l, samples: s, patch, weight } = of;
  i32.set([stride, l.i0, l.i1, l.j0, l.j1, s.i0, s.i1, s.j0, s.j1], at / 4);
  let point = (at + HEAD_BYTES) / 4;
  for (let b = l.j0; b <= l.j1; b++) {
    for (let a = l.i0; a <= l.i1; a++, point += POINT_BYTES / 4) {
      const k = (b * side + a) * 4;
      i32[point] = patch[k]! | (patch[k + 1]! << 16);
      i32[point + 1] = patch[k + 2]! | (patch[k + 3]! << 16);
      for (let c = 0; c < 4; c++) f32[point + 2 + c] = weight[k + c]!;
    }
  }
}
