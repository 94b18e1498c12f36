import { planeWeights } from '../distribution.ts';
import type { PhotometricTable } from './types.ts';

const DEG = Math.PI / 180;

/** Candela by C plane, then γ. */
export interface Planes {
  cDeg: number[];
  gammaDeg: number[];
  candela: number[][];
}

/** Planes of one half circle about the C90–C270 plane, C ascending from 90 to 270 (or from −90 to 90), closed to the full circle. */
export function mirrorAboutC90(half: Planes): Planes {
  const rows = new Map<number, number[]>();
  half.cDeg.forEach((c, i) => {
    for (const angle of [c, 180 - c]) rows.set(wrapped(angle), half.candela[i]!);
  });
  const cDeg = [...rows.keys()].sort((a, b) => a - b);
  return { cDeg, gammaDeg: half.gammaDeg, candela: cDeg.map((c) => rows.get(c)!) };
}

/** Into 0 ≤ angle < 360, rounded to a millionth of a degree so that mirrored planes meet. */
function wrapped(angleDeg: number): number {
  const a = Math.round((((angleDeg % 360) + 360) % 360) * 1e6) / 1e6;
  return a === 360 ? 0 : a;
}

/** Candela over horizontal and vertical angles as Types A and B have them: `candela[h][v]`. */
export interface GoniometerGrid {
  type: 'A' | 'B';
  hDeg: number[];
  vDeg: number[];
  candela: number[][];
}

/**
 * Direction of a goniometer angle pair; x right, y along the beam axis, z up.
 *
 *     A(H,V) = (cosV·sinH, cosV·cosH, sinV)      B(H,V) = (sinH, cosH·cosV, cosH·sinV)
 *
 * @source facts.md A.1 (from memory, high confidence).
 */
export function goniometerDirection(type: 'A' | 'B', hDeg: number, vDeg: number): [number, number, number] {
  const [h, v] = [hDeg * DEG, vDeg * DEG];
  if (type === 'A') return [Math.cos(v) * Math.sin(h), Math.cos(v) * Math.cos(h), Math.sin(v)];
  return [Math.sin(h), Math.cos(h) * Math.cos(v), Math.cos(h) * Math.sin(v)];
}

/** Angle pair of a direction in the forward half (Type B behind it has V beyond ±90), the inverse of the above. */
function goniometerAngles(type: 'A' | 'B', [x, y, z]: readonly [number, number, number]): [number, number] {
  if (type === 'A') return [Math.atan2(x, y) / DEG, Math.asin(clampUnit(z)) / DEG];
  return [Math.asin(clampUnit(x)) / DEG, Math.atan2(z, y) / DEG];
}

const clampUnit = (v: number): number => Math.min(1, Math.max(-1, v));

/** Table step of converted files: as fine as the file near the axis, within these. */
const GAMMA_STEP = { least: 0.25, most: 2.5 };
const C_STEP_DEG = 5;

/**
 * Types A and B as C planes about the beam axis: γ from the axis (H = 0, V = 0), C from "right" counter to the clock as
 * seen from behind. Read bilinearly in H and V; dark outside the measured range.
 */
export function toCPlanes(grid: GoniometerGrid): Planes {
  const finest = Math.min(finestStep(grid.hDeg), finestStep(grid.vDeg));
  const steps = Math.ceil(180 / Math.min(GAMMA_STEP.most, Math.max(GAMMA_STEP.least, finest)));
  const gammaDeg = Array.from({ length: steps + 1 }, (_, i) => (180 * i) / steps);
  const cDeg = Array.from({ length: 360 / C_STEP_DEG }, (_, i) => i * C_STEP_DEG);
  const candela = cDeg.map((c) =>
    gammaDeg.map((g) => {
      const sin = Math.sin(g * DEG);
      const direction = [sin * Math.cos(c * DEG), Math.cos(g * DEG), sin * Math.sin(c * DEG)] as const;
      const [h, v] = goniometerAngles(grid.type, direction);
      return gridCandela(grid, h, v);
    }),
  );
  return { cDeg, gammaDeg, candela };
}

