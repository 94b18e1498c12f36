import type { SceneModel } from '../../scene/index.ts';
import type { BounceCaster, PatchWeights } from './types.ts';

/** Cells of one face. */
export interface FaceGrid {
  s: Float64Array;
  t: Float64Array;
  sMid: Float64Array;
  tMid: Float64Array;
  columns: number;
  rows: number;
  /** Patch of each cell, −1 where there is none. */
  cell: Int32Array;
  /** Nearest patch for cells without one, same layout. */
  nearest: Int32Array;
  /** 1 where nothing stands between a cell and the next along s, or along t; both have a patch. */
  openS: Uint8Array;
  openT: Uint8Array;
}

export function emptyGrid(s: readonly number[], t: readonly number[]): FaceGrid {
  const mid = (cuts: readonly number[]): Float64Array =>
    Float64Array.from({ length: cuts.length - 1 }, (_, i) => (cuts[i]! + cuts[i + 1]!) / 2);
  const columns = s.length - 1;
  const rows = t.length - 1;
  const cells = columns * rows;
  return {
    s: Float64Array.from(s),
    t: Float64Array.from(t),
    sMid: mid(s),
    tMid: mid(t),
    columns,
    rows,
    cell: new Int32Array(cells).fill(-1),
    nearest: new Int32Array(cells).fill(-1),
    openS: new Uint8Array(cells),
    openT: new Uint8Array(cells),
  };
}

/** Give cells without a patch the nearest one, so that a ray that lands beside a cover still counts. */
export function fillNearest(grid: FaceGrid): void {
  const { columns, rows, cell, nearest } = grid;
  nearest.set(cell);
  const queue: number[] = [];
  for (let c = 0; c < cell.length; c++) if (cell[c]! >= 0) queue.push(c);
  for (let head = 0; head < queue.length; head++) {
    const c = queue[head]!;
    const [i, j] = [c % columns, Math.floor(c / columns)];
    for (const [di, dj] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ] as const) {
      const [ni, nj] = [i + di, j + dj];
      const n = nj * columns + ni;
      if (ni < 0 || nj < 0 || ni >= columns || nj >= rows || nearest[n]! >= 0) continue;
      nearest[n] = nearest[c]!;
      queue.push(n);
    }
  }
}

/** Height over a face at which neighbours look for something that stands between them, metres. */
const LOOK_M = 0.03;

/**
 * Mark which neighbouring cells see each other close over the face: light is not carried across a wall or a kerb that
 * stands between two patches of the same ground. Yields between rows of cells.
 */
export function* linkCells(
  scene: SceneModel,
  caster: BounceCaster,
  grids: readonly (FaceGrid | undefined)[],
): Generator<void, void, void> {
  for (let index = 0; index < grids.length; index++) {
    const grid = grids[index];
    if (!grid) continue;
    const face = scene.faces[index]!;
    const { columns, rows, cell } = grid;
    const place = (s: number, t: number, axis: 0 | 1 | 2): number =>
      face.origin[axis] + s * face.u[axis] + t * face.v[axis] + LOOK_M * face.normal[axis];
    const open = (s: number, t: number, along: 'u' | 'v', distance: number): number => {
      const d = face[along];
      return caster.blocked(place(s, t, 0), place(s, t, 1), place(s, t, 2), d[0], d[1], d[2], distance) ? 0 : 1;
    };
    for (let j = 0; j < rows; j++) {
      for (let i = 0; i < columns; i++) {
        const c = j * columns + i;
        if (cell[c]! < 0) continue;
        const [s, t] = [grid.sMid[i]!, grid.tMid[j]!];
        if (i + 1 < columns && cell[c + 1]! >= 0) grid.openS[c] = open(s, t, 'u', grid.sMid[i + 1]! - s);
        if (j + 1 < rows && cell[c + columns]! >= 0) grid.openT[c] = open(s, t, 'v', grid.tMid[j + 1]! - t);
      }
      yield;
    }
  }
}

/** Last index with list[index] ≤ value, kept inside 0…last. */
function span(list: Float64Array, value: number, last: number): number {
  let lo = 0;
  let hi = list.length - 1;
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (list[mid]! <= value) lo = mid;
    else hi = mid;
  }
  const index = list[hi]! <= value ? hi : lo;
  return Math.min(last, Math.max(0, index));
}

/** Patch at a place; `snap` takes the nearest where the cell has none. −1: no patch. */
export function patchAt(grid: FaceGrid | undefined, s: number, t: number, snap: boolean): number {
  if (!grid) return -1;
  const i = span(grid.s, s, grid.columns - 1);
  const j = span(grid.t, t, grid.rows - 1);
  return (snap ? grid.nearest : grid.cell)[j * grid.columns + i]!;
}

/**
 * Bilinear weights between cell centres; only cells with a patch that can be reached from the cell of the place without
 * crossing what stands between count. Fills and returns `out`.
 */
export function interpolate(grid: FaceGrid | undefined, s: number, t: number, out: PatchWeights): PatchWeights {
  out.count = 0;
  if (!grid) return out;
  const { columns, rows } = grid;
  const i = span(grid.sMid, s, columns - 1);
  const j = span(grid.tMid, t, rows - 1);
  const fs = share(grid.sMid, i, s);
  const ft = share(grid.tMid, j, t);
  const home = span(grid.t, t, rows - 1) * columns + span(grid.s, s, columns - 1);
  let sum = 0;
  for (let corner = 0; corner < 4; corner++) {
    const [di, dj] = [corner & 1, corner >> 1];
    const weight = (di ? fs : 1 - fs) * (dj ? ft : 1 - ft);
    if (!(weight > 0)) continue;
    const c = (j + dj) * columns + i + di;
    const patch = grid.cell[c]!;
    if (patch < 0 || !reached(grid, home, c)) continue;
    out.patch[out.count] = patch;
    out.weight[out.count++] = weight;
    sum += weight;
  }
  if (sum > 1e-6) {
    for (let k = 0; k < out.count; k++) out.weight[k]! /= sum;
    return out;
  }
  const patch = grid.nearest[home]!;
  out.count = patch < 0 ? 0 : 1;
  out.patch[0] = patch;
  out.weight[0] = 1;
  return out;
}

/** Is a cell open to another at most one step away each way? A place without a patch of its own is open to all. */
function reached(grid: FaceGrid, from: number, to: number): boolean {
  if (from === to || grid.cell[from]! < 0) return true;
  const { columns, openS, openT } = grid;
  const [low, high] = [Math.min(from, to), Math.max(from, to)];
  const step = high - low;
  if (step === 1) return openS[low] === 1;
  if (step === columns) return openT[low] === 1;
  if (step === columns + 1) return (openS[low]! & openT[low + 1]!) === 1 || (openT[low]! & openS[low + columns]!) === 1;
  return (openS[low - 1]! & openT[low - 1]!) === 1 || (openT[low]! & openS[high]!) === 1;
}

/** Where a value lies between centre i and the next, 0…1. */
function share(mid: Float64Array, i: number, value: number): number {
  if (i + 1 >= mid.length) return 0;
  return Math.min(1, Math.max(0, (value - mid[i]!) / (mid[i + 1]! - mid[i]!)));
}
