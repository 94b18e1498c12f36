import { buildStrandMesh, type SceneModel, type Strand } from '../../scene/index.ts';
import { beamCandela, largestCandelaBeyond } from '../beam.ts';
import { type Eyes, lightGroupPoints, reachedGroups } from '../kernels/index.ts';
import { anyHit, anyHitAmong, type Caster, chordM, type LeafBodies, opticalDepth } from '../rays/index.ts';
import { aimCone, collectCone, createCone } from '../visibility/cone.ts';
import type { Emitter } from './emitter.ts';

/** Cards and strands are left dark below this, lux at full output. */
const POINT_CUT_LX = 0.1;
const STRAND_STAND_OFF_M = 0.005;

const rules = (sides: 1 | 2, standOffM: number) =>
  [false, true].map((leavesOn) => ({ sides, standOffM, cutLx: POINT_CUT_LX, leavesOn }));
/** How cards and strands are lit, leaves off and on. */
const CARDS = rules(2, 0);
const STRANDS = rules(1, STRAND_STAND_OFF_M);

/** Points lit one by one: leaf cards of a clump (two sides) or ring vertices of strands that stand together (one side). */
export interface PointGroup {
  kind: 'cards' | 'strand';
  /** First card or vertex in the field's array. */
  first: number;
  count: number;
  positions: Float32Array;
  normals: Float32Array;
  centre: Float64Array;
  radiusM: number;
  /** Leaf body that these cards are the leaves of, −1 for strands. */
  body: number;
  /** Half the side of its cards, mean; 0 for strands, metres. */
  halfM: number;
  /** Part or plant that its strands belong to; empty for cards. */
  partId: string;
  /** Of thin strands: the middle of each ring, from which what stands before the lamp is looked for. */
  eyes: Eyes | undefined;
}

/** Light of one source at full output on a group: two numbers a card (front, back), one a vertex. */
export type GroupLight = Float32Array;

/** One group a clump, in the order of the cards. Cards of one clump that do not stand together make several groups. */
export function cardGroups(scene: Pick<SceneModel, 'plants'>, leaves: Pick<LeafBodies, 'firstOfPlant'>): PointGroup[] {
  const out: PointGroup[] = [];
  let first = 0;
  scene.plants.forEach((plant, index) => {
    const cards = plant.cards.length / 8;
    for (let from = 0; from < cards; ) {
      const clump = plant.cards[from * 8 + 7]!;
      let to = from + 1;
      while (to < cards && plant.cards[to * 8 + 7] === clump && to - from < 64) to++;
      const positions = new Float32Array((to - from) * 3);
      const normals = new Float32Array((to - from) * 3);
      for (let c = from; c < to; c++) {
        for (let k = 0; k < 3; k++) {
          positions[(c - from) * 3 + k] = plant.cards[c * 8 + k]!;
          normals[(c - from) * 3 + k] = plant.cards[c * 8 + 3 + k]!;
        }
      }
      const body = clump < plant.clumps.length / 5 ? leaves.firstOfPlant[index]! + clump : -1;
      let sides = 0;
      for (let c = from; c < to; c++) sides += plant.cards[c * 8 + 6]!;
      out.push(group('cards', first + from, positions, normals, { body, halfM: sides / (to - from) / 2 }));
      from = to;
    }
    first += cards;
  });
  return out;
}

/** Vertices of strands that make a group, and how far from the first ring of the group others may stand, metres. */
const BUNCH_VERTICES = 64;
const BUNCH_M = 0.8;

/**
 * Strands of one part that follow each other and stand together, a bunch each: twigs share what a lamp asks of the scene.
 * What throws hard shadows stands apart from what does not. Depends on the strands of the part alone.
 */
export function bunchStrands(strands: readonly Strand[]): Strand[][] {
  const out: Strand[][] = [];
  let bunch: Strand[] = [];
  let vertices = 0;
  for (const strand of strands) {
    const own = strand.radiiM.length * strand.sides;
    const first = bunch[0];
    const alike = first && strand.partId === first.partId && strand.occludes === first.occludes;
    if (!alike || vertices + own > BUNCH_VERTICES || reachFrom(first, strand) > BUNCH_M) {
      bunch = [];
      vertices = 0;
      out.push(bunch);
    }
    bunch.push(strand);
    vertices += own;
  }
  return out;
}

/** Largest distance of a ring of a strand from the first ring of another, metres. */
function reachFrom(first: Strand, { ringsM }: Strand): number {
  const [x, y, z] = first.ringsM;
  let most = 0;
  for (let i = 0; i < ringsM.length; i += 3) {
    most = Math.max(most, Math.hypot(ringsM[i]! - x!, ringsM[i + 1]! - y!, ringsM[i + 2]! - z!));
  }
  return most;
}

