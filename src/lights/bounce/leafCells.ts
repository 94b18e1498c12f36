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
/** A ray that loses less than this is clear; a meeting just outside every cell belongs to the one within this, metres. */
const CLEAR = 0.002;
const NEAR_M = 0.05;
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

/** Cuts the leaves of a scene into cells. */
export function leafCellsOf(scene: SceneModel, caster: BounceCaster): LeafCells {
  const spots = spotsOf(scene);
  let sizeM = CELL_M;
  let { cell, count, numbers } = share(spots, sizeM);
  while (count > MOST_CELLS) {
    sizeM *= GROWTH;
    ({ cell, count, numbers } = share(spots, sizeM));
  }
  const at = (x: number, y: number, z: number): number => numbers.get(keyOf(x, y, z, sizeM)) ?? -1;
  return {
    ...contentsOf(spots, cell, count),
    met(ox, oy, oz, dx, dy, dz, reachM, T, u) {
      if (1 - T < CLEAR) return -1;
      const d = caster.leafReach(ox, oy, oz, dx, dy, dz, reachM, -Math.log(1 - u * (1 - T)));
      const found = at(ox + d * dx, oy + d * dy, oz + d * dz);
      if (found >= 0) return found;
      const on = d + NEAR_M;
      return at(ox + on * dx, oy + on * dy, oz + on * dz);
    },
  };
}

/** Columns a lot may be wide in cells each way, either side of its origin: a number for each cell. */
const SIDE = 1 << 17;
const keyOf = (x: number, y: number, z: number, sizeM: number): number =>
  ((Math.floor(x / sizeM) + SIDE / 2) * SIDE + Math.floor(z / sizeM) + SIDE / 2) * SIDE + Math.floor(y / sizeM) + SIDE / 2;

/** Places among leaves: x, y, z, part of 4∫k dV, and which body's colour. */
interface Spots {
  place: Float64Array;
  areaM2: Float64Array;
  colour: Uint32Array;
  colours: number[][];
}

/** Cell of each place, their count, and the number of the cell of each key. */
function share({ place }: Spots, sizeM: number): { cell: Int32Array; count: number; numbers: Map<number, number> } {
  const numbers = new Map<number, number>();
  const cell = new Int32Array(place.length / 3);
  for (let k = 0; k < cell.length; k++) {
    const key = keyOf(place[k * 3]!, place[k * 3 + 1]!, place[k * 3 + 2]!, sizeM);
    let number = numbers.get(key);
    if (number === undefined) {
      number = numbers.size;
      numbers.set(key, number);
    }
    cell[k] = number;
  }
  return { cell, count: numbers.size, numbers };
}

function contentsOf(
  { place, areaM2: areas, colour, colours }: Spots,
  cell: Int32Array,
  count: number,
): Pick<LeafCells, 'areaM2' | 'reflectance' | 'spots'> {
  const areaM2 = new Float64Array(count);
  const reflectance = new Float64Array(count * 3);
  const many = new Int32Array(count);
  for (let k = 0; k < cell.length; k++) {
    const c = cell[k]!;
    areaM2[c]! += areas[k]!;
    for (let i = 0; i < 3; i++) reflectance[c * 3 + i]! += areas[k]! * colours[colour[k]!]![i]!;
    many[c]!++;
  }
  for (let k = 0; k < reflectance.length; k++) reflectance[k]! /= areaM2[(k / 3) | 0]!;
  const spots = Array.from(many, (n) => new Float64Array(n * 3));
  many.fill(0);
  for (let k = 0; k < cell.length; k++) spots[cell[k]!]!.set(place.subarray(k * 3, k * 3 + 3), 3 * many[cell[k]!]!++);
  return { areaM2, reflectance, spots };
}

/** Places spread evenly through every body of leaves, with their part of 4∫k dV. */
function spotsOf(scene: SceneModel): Spots {
  const clumps = scene.plants.reduce((sum, plant) => sum + plant.clumps.length / 5, 0);
  const most = clumps * SPOTS + scene.ellipsoids.length * CROWN_SPOTS;
  const place = new Float64Array(most * 3);
  const areaM2 = new Float64Array(most);
  const colour = new Uint32Array(most);
  const colours: number[][] = [];
  let n = 0;
  const add = (centre: readonly number[], radii: readonly number[], count: number, area: number): void => {
    for (let k = 0; k < count; k++, n++) {
      inBall(k, count, centre, radii, place, n * 3);
      areaM2[n] = area;
      colour[n] = colours.length - 1;
    }
  };
  for (const plant of scene.plants) {
    colours.push(plant.leafReflectanceRgb.map((v, k) => v + plant.leafTransmittanceRgb[k]!));
    for (let i = 0; i < plant.clumps.length; i += 5) {
      const [x, y, z, r, density] = plant.clumps.subarray(i, i + 5) as unknown as [number, number, number, number, number];
      const area = (4 * G * plant.clumping * density * (4 / 3) * Math.PI * r ** 3) / SPOTS;
      if (area > 0) add([x, y, z], [r, r, r], SPOTS, area);
    }
  }
  for (const e of scene.ellipsoids) {
    colours.push([...CROWN_RGB]);
    const volume = (4 / 3) * Math.PI * e.radiiM[0] * e.radiiM[1] * e.radiiM[2];
    add(e.centre, e.radiiM, CROWN_SPOTS, (4 * G * e.clumping * e.leafAreaDensityM2M3 * volume) / CROWN_SPOTS);
  }
  return { place: place.subarray(0, n * 3), areaM2: areaM2.subarray(0, n), colour, colours };
}

/** k-th of n places spread evenly in an ellipsoid, into `out`: shells of equal volume, a spiral over the sphere. */
function inBall(k: number, n: number, centre: readonly number[], radii: readonly number[], out: Float64Array, at: number): void {
  const r = (((k * 0.7548776662466927) % 1) * ((n - 1) / n) + 0.5 / n) ** (1 / 3);
  const y = 1 - (2 * (k + 0.5)) / n;
  const s = Math.sqrt(1 - y * y);
  const phi = k * 2.399963229728653;
  out[at] = centre[0]! + r * radii[0]! * s * Math.cos(phi);
  out[at + 1] = centre[1]! + r * radii[1]! * y;
  out[at + 2] = centre[2]! + r * radii[2]! * s * Math.sin(phi);
}
