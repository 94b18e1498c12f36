import type { BounceModel } from '../bounce/index.ts';
import type { KeptLattice, PatchLattice, PatchMixer, Span } from '../kernels/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;

/** Lattice on which fine tiles read the patches, metres. */
const LATTICE_M = 0.16;

/** How a tile reads the patches: weights on a lattice of every `stride`-th sample, bilinear between. */
export interface PatchReading extends PatchLattice {
  /** Patches it reads at all. */
  used: Int32Array;
  /** Where the kernels hold the lattice; `patch` and `weight` are then empty. */
  kept: KeptLattice | undefined;
  /** By how much its samples get more or less than that, near small bodies. */
  contact?: Float32Array | undefined;
}

/** Patches are some ten times coarser than fine cells, so fine tiles read them on a lattice of 16 cm. */
export function readPatches(bounce: BounceModel, node: TileNode, mixer: PatchMixer | undefined): PatchReading {
  const { cellM, s0M, t0M, face } = node.ref;
  const stride = Math.max(1, Math.round(LATTICE_M / cellM));
  const side = Math.floor((TILE_SAMPLES - 1 + stride - 1) / stride) + 1;
  const samples = validSpan(node);
  const first = (k: number): number => Math.min(side - 2, Math.floor(k / stride));
  const lattice: Span = {
    i0: first(samples.i0),
    i1: first(samples.i1) + 1,
    j0: first(samples.j0),
    j1: first(samples.j1) + 1,
  };
  const reading: PatchReading = {
    stride,
    side,
    lattice,
    samples,
    patch: new Int32Array(side * side * 4),
    weight: new Float32Array(side * side * 4),
    used: new Int32Array(0),
    kept: undefined,
  };
  const used = new Set<number>();
  for (let b = lattice.j0; b <= lattice.j1; b++) {
    for (let a = lattice.i0; a <= lattice.i1; a++) {
      const found = bounce.interpolate(face, s0M + (a * stride - 0.5) * cellM, t0M + (b * stride - 0.5) * cellM);
      const at = (b * side + a) * 4;
      for (let k = 0; k < found.count; k++) {
        reading.patch[at + k] = found.patch[k]!;
        reading.weight[at + k] = found.weight[k]!;
        used.add(found.patch[k]!);
      }
    }
  }
  reading.used = Int32Array.from(used);
  if (mixer) {
    reading.kept = mixer.keep(reading);
    reading.patch = new Int32Array(0);
    reading.weight = new Float32Array(0);
  }
  return reading;
}

/** Bounds of the valid samples of a tile; all of it where there are none. */
function validSpan(node: TileNode): Span {
  const last = TILE_SAMPLES - 1;
  if (node.validCount === 0) return { i0: 0, i1: last, j0: 0, j1: last };
  let all = 0;
  for (let j = 0; j <= last; j++) all |= node.rows[j]!;
  let [j0, j1] = [0, last];
  while (node.rows[j0] === 0) j0++;
  while (node.rows[j1] === 0) j1--;
  return { i0: 31 - Math.clz32(all & -all), i1: 31 - Math.clz32(all), j0, j1 };
}

const lattice = new Float64Array(TILE_SAMPLES * TILE_SAMPLES * 3);
const row = new Float64Array(TILE_SAMPLES * 3);

