import type { SceneModel, Vec3 } from '../../scene/index.ts';
import type { BounceHit, BounceModel } from '../bounce/index.ts';
import type { Caster } from '../rays/index.ts';
import type { PointGroup } from './points.ts';

const DIRECTIONS = 32;
/** Groups lit between two pauses. */
const GROUPS_A_STEP = 32;

/** Even directions over the sphere (Fibonacci lattice). */
const DIRS = Float64Array.from(
  Array.from({ length: DIRECTIONS }, (_, k) => {
    const y = 1 - (2 * (k + 0.5)) / DIRECTIONS;
    const r = Math.sqrt(1 - y * y);
    const a = k * Math.PI * (3 - Math.sqrt(5));
    return [r * Math.cos(a), y, r * Math.sin(a)];
  }).flat(),
);

/** Clumps whose centres lie in one cell of this size look around together, metres; small ones, of low plants, in smaller cells. */
const CELL_M = 0.8;
const SMALL_CELL_M = 0.3;
const SMALL_CLUMP_M = 0.12;

/**
 * What leaves and strands see around them: per lookout and direction the patch it meets (−1 sky, −2 nothing lit) and the
 * leaves before it. Clumps of one cell share a lookout, every strand has its own.
 */
export interface Probes {
  groups: readonly PointGroup[];
  /** Lookout of each group, and the groups in the order of their lookouts. */
  lookout: Int32Array;
  order: Int32Array;
  patch: Int32Array;
  /** Cell of leaves halfway through those before it, −1 for none. */
  leaves: Int32Array;
  /** Share of light that those leaves let pass. */
  passes: Float32Array;
  /** Light of each card of a dense clump ÷ mean of its lookout, mean 1; undefined where leaves hardly hide each other. */
  open: (Float32Array | undefined)[];
}

/** Traces the surroundings of all groups; yields now and then. */
export function* traceProbes(
  scene: SceneModel,
  caster: Caster,
  bounce: BounceModel,
  groups: readonly PointGroup[],
): Generator<number, Probes, void> {
  const { lookout, members } = shareLookouts(groups);
  const patch = new Int32Array(members.length * DIRECTIONS);
  const passes = new Float32Array(members.length * DIRECTIONS);
  const leaves = new Int32Array(members.length * DIRECTIONS).fill(-1);
  const hit: BounceHit = { distanceM: 0, face: -1, s: 0, t: 0, fromFront: true };
  const far = 4 * Math.hypot(...[0, 1, 2].map((k) => scene.boundsMax[k]! - scene.boundsMin[k]!)) + 10;
  for (let g = 0; g < members.length; g++) {
    const among = members[g]!;
    for (let k = 0; k < DIRECTIONS; k++) {
      const dx = DIRS[k * 3]!;
      const dy = DIRS[k * 3 + 1]!;
      const dz = DIRS[k * 3 + 2]!;
      const [x, y, z] = startOf(among[(k * 7) % among.length]!, k);
      const at = g * DIRECTIONS + k;
      const met = caster.nearest(x, y, z, dx, dy, dz, far, hit);
      patch[at] = met ? -2 : dy > 0 ? -1 : -2;
      const reach = met ? hit.distanceM : far;
      const found = met ? bounce.patchMet(hit) : -1;
      if (found >= 0) patch[at] = found;
      passes[at] = caster.leafTransmittance(x, y, z, dx, dy, dz, reach);
      if (passes[at]! < 1) leaves[at] = bounce.leavesMet(x, y, z, dx, dy, dz, reach, passes[at]!, 0.5);
    }
    if ((g & 15) === 15) yield g;
  }
  const order = Int32Array.from(groups.keys()).sort((a, b) => lookout[a]! - lookout[b]! || a - b);
  return { groups, lookout, order, patch, leaves, passes, open: yield* openness(caster, groups, lookout, members.length) };
}

/** Directions start from all over the cards of the cell in turn: the mean over its leaves, not the dark of its middle. */
function startOf(points: PointGroup, k: number): Vec3 {
  const { centre, radiusM, kind, count } = points;
  if (kind === 'cards') return placeOn(points, (k * 11 + 3) % count, k);
  const off = Math.min(radiusM, 0.5) + 0.01;
  return [centre[0]! + off * DIRS[k * 3]!, centre[1]! + off * DIRS[k * 3 + 1]!, centre[2]! + off * DIRS[k * 3 + 2]!];
}

