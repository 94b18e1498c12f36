import type { SceneModel } from '../../scene/index.ts';
import type { BounceCaster } from './types.ts';

/** Projection of leaf area, spherical leaf angles. */
const G = 0.5;
/** Size of a cell, grown until there are no more than so many, metres. */
const CELL_M = 0.7;
const MOST_CELLS = 900;
const GROWTH = 1.25;
/** Places by which a body of leaves is shared among the cells. */
const SPOTS = 8;
const CROWN_SPOTS = 512;
/** Optical depths below this are clear, and halvings until the place of a meeting is known well enough. */
const CLEAR = 0.002;
const HALVINGS = 9;
/** Broadleaf, land-model tables: textbook crowns, in the colours of built ones. */
const CROWN_RGB = [0.1048, 0.1746, 0.04] as const;

/**
 * Leaves as part of the bounces, in cells of space (zonal method, Hottel & Sarofim 1967): a cell with ∫k dV extinction takes
 * part like a patch of area 4∫k dV, its two-sided leaf area × Ω. It takes what the leaves of a ray on its way through take,
 * and gives (ρ + τ) of it on, evenly all round: a crown seen through depth D has the radiance (1 − e^−D)·B/π.
 */
export interface LeafCells {
  /** 4∫k dV of each cell, m². */
  areaM2: Float64Array;
  /** ρ + τ, 3 numbers a cell. */
  reflectance: Float64Array;
  /** Places among its leaves, 3 numbers each. */
  spots: Float64Array[];
  /** Cell of the first leaves that take the share u of all that a ray loses over `reachM`; −1 where it loses nothing. */
  met(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, reachM: number, T: number, u: number): number;
}

interface Draft {
  area: number;
  rgb: [number, number, number];
  spots: number[];
}

/** Cuts the leaves of a scene into cells. */
export function leafCellsOf(scene: SceneModel, caster: BounceCaster): LeafCells {
  const spots = spotsOf(scene);
  let sizeM = CELL_M;
  let cells = share(spots, sizeM);
  while (cells.size > MOST_CELLS) {
    sizeM *= GROWTH;
    cells = share(spots, sizeM);
  }
  const index = new Map([...cells.keys()].map((key, i) => [key, i]));
  const drafts = [...cells.values()];
  const at = (x: number, y: number, z: number): number => index.get(keyOf(x, y, z, sizeM)) ?? -1;
  return {
    areaM2: Float64Array.from(drafts, (c) => c.area),
    reflectance: Float64Array.from(drafts.flatMap((c) => c.rgb.map((v) => v / c.area))),
    spots: drafts.map((c) => Float64Array.from(c.spots)),
    met(ox, oy, oz, dx, dy, dz, reachM, T, u) {
      if (1 - T < CLEAR) return -1;
      const wanted = 1 - u * (1 - T);
      let [low, high] = [0, Math.min(reachM, farEnd(scene, ox, oy, oz))];
      for (let k = 0; k < HALVINGS; k++) {
        const middle = (low + high) / 2;
        if (caster.leafTransmittance(ox, oy, oz, dx, dy, dz, middle) > wanted) low = middle;
        else high = middle;
      }
      const d = (low + high) / 2;
      const found = at(ox + d * dx, oy + d * dy, oz + d * dz);
      return found >= 0 ? found : at(ox + high * dx, oy + high * dy, oz + high * dz);
    },
  };
}

/** A ray leaves all leaves within this distance. */
function farEnd(scene: SceneModel, ox: number, oy: number, oz: number): number {
  let far = 0;
  for (const p of scene.plants) {
    far = Math.max(far, Math.hypot(p.centre[0] - ox, p.centre[1] - oy, p.centre[2] - oz) + p.radiusM);
  }
  for (const e of scene.ellipsoids) {
    far = Math.max(far, Math.hypot(e.centre[0] - ox, e.centre[1] - oy, e.centre[2] - oz) + Math.max(...e.radiiM));
  }
  return far + 0.01;
}

const keyOf = (x: number, y: number, z: number, sizeM: number): string =>
  `${Math.floor(x / sizeM)} ${Math.floor(y / sizeM)} ${Math.floor(z / sizeM)}`;

interface Spot {
  x: number;
  y: number;
  z: number;
  area: number;
  rgb: readonly number[];
}

function share(spots: readonly Spot[], sizeM: number): Map<string, Draft> {
  const cells = new Map<string, Draft>();
  for (const { x, y, z, area, rgb } of spots) {
    const key = keyOf(x, y, z, sizeM);
    let cell = cells.get(key);
    if (!cell) {
      cell = { area: 0, rgb: [0, 0, 0], spots: [] };
      cells.set(key, cell);
    }
    cell.area += area;
    for (const k of [0, 1, 2] as const) cell.rgb[k] += area * rgb[k]!;
    cell.spots.push(x, y, z);
  }
  return cells;
}

/** Places spread evenly through every body of leaves, with their part of 4∫k dV. */
function spotsOf(scene: SceneModel): Spot[] {
  const out: Spot[] = [];
  for (const plant of scene.plants) {
    const rgb = plant.leafReflectanceRgb.map((v, k) => v + plant.leafTransmittanceRgb[k]!);
    const { clumps, clumping } = plant;
    for (let i = 0; i < clumps.length; i += 5) {
      const r = clumps[i + 3]!;
      const area = (4 * G * clumping * clumps[i + 4]! * (4 / 3) * Math.PI * r ** 3) / SPOTS;
      if (!(area > 0)) continue;
      for (let k = 0; k < SPOTS; k++)
        out.push({ ...inBall(k, SPOTS, [clumps[i]!, clumps[i + 1]!, clumps[i + 2]!], [r, r, r]), area, rgb });
    }
  }
  for (const e of scene.ellipsoids) {
    const volume = (4 / 3) * Math.PI * e.radiiM[0] * e.radiiM[1] * e.radiiM[2];
    const area = (4 * G * e.clumping * e.leafAreaDensityM2M3 * volume) / CROWN_SPOTS;
    for (let k = 0; k < CROWN_SPOTS; k++) out.push({ ...inBall(k, CROWN_SPOTS, e.centre, e.radiiM), area, rgb: CROWN_RGB });
  }
  return out;
}

/** k-th of n places spread evenly in an ellipsoid: shells of equal volume, a spiral over the sphere. */
function inBall(k: number, n: number, centre: readonly number[], radii: readonly number[]): { x: number; y: number; z: number } {
  const r = (((k * 0.7548776662466927) % 1) * ((n - 1) / n) + 0.5 / n) ** (1 / 3);
  const y = 1 - (2 * (k + 0.5)) / n;
  const s = Math.sqrt(1 - y * y);
  const phi = k * 2.399963229728653;
  return {
    x: centre[0]! + r * radii[0]! * s * Math.cos(phi),
    y: centre[1]! + r * radii[1]! * y,
    z: centre[2]! + r * radii[2]! * s * Math.sin(phi),
  };
}