/** The group of a bunch of strands; `first` is the number of its first vertex in the field. */
export function strandGroup(bunch: readonly Strand[], first: number): PointGroup {
  const meshes = bunch.map((strand) => buildStrandMesh(strand));
  const length = meshes.reduce((sum, { positions }) => sum + positions.length, 0);
  const [positions, normals] = [new Float32Array(length), new Float32Array(length)];
  let at = 0;
  for (const mesh of meshes) {
    positions.set(mesh.positions, at);
    normals.set(mesh.normals, at);
    at += mesh.positions.length;
  }
  const eyes = bunch.some((strand) => strand.occludes) ? undefined : eyesOf(bunch);
  return group('strand', first, positions, normals, { partId: bunch[0]?.partId ?? '', eyes });
}

/**
 * One eye a ring: round a twig nothing changes that is worth more rays. The first ring of a strand stands within the wood it
 * grows from and looks out of the second.
 */
function eyesOf(bunch: readonly Strand[]): Eyes {
  const positions: number[] = [];
  const of: number[] = [];
  for (const { ringsM, radiiM, sides } of bunch) {
    const base = positions.length / 3 - 1;
    positions.push(...ringsM.subarray(3));
    for (let r = 0; r < radiiM.length; r++) for (let k = 0; k < sides; k++) of.push(base + Math.max(1, r));
  }
  return { positions: Float32Array.from(positions), of: Uint16Array.from(of) };
}

export function group(
  kind: PointGroup['kind'],
  first: number,
  positions: Float32Array,
  normals: Float32Array,
  { body = -1, halfM = 0, partId = '', eyes = undefined }: Partial<Pick<PointGroup, 'body' | 'halfM' | 'partId' | 'eyes'>> = {},
): PointGroup {
  const count = positions.length / 3;
  const centre = new Float64Array(3);
  for (let i = 0; i < positions.length; i++) centre[i % 3]! += positions[i]! / count;
  let radiusM = 0;
  for (let i = 0; i < count; i++) {
    radiusM = Math.max(
      radiusM,
      Math.hypot(positions[i * 3]! - centre[0]!, positions[i * 3 + 1]! - centre[1]!, positions[i * 3 + 2]! - centre[2]!),
    );
  }
  return { kind, first, count, positions, normals, centre, radiusM, body, halfM, partId, eyes };
}

/** Candidates up to which a group's own list beats the tree. */
const MOST_TRIANGLES = 48;
const triangles = new Int32Array(MOST_TRIANGLES);
let bodies = new Int32Array(1024);
const cone = createCone();
let lux = new Float64Array(64);

/** Cards of a clump whose brightest, unshadowed and at full output, is below this share what stands between it and the lamp. */
const SHARED_BELOW_LX = 0.5;
/** Cards of such a clump that look for hard shadow; where they disagree all do. */
const LOOKOUTS = 3;

/** What one place sees of the groups; independent of lamp, beam and aim. */
export interface GroupSight {
  /** Optical depth on the way per point, ∞ behind something opaque, NaN where nobody asked yet. */
  each: Map<PointGroup, Float32Array>;
  /** The same for dim clumps, from one ray for the leaves between and a few for hard shadow. */
  shared: Map<PointGroup, Float32Array>;
}

export const createSight = (): GroupSight => ({ each: new Map(), shared: new Map() });

/**
 * Indices of the groups that a source can light at all, in order.
 */
export function groupsInReach(caster: Caster, emitter: Emitter, groups: readonly PointGroup[]): Int32Array {
  if (caster.kernels) return reachedGroups(caster.kernels, groups, emitter, POINT_CUT_LX).slice();
  return Int32Array.from(groups.keys()).filter((k) => groupBound(emitter, groups[k]!) >= POINT_CUT_LX);
}

/**
 * Lights a group by one source. Cards take E on the side that faces the lamp, I·T·|cos|/(d² + r²), with a ray of their own;
 * without kernels dim clumps take their own leaves card by card and what stands between from the clump's centre. Returns
 * undefined where nothing exceeds the cut.
 *
 * @param sight what the place is known to see; filled in.
 */