/** The k-th of an even sequence of places on a card. */
function placeOn({ positions, normals, halfM }: PointGroup, card: number, k: number): Vec3 {
  const at = card * 3;
  const [nx, ny, nz] = [normals[at]!, normals[at + 1]!, normals[at + 2]!];
  const a = halfM * (2 * ((k * GOLDEN) % 1) - 1);
  const b = halfM * (2 * ((k * GOLDEN_TOO) % 1) - 1);
  /* Two axes in the card: n × y (or n × x where the card lies flat), and n × that. */
  const flat = Math.abs(ny) > 0.9;
  const size = flat ? Math.hypot(ny, nz) : Math.hypot(nx, nz);
  const [ux, uy, uz] = flat ? [0, nz / size, -ny / size] : [-nz / size, 0, nx / size];
  return [
    positions[at]! + a * ux + b * (ny * uz - nz * uy),
    positions[at + 1]! + a * uy + b * (nz * ux - nx * uz),
    positions[at + 2]! + a * uz + b * (nx * uy - ny * ux),
  ];
}

/** Steps of an even sequence in the plane (R2: 1/p and 1/p² of p³ = p + 1). */
const GOLDEN = 0.7548776662466927;
const GOLDEN_TOO = 0.5698402909980532;

/** Clumps through whose middle this optical depth lies hide their inner leaves; every so many directions tell by how much. */
const DENSE_DEPTH = 0.6;
const OPEN_STEP = 4;
/** Leaves farther off hide all of a clump alike, metres. */
const OPEN_REACH_M = 3;

/**
 * How much each leaf of a dense clump is open to its surroundings: mean transmittance over a few even directions, as a share
 * of the mean over all such leaves of its lookout. Outer leaves of a clipped form get what inner ones lack.
 */
function* openness(
  caster: Caster,
  groups: readonly PointGroup[],
  lookout: Int32Array,
  lookouts: number,
): Generator<number, Probes['open'], void> {
  const { data } = caster.leaves;
  const sums = new Float64Array(lookouts);
  const counts = new Float64Array(lookouts);
  const open: Probes['open'] = groups.map(() => undefined);
  for (let g = 0; g < groups.length; g++) {
    const points = groups[g]!;
    const { body, count } = points;
    if (body < 0 || 2 * data[body * 7 + 3]! * data[body * 7 + 6]! < DENSE_DEPTH) continue;
    const own = new Float32Array(count);
    for (let i = 0; i < count; i++) {
      for (let k = 1; k < DIRECTIONS; k += OPEN_STEP) {
        const [x, y, z] = placeOn(points, i, k);
        own[i]! += caster.leafTransmittance(x, y, z, DIRS[k * 3]!, DIRS[k * 3 + 1]!, DIRS[k * 3 + 2]!, OPEN_REACH_M);
      }
      sums[lookout[g]!]! += own[i]!;
    }
    counts[lookout[g]!]! += count;
    open[g] = own;
    if ((g & 15) === 15) yield g;
  }
  open.forEach((own, g) => {
    const mean = sums[lookout[g]!]! / counts[lookout[g]!]!;
    if (own && mean > 0) for (let i = 0; i < own.length; i++) own[i]! /= mean;
  });
  return open;
}

/** Clumps of one cell look out together, every strand alone. */
function shareLookouts(groups: readonly PointGroup[]): { lookout: Int32Array; members: PointGroup[][] } {
  const lookout = new Int32Array(groups.length);
  const cells = new Map<string, number>();
  const members: PointGroup[][] = [];
  groups.forEach((points, g) => {
    const cellM = points.radiusM < SMALL_CLUMP_M ? SMALL_CELL_M : CELL_M;
    const cell = [0, 1, 2].map((k) => Math.floor(points.centre[k]! / cellM));
    const key = points.kind === 'cards' ? `${cellM} ${cell.join()}` : `strand ${g}`;
    let index = cells.get(key);
    if (index === undefined) {
      index = members.push([]) - 1;
      cells.set(key, index);
    }
    members[index]!.push(points);
    lookout[g] = index;
  });
  return { lookout, members };
}

/** Marks the groups whose lookout sees a patch that changed. */
export function markStale(probes: Probes, changed: Uint8Array, stale: Uint8Array): void {
  const seen = new Uint8Array(probes.patch.length / DIRECTIONS);
  for (let k = 0; k < probes.patch.length; k++) {
    const p = probes.patch[k]!;
    const leaf = probes.leaves[k]!;
    if ((p >= 0 && changed[p]) || (leaf >= 0 && changed[leaf])) seen[(k / DIRECTIONS) | 0] = 1;
  }
  for (let g = 0; g < stale.length; g++) if (seen[probes.lookout[g]!]) stale[g] = 1;
}

/** Nine spherical harmonics of the surroundings of one lookout, RGB: 27 numbers, cosine lobe included. */
const harmonics = new Float64Array(27);
/** Weights of the clamped cosine by order, π, 2π/3, π/4, times the squared norms 1/4π, 3/4π, 15/4π, 5/16π, 15/16π. */
const C0 = 0.25;
const C1 = 0.5;
const C2 = 15 / 16;
const C20 = 5 / 64;
const C22 = 15 / 64;