function finestStep(angles: readonly number[]): number {
  let step = 180;
  for (let i = 1; i < angles.length; i++) step = Math.min(step, angles[i]! - angles[i - 1]!);
  return step;
}

function gridCandela({ hDeg, vDeg, candela }: GoniometerGrid, h: number, v: number): number {
  const a = place(hDeg, h);
  const b = place(vDeg, v);
  if (!a || !b) return 0;
  const row = (i: number): number => candela[i]![b.i]! * (1 - b.f) + candela[i]![b.i + 1]! * b.f;
  return row(a.i) * (1 - a.f) + row(a.i + 1) * a.f;
}

function place(angles: readonly number[], x: number): { i: number; f: number } | undefined {
  const last = angles.length - 1;
  if (last < 1 || x < angles[0]! - 1e-9 || x > angles[last]! + 1e-9) return undefined;
  let i = 0;
  while (i < last - 1 && angles[i + 1]! <= x) i++;
  return { i, f: clampUnit((x - angles[i]!) / (angles[i + 1]! - angles[i]!)) };
}

/**
 * Flux of a goniometer grid by its own solid angles: dΩ = cosV dV dH (A), cosH dH dV (B); the angle along the common
 * axis taken exactly for piecewise-linear candela, the other by trapezoids.
 */
export function goniometerFluxLm({ type, hDeg, vDeg, candela }: GoniometerGrid): number {
  const along = type === 'A' ? vDeg : hDeg;
  const round = type === 'A' ? hDeg : vDeg;
  const read = (r: number, a: number): number => (type === 'A' ? candela[r]![a]! : candela[a]![r]!);
  const strips = round.map((_, r) => {
    let sum = 0;
    for (let i = 0; i + 1 < along.length; i++) {
      const [x0, x1] = [along[i]! * DEG, along[i + 1]! * DEG];
      const [I0, I1] = [read(r, i), read(r, i + 1)];
      const slope = (I1 - I0) / (x1 - x0);
      sum += I1 * Math.sin(x1) - I0 * Math.sin(x0) + slope * (Math.cos(x1) - Math.cos(x0));
    }
    return sum;
  });
  let flux = 0;
  for (let r = 0; r + 1 < round.length; r++) flux += ((strips[r]! + strips[r + 1]!) / 2) * (round[r + 1]! - round[r]!) * DEG;
  return flux;
}

/**
 * The table turned over, so that what shone against the axis shines along it: γ → 180° − γ, C → −C (half a turn about the
 * C0 axis). For files of uplights measured as they stand: 0 is then straight down, behind the light.
 */
export function turnedOver(table: PhotometricTable): PhotometricTable {
  const gammaDeg = table.gammaDeg.map((g) => 180 - g).reverse();
  const rows = table.candela.map((row) => [...row].reverse());
  const last = table.cDeg.at(-1)!;
  if (table.cDeg.length === 1 || (table.cDeg[0] === 0 && last <= 180)) return { ...table, gammaDeg, candela: rows };
  const order = table.cDeg.map((c, i) => ({ c: wrapped(-c), i })).sort((a, b) => a.c - b.c);
  const unique = order.filter(({ c }, k) => k === 0 || c > order[k - 1]!.c);
  return { ...table, gammaDeg, cDeg: unique.map(({ c }) => c), candela: unique.map(({ i }) => rows[i]!) };
}

/** Share of a table's light beyond 90° from its axis, zone by zone. */
export function backwardShare(table: PhotometricTable): number {
  const weights = planeWeights(table.cDeg);
  let back = 0;
  let all = 0;
  table.candela.forEach((row, c) => {
    for (let i = 0; i + 1 < row.length; i++) {
      const [g0, g1] = [table.gammaDeg[i]! * DEG, table.gammaDeg[i + 1]! * DEG];
      const part = (weights[c]! * (row[i]! + row[i + 1]!) * (Math.cos(g0) - Math.cos(g1))) / 2;
      all += part;
      if (g0 + g1 > Math.PI + 1e-9) back += part;
    }
  });
  return all > 0 ? back / all : 0;
}