/** Writes the indirect light of a tile's valid samples, RGB lux, the tile from number `tile` on. Along a row it runs straight from point to point of the lattice. */
export function writeIndirect(
  reading: PatchReading,
  patchRgb: ArrayLike<number>,
  out: Float32Array,
  tile: number,
  mixer: PatchMixer | undefined,
): void {
  const { side, stride, samples, kept } = reading;
  if (mixer && kept) {
    mixer.load(patchRgb);
    mixer.write(kept, samples, out, tile);
    return;
  }
  readLattice(reading, patchRgb);
  const { i0, i1, j0, j1 } = reading.lattice;
  const perStep = 1 / stride;
  for (let j = samples.j0; j <= samples.j1; j++) {
    const b = Math.min(j1 - 1, Math.max(j0, (j / stride) | 0));
    const fb = j / stride - b;
    const first = b * side * 3;
    const next = first + side * 3;
    for (let k = i0 * 3; k < i1 * 3 + 3; k++) {
      const low = lattice[first + k]!;
      row[k] = low + fb * (lattice[next + k]! - low);
    }
    const line = tile + j * TILE_SAMPLES * 3;
    for (let a = i0; a < i1; a++) {
      const p = a * 3;
      const from = Math.max(samples.i0, a * stride);
      const to = a === i1 - 1 ? samples.i1 : Math.min(samples.i1, a * stride + stride - 1);
      const dr = (row[p + 3]! - row[p]!) * perStep;
      const dg = (row[p + 4]! - row[p + 1]!) * perStep;
      const db = (row[p + 5]! - row[p + 2]!) * perStep;
      let run = from - a * stride;
      for (let o = line + from * 3; o <= line + to * 3; o += 3, run++) {
        out[o] = row[p]! + run * dr;
        out[o + 1] = row[p + 1]! + run * dg;
        out[o + 2] = row[p + 2]! + run * db;
      }
    }
  }
}

function readLattice(reading: PatchReading, patchRgb: ArrayLike<number>): void {
  const { side, patch, weight } = reading;
  const { i0, i1, j0, j1 } = reading.lattice;
  for (let b = j0; b <= j1; b++) {
    for (let p = b * side + i0; p <= b * side + i1; p++) {
      let r = 0;
      let g = 0;
      let c = 0;
      for (let k = p * 4; k < p * 4 + 4; k++) {
        const w = weight[k]!;
        if (w === 0) continue;
        const q = patch[k]! * 3;
        r += w * patchRgb[q]!;
        g += w * patchRgb[q + 1]!;
        c += w * patchRgb[q + 2]!;
      }
      lattice[p * 3] = r;
      lattice[p * 3 + 1] = g;
      lattice[p * 3 + 2] = c;
    }
  }
}

/** How the inner samples of a tile lie on patches: sample, patch and the area in common, one entry a pair. */
export interface SampleShares {
  sample: Uint16Array;
  patch: Int32Array;
  areaM2: Float32Array;
}

/**
 * Shares the cell of each inner sample among the patches it lies on, so that the flux that lands is the flux that bounces.
 * Coarse cells are cut in nine or four; what lies beyond the face's rectangle does not count.
 */
export function sharesOfSamples(bounce: BounceModel, node: TileNode, widthM: number, heightM: number): SampleShares {
  const { cellM, s0M, t0M, face } = node.ref;
  const cuts = cellM > 0.2 ? 3 : cellM > 0.1 ? 2 : 1;
  const part = cellM / cuts;
  const sample: number[] = [];
  const patch: number[] = [];
  const area: number[] = [];
  for (let k = 0; k < SAMPLES; k++) {
    const i = k & 31;
    const j = k >> 5;
    if (i === 0 || j === 0 || i === 31 || j === 31 || ((node.rows[j]! >>> i) & 1) === 0) continue;
    const before = sample.length;
    for (let c = 0; c < cuts * cuts; c++) {
      const s = s0M + (i - 1) * cellM + (c % cuts) * part;
      const t = t0M + (j - 1) * cellM + ((c / cuts) | 0) * part;
      const wide = Math.min(part, widthM - s);
      const high = Math.min(part, heightM - t);
      if (wide <= 0 || high <= 0) continue;
      const p = bounce.patchAt(face, s + wide / 2, t + high / 2);
      if (p < 0) continue;
      let at = before;
      while (at < sample.length && patch[at] !== p) at++;
      if (at < sample.length) area[at]! += wide * high;
      else {
        sample.push(k);
        patch.push(p);
        area.push(wide * high);
      }
    }
  }
  return { sample: Uint16Array.from(sample), patch: Int32Array.from(patch), areaM2: Float32Array.from(area) };
}