/**
 * Indirect light on every point: E(n) = ∫ L·T·max(0, n·d) dω over the traced directions, for both sides of a card, by
 * spherical harmonics up to the second order (a single direction's light is off by at most 9 % of its highest value, even
 * light by nothing).
 *
 * @source R. Ramamoorthi, P. Hanrahan, "An efficient representation for irradiance environment maps", 2001.
 *
 * @param stale groups to light (1), cleared one by one as they are.
 * @param radiosityRgb lm/m² a patch, 3 numbers each; a diffuse patch has L = M/π.
 * @param sky luminance (RGB, cd/m²) along a direction.
 */
export function* applyProbes(
  probes: Probes,
  stale: Uint8Array,
  radiosityRgb: ArrayLike<number>,
  sky: (x: number, y: number, z: number) => readonly [number, number, number],
  leavesOn: boolean,
  out: { cards: Float32Array; strands: Float32Array },
): Generator<void, void, void> {
  const skyRgb = Float64Array.from(
    Array.from({ length: DIRECTIONS }, (_, k) => [...sky(DIRS[k * 3]!, DIRS[k * 3 + 1]!, DIRS[k * 3 + 2]!)]).flat(),
  );
  // Groups of one lookout are lit together: what it sees is projected once.
  for (let n = 0, done = 0, seen = -1; n < probes.order.length; n++) {
    const g = probes.order[n]!;
    if (!stale[g]) continue;
    if (++done % GROUPS_A_STEP === 0) {
      yield;
      seen = -1;
    }
    stale[g] = 0;
    const lookout = probes.lookout[g]!;
    if (lookout !== seen) project(probes, lookout * DIRECTIONS, radiosityRgb, skyRgb, leavesOn);
    seen = lookout;
    lightGroupAround(probes.groups[g]!, leavesOn ? probes.open[g] : undefined, out);
  }
}

function project(probes: Probes, from: number, radiosityRgb: ArrayLike<number>, skyRgb: Float64Array, leavesOn: boolean): void {
  const H = harmonics;
  const solid = (4 * Math.PI) / DIRECTIONS;
  H.fill(0);
  for (let k = 0; k < DIRECTIONS; k++) {
    const p = probes.patch[from + k]!;
    const leaf = leavesOn ? probes.leaves[from + k]! : -1;
    if (p === -2 && leaf < 0) continue;
    const passes = leavesOn ? probes.passes[from + k]! : 1;
    const x = DIRS[k * 3]!;
    const y = DIRS[k * 3 + 1]!;
    const z = DIRS[k * 3 + 2]!;
    for (let c = 0; c < 3; c++) {
      const behind = p >= 0 ? radiosityRgb[p * 3 + c]! / Math.PI : p === -1 ? skyRgb[k * 3 + c]! : 0;
      const before = leaf >= 0 ? radiosityRgb[leaf * 3 + c]! / Math.PI : 0;
      const L = solid * (passes * behind + (1 - passes) * before);
      H[c]! += C0 * L;
      H[3 + c]! += C1 * L * x;
      H[6 + c]! += C1 * L * y;
      H[9 + c]! += C1 * L * z;
      H[12 + c]! += C2 * L * x * y;
      H[15 + c]! += C2 * L * y * z;
      H[18 + c]! += C2 * L * x * z;
      H[21 + c]! += C20 * L * (3 * z * z - 1);
      H[24 + c]! += C22 * L * (x * x - y * y);
    }
  }
}

/** Even orders are the same on both sides of a card, the first order changes its sign. */
function lightGroupAround(
  points: PointGroup,
  open: Float32Array | undefined,
  out: { cards: Float32Array; strands: Float32Array },
): void {
  const { normals, first, count } = points;
  const strand = points.kind === 'strand';
  const list = strand ? out.strands : out.cards;
  const width = strand ? 3 : 6;
  const H = harmonics;
  for (let c = 0; c < 3; c++) {
    const h0 = H[c]!;
    const hx = H[3 + c]!;
    const hy = H[6 + c]!;
    const hz = H[9 + c]!;
    const hxy = H[12 + c]!;
    const hyz = H[15 + c]!;
    const hxz = H[18 + c]!;
    const hzz = H[21 + c]!;
    const hxx = H[24 + c]!;
    for (let i = 0, n = 0, at = first * width + c; i < count; i++, n += 3, at += width) {
      const x = normals[n]!;
      const y = normals[n + 1]!;
      const z = normals[n + 2]!;
      const even = h0 + x * y * hxy + y * z * hyz + x * z * hxz + (3 * z * z - 1) * hzz + (x * x - y * y) * hxx;
      const odd = x * hx + y * hy + z * hz;
      const share = open ? open[i]! : 1;
      list[at] = share * Math.max(0, even + odd);
      if (!strand) list[at + 3] = share * Math.max(0, even - odd);
    }
  }
}
