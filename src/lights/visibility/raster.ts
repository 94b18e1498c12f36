import { TILE_SAMPLES } from '../types.ts';

/** Sample must lie this far beyond the occluder's plane (contact rule, visibility.md 5 in the project's notes). */
const BEYOND_M = 1e-4;

/** One tile as seen from one lamp: grid origin and lamp in face coordinates. */
export interface TileView {
  /** First sample relative to the lamp's foot: s of column 0, t of row 0. */
  x0: number;
  y0: number;
  cellM: number;
  /** Lamp over the face plane. */
  h: number;
  /** Rows that hold valid samples. */
  rowFrom: number;
  rowTo: number;
}

const slope = new Float64Array(4);
const lift = new Float64Array(4);
const base = new Float64Array(4);
const inverse = new Float64Array(4);

/**
 * Marks the samples that a triangle hides from the lamp: bit i of `shadow[j]`.
 *
 * Corners are given in face coordinates relative to the lamp (z: height over the face minus h). A sample x is hidden when
 * it lies in the cone that the triangle spans from the lamp, cross(a, b)·x ≥ 0 for all edges turned alike, and beyond the
 * triangle's plane by 0.1 mm. Each condition is linear in the column, so a row is one span. Neighbouring triangles share
 * exact negatives of the edge they have in common and test ≥ on both sides: no gap.
 */
export function rasterShadow(
  view: TileView,
  shadow: Uint32Array,
  ax: number,
  ay: number,
  az: number,
  bx: number,
  by: number,
  bz: number,
  cx: number,
  cy: number,
  cz: number,
): void {
  const { x0, y0, cellM, h } = view;
  const nabx = ay * bz - az * by;
  const naby = az * bx - ax * bz;
  const nabz = ax * by - ay * bx;
  const det = nabx * cx + naby * cy + nabz * cz;
  if (det === 0) return;
  let from = view.rowFrom;
  let to = view.rowTo;
  if (az < 0 && bz < 0 && cz < 0) {
    const pa = (-ay * h) / az;
    const pb = (-by * h) / bz;
    const pc = (-cy * h) / cz;
    from = Math.max(from, Math.ceil((Math.min(pa, pb, pc) - y0) / cellM - 1e-6));
    to = Math.min(to, Math.floor((Math.max(pa, pb, pc) - y0) / cellM + 1e-6));
    if (from > to) return;
    const qa = (-ax * h) / az;
    const qb = (-bx * h) / bz;
    const qc = (-cx * h) / cz;
    if ((Math.max(qa, qb, qc) - x0) / cellM < -1e-6) return;
    if ((Math.min(qa, qb, qc) - x0) / cellM > TILE_SAMPLES - 1 + 1e-6) return;
  }
  const sign = det > 0 ? 1 : -1;
  setForm(view, 0, nabx, naby, nabz, sign, 0);
  setForm(view, 1, by * cz - bz * cy, bz * cx - bx * cz, bx * cy - by * cx, sign, 0);
  setForm(view, 2, cy * az - cz * ay, cz * ax - cx * az, cx * ay - cy * ax, sign, 0);
  const ux = bx - ax;
  const uy = by - ay;
  const uz = bz - az;
  const vx = cx - ax;
  const vy = cy - ay;
  const vz = cz - az;
  const px = uy * vz - uz * vy;
  const py = uz * vx - ux * vz;
  const pz = ux * vy - uy * vx;
  setForm(view, 3, px, py, pz, sign, px * ax + py * ay + pz * az + sign * BEYOND_M * Math.sqrt(px * px + py * py + pz * pz));
  for (let j = from; j <= to; j++) {
    let low = 0;
    let high = TILE_SAMPLES - 1;
    for (let k = 0; k < 4; k++) {
      const at = base[k]! + lift[k]! * j;
      const m = slope[k]!;
      if (m > 0) {
        const i = Math.ceil(-at * inverse[k]!);
        if (i > low) low = i;
      } else if (m < 0) {
        const i = Math.floor(-at * inverse[k]!);
        if (i < high) high = i;
      } else if (at < 0) {
        high = -1;
      }
    }
    if (low <= high) shadow[j]! |= spanBits(low, high);
  }
}

function setForm(view: TileView, k: number, nx: number, ny: number, nz: number, sign: number, d: number): void {
  base[k] = sign * (nx * view.x0 + ny * view.y0 - nz * view.h - d);
  slope[k] = sign * nx * view.cellM;
  lift[k] = sign * ny * view.cellM;
  inverse[k] = 1 / slope[k]!;
}

/** Bits low…high of a row, both included, 0 ≤ low ≤ high ≤ 31. */
export function spanBits(low: number, high: number): number {
  return (((0xffffffff >>> (31 - high)) >>> low) << low) >>> 0;
}

/**
 * Adds the optical depth of one sphere of leaves (relative to the lamp, face coordinates) to every sample that is valid
 * and not in hard shadow.
 */
export function rasterSphereDepth(
  view: TileView,
  open: Uint32Array,
  depth: Float32Array,
  cx: number,
  cy: number,
  cz: number,
  radius: number,
  extinction: number,
): boolean {
  const { x0, y0, cellM, h } = view;
  const m = cx * cx + cy * cy + cz * cz - radius * radius;
  const a = cx * cx - m;
  let touched = false;
  for (let j = view.rowFrom; j <= view.rowTo; j++) {
    const bits = open[j]!;
    if (bits === 0) continue;
    const y = y0 + j * cellM;
    const w = y * cy - h * cz;
    const g = y * y + h * h;
    let low = 0;
    let high = TILE_SAMPLES - 1;
    if (m > 0 && a < 0) {
      const b = w * cx;
      const disc = b * b - a * (w * w - m * g);
      if (disc <= 0) continue;
      const root = Math.sqrt(disc);
      low = Math.max(0, Math.ceil(((-b + root) / a - x0) / cellM));
      high = Math.min(TILE_SAMPLES - 1, Math.floor(((-b - root) / a - x0) / cellM));
    }
    for (let i = low; i <= high; i++) {
      if (((bits >>> i) & 1) === 0) continue;
      const x = x0 + i * cellM;
      const aq = x * x + g;
      const bq = x * cx + w;
      const disc = bq * bq - aq * m;
      if (disc <= 0) continue;
      const root = Math.sqrt(disc);
      const t0 = Math.max(0, (bq - root) / aq);
      const t1 = Math.min(1, (bq + root) / aq);
      if (t1 <= t0) continue;
      depth[j * TILE_SAMPLES + i]! += extinction * (t1 - t0) * Math.sqrt(aq);
      touched = true;
    }
  }
  return touched;
}
