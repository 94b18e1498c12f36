import type { Vec3 } from '../../../scene/index.ts';

/** Strip of cells side by side along x: from x0 to x1, z ± half a cell, on the ground of its first cell. */
export interface CellRow {
  x0: number;
  x1: number;
  z: number;
  y: number;
}

const keyOf = (i: number, j: number) => `${i},${j}`;

/** Cells of a region joined into rows and, apart from them, the sides that no two cells share: its edge. */
export function regionOf(cells: readonly Vec3[], cellM: number): { rows: CellRow[]; edge: [Vec3, Vec3][] } {
  const at = new Map(cells.map((c) => [keyOf(Math.round(c[0] / cellM), Math.round(c[2] / cellM)), c]));
  const half = cellM / 2;
  const edge: [Vec3, Vec3][] = [];
  const rows: CellRow[] = [];
  const sorted = [...cells].sort((a, b) => a[2] - b[2] || a[0] - b[0]);
  for (const [x, y, z] of sorted) {
    const [i, j] = [Math.round(x / cellM), Math.round(z / cellM)];
    const last = rows.at(-1);
    if (last && last.z === z && Math.abs(last.x1 - (x - half)) < 1e-6 && Math.abs(last.y - y) < 0.02) last.x1 = x + half;
    else rows.push({ x0: x - half, x1: x + half, z, y });
    const corner = (dx: number, dz: number): Vec3 => [x + dx * half, y, z + dz * half];
    if (!at.has(keyOf(i - 1, j))) edge.push([corner(-1, -1), corner(-1, 1)]);
    if (!at.has(keyOf(i + 1, j))) edge.push([corner(1, -1), corner(1, 1)]);
    if (!at.has(keyOf(i, j - 1))) edge.push([corner(-1, -1), corner(1, -1)]);
    if (!at.has(keyOf(i, j + 1))) edge.push([corner(-1, 1), corner(1, 1)]);
  }
  return { rows, edge };
}