export function lightGroup(
  caster: Caster,
  emitter: Emitter,
  points: PointGroup,
  leavesOn: boolean,
  sight: GroupSight,
): GroupLight | undefined {
  if (caster.kernels) {
    if (!sight.each.has(points)) caster.rays += points.count;
    return lightGroupPoints(caster.kernels, emitter, points, (points.kind === 'cards' ? CARDS : STRANDS)[+leavesOn]!, sight.each);
  }
  if (groupBound(emitter, points) < POINT_CUT_LX) return undefined;
  if (lux.length < points.count) lux = new Float64Array(points.count);
  let most = 0;
  for (let i = 0; i < points.count; i++) {
    lux[i] = openLux(emitter, points, i);
    most = Math.max(most, Math.abs(lux[i]!));
  }
  if (most === 0) return undefined;
  const shared = points.body >= 0 && most < SHARED_BELOW_LX;
  const depth = shared
    ? sharedDepths(caster, emitter, points, sight)
    : points.eyes
      ? eyeDepths(caster, emitter, points, points.eyes, sight)
      : eachDepth(caster, emitter, points, sight);
  const sides = points.kind === 'cards' ? 2 : 1;
  let out: GroupLight | undefined;
  for (let i = 0; i < points.count; i++) {
    if (lux[i] === 0 || depth[i] === Infinity) continue;
    const value = lux[i]! * (leavesOn ? Math.exp(-depth[i]!) : 1);
    if (Math.abs(value) < POINT_CUT_LX / 4) continue;
    out ??= new Float32Array(points.count * sides);
    if (sides === 1) out[i] = value;
    else out[i * 2 + (value > 0 ? 0 : 1)] = Math.abs(value);
  }
  return out;
}

/** Depths of a dim clump: leaves between from its centre, own leaves card by card, hard shadow by a few cards. */
function sharedDepths(caster: Caster, emitter: Emitter, points: PointGroup, sight: GroupSight): Float32Array {
  let depth = sight.shared.get(points);
  if (depth) return depth;
  depth = new Float32Array(points.count);
  sight.shared.set(points, depth);
  const { leaves } = caster;
  const at = emitter.at;
  const own = points.body * 7;
  const [cx, cy, cz] = [points.centre[0]!, points.centre[1]!, points.centre[2]!];
  const all = opticalDepth(leaves, cx, cy, cz, at[0]! - cx, at[1]! - cy, at[2]! - cz, 1);
  const ownK = leaves.data[own + 6]!;
  const between = all - ownK * chordM(leaves.data, own, cx, cy, cz, at[0]! - cx, at[1]! - cy, at[2]! - cz, 0, 1);
  let seen = 0;
  const asked = Math.min(LOOKOUTS, points.count);
  for (let k = 0; k < asked; k++) if (seesLamp(caster, emitter, points, Math.floor(((k + 0.5) * points.count) / asked))) seen++;
  for (let i = 0; i < points.count; i++) {
    const open = seen === asked || (seen > 0 && seesLamp(caster, emitter, points, i));
    if (!open) {
      depth[i] = Infinity;
      continue;
    }
    const [px, py, pz] = [points.positions[i * 3]!, points.positions[i * 3 + 1]!, points.positions[i * 3 + 2]!];
    const chord = chordM(leaves.data, own, px, py, pz, at[0]! - px, at[1]! - py, at[2]! - pz, 0, 1);
    depth[i] = Math.max(0, between) + ownK * chord;
  }
  return depth;
}

function seesLamp(caster: Caster, emitter: Emitter, points: PointGroup, i: number): boolean {
  const px = points.positions[i * 3]!;
  const py = points.positions[i * 3 + 1]!;
  const pz = points.positions[i * 3 + 2]!;
  const dx = emitter.at[0]! - px;
  const dy = emitter.at[1]! - py;
  const dz = emitter.at[2]! - pz;
  const end = 1 - 1e-4 / Math.sqrt(dx * dx + dy * dy + dz * dz);
  caster.rays++;
  return !anyHit(caster.triangles, px, py, pz, dx, dy, dz, 0, end, 0, 0, 0, -1);
}

/** Depths of all points that get light, traced where they were not yet from this place. */
function eachDepth(caster: Caster, emitter: Emitter, points: PointGroup, sight: GroupSight): Float32Array {
  const depth = depthsFrom(sight, points, points.count);
  const off = points.kind === 'strand' ? STRAND_STAND_OFF_M : 0;
  const { positions: p, normals: n } = points;
  let between: Between | undefined;
  for (let i = 0, k = 0; i < points.count; i++, k += 3) {
    if (lux[i] === 0 || !Number.isNaN(depth[i])) continue;
    between ??= findBetween(caster, emitter, points);
    depth[i] = depthTo(caster, emitter, between, p[k]! + off * n[k]!, p[k + 1]! + off * n[k + 1]!, p[k + 2]! + off * n[k + 2]!);
  }
  return depth;
}

/** The same from the eyes of the points; kept by eye, handed out by point. */
function eyeDepths(caster: Caster, emitter: Emitter, points: PointGroup, eyes: Eyes, sight: GroupSight): Float32Array {
  const known = depthsFrom(sight, points, eyes.positions.length / 3);
  const out = new Float32Array(points.count);
  let between: Between | undefined;
  for (let i = 0; i < points.count; i++) {
    const eye = eyes.of[i]!;
    if (lux[i] !== 0 && Number.isNaN(known[eye])) {
      between ??= findBetween(caster, emitter, points);
      const [x, y, z] = [eyes.positions[eye * 3]!, eyes.positions[eye * 3 + 1]!, eyes.positions[eye * 3 + 2]!];
      known[eye] = depthTo(caster, emitter, between, x, y, z);
    }
    out[i] = known[eye]!;
  }
  return out;
}

function depthsFrom(sight: GroupSight, points: PointGroup, count: number): Float32Array {
  let depth = sight.each.get(points);
  if (!depth) {
    depth = new Float32Array(count).fill(Number.NaN);
    sight.each.set(points, depth);
  }
  return depth;
}

/** How many triangles (negative: too many) and leaf bodies of the two lists may stand between a group and the lamp. */
interface Between {
  near: number;
  leafy: number;
}

function findBetween(caster: Caster, emitter: Emitter, points: PointGroup): Between {
  aimCone(cone, points.centre, points.radiusM, emitter.at);
  const near = collectCone(caster.triangles.tree, cone, triangles, MOST_TRIANGLES);
  if (bodies.length < caster.leaves.count) bodies = new Int32Array(caster.leaves.count);
  return { near, leafy: collectCone(caster.leaves.tree, cone, bodies, bodies.length) };
}

/** Optical depth between a place of the group that was last looked round and the lamp; ∞ behind something opaque. */
function depthTo(caster: Caster, emitter: Emitter, { near, leafy }: Between, px: number, py: number, pz: number): number {
  const dx = emitter.at[0]! - px;
  const dy = emitter.at[1]! - py;
  const dz = emitter.at[2]! - pz;
  const end = 1 - 1e-4 / Math.sqrt(dx * dx + dy * dy + dz * dz);
  caster.rays++;
  const hidden =
    near >= 0
      ? anyHitAmong(caster.triangles, triangles, near, px, py, pz, dx, dy, dz, end)
      : anyHit(caster.triangles, px, py, pz, dx, dy, dz, 0, end, 0, 0, 0, -1);
  if (hidden) return Infinity;
  const { data, tree } = caster.leaves;
  let sum = 0;
  for (let k = 0; k < leafy; k++) {
    const at = tree.order[bodies[k]!]! * 7;
    sum += data[at + 6]! * chordM(data, at, px, py, pz, dx, dy, dz, 0, 1);
  }
  return sum;
}

function groupBound(emitter: Emitter, points: PointGroup): number {
  const x = points.centre[0]! - emitter.at[0]!;
  const y = points.centre[1]! - emitter.at[1]!;
  const z = points.centre[2]! - emitter.at[2]!;
  const D = Math.sqrt(x * x + y * y + z * z);
  const R = points.radiusM;
  if (D <= R * 1.5) return Infinity;
  const F = emitter.frame;
  const cos = (x * F[0]! + y * F[1]! + z * F[2]!) / D;
  const sinR = R / D;
  const cosR = Math.sqrt(1 - sinR * sinR);
  const nearest = cos >= cosR ? 1 : cos * cosR + Math.sqrt(Math.max(0, 1 - cos * cos)) * sinR;
  return largestCandelaBeyond(emitter.beam, nearest) / (D - R) ** 2;
}

/** Unshadowed signed lux: positive on the side of the normal, negative on the other; strands have one side. */
function openLux(emitter: Emitter, points: PointGroup, i: number): number {
  const nx = points.normals[i * 3]!;
  const ny = points.normals[i * 3 + 1]!;
  const nz = points.normals[i * 3 + 2]!;
  const off = points.kind === 'strand' ? STRAND_STAND_OFF_M : 0;
  const dx = emitter.at[0]! - points.positions[i * 3]! - off * nx;
  const dy = emitter.at[1]! - points.positions[i * 3 + 1]! - off * ny;
  const dz = emitter.at[2]! - points.positions[i * 3 + 2]! - off * nz;
  const along = dx * nx + dy * ny + dz * nz;
  if (off > 0 && along <= 0) return 0;
  const d2 = dx * dx + dy * dy + dz * dz;
  const d = Math.sqrt(d2);
  if (d < 1e-6) return 0;
  const F = emitter.frame;
  const I = beamCandela(
    emitter.beam,
    -(dx * F[0]! + dy * F[1]! + dz * F[2]!) / d,
    -(dx * F[3]! + dy * F[4]! + dz * F[5]!),
    -(dx * F[6]! + dy * F[7]! + dz * F[8]!),
  );
  const E = (I * along) / (d * (d2 + emitter.lensRadiusM ** 2));
  return Math.abs(E) < POINT_CUT_LX / 4 ? 0 : E;
}
