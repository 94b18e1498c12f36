import { luminanceOf, skyCoefficients, skyFromCoefficients } from '../../exposure/index.ts';
import { type Face, materialAt, type Pane, type PlantModel, type Vec3 } from '../../scene/index.ts';
import { chordM, type TriangleHit } from '../rays/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { type Hit, type Rgb, TILE_CELLS, TILE_SAMPLES } from '../types.ts';
import type { SolverState } from './state.ts';

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;
/** A pane and the glass that closes it lie in one plane; a bar in front of it, 15 mm proud, hides it. */
const ON_PANE_M = 0.002;
const triangleHit: TriangleHit = { distanceM: 0, triangle: -1 };

export function unit(v: Vec3): Vec3 {
  const l = Math.hypot(v[0], v[1], v[2]);
  if (!(l > 0)) throw new RangeError(`direction ${v.join(', ')}: must have a length`);
  return [v[0] / l, v[1] / l, v[2] / l];
}

/** Nearest opaque surface along a ray. */
export function cast(state: SolverState, from: Vec3, direction: Vec3, maxM = 1e6): Hit | undefined {
  const d = unit(direction);
  if (!state.caster.nearestTriangle(...from, ...d, maxM, triangleHit)) return undefined;
  const { distanceM, triangle } = triangleHit;
  const at: Vec3 = [from[0] + d[0] * distanceM, from[1] + d[1] * distanceM, from[2] + d[2] * distanceM];
  const { occluders, faces, strands } = state.scene;
  const partId = occluders.partIds[occluders.part[triangle]!] ?? '';
  const index = occluders.face[triangle]!;
  const face = index >= 0 ? faces[index] : undefined;
  if (!face) {
    const material = strands.find((s) => s.partId === partId)?.material ?? 0;
    return { distanceM, at, normal: triangleNormal(occluders.positionsM, triangle, d), face: -1, s: 0, t: 0, material, partId };
  }
  const x = [at[0] - face.origin[0], at[1] - face.origin[1], at[2] - face.origin[2]] as const;
  const s = x[0] * face.u[0] + x[1] * face.u[1] + x[2] * face.u[2];
  const t = x[0] * face.v[0] + x[1] * face.v[1] + x[2] * face.v[2];
  return { distanceM, at, normal: face.normal, face: index, s, t, material: materialAt(face, s, t), partId };
}

/** Unit normal of a triangle on the side a ray comes from. */
function triangleNormal(p: Float32Array, triangle: number, d: Vec3): Vec3 {
  const at = triangle * 9;
  const e = [3, 4, 5, 6, 7, 8].map((k) => p[at + k]! - p[at + (k % 3)]!) as [number, number, number, number, number, number];
  const n = unit([e[1] * e[5] - e[2] * e[4], e[2] * e[3] - e[0] * e[5], e[0] * e[4] - e[1] * e[3]]);
  return n[0] * d[0] + n[1] * d[1] + n[2] * d[2] > 0 ? [-n[0], -n[1], -n[2]] : n;
}

/** Tile of the field at a place of a face. */
export function tileAt(state: SolverState, face: number, s: number, t: number): TileNode | undefined {
  const roots = state.rootsOfFace.get(face);
  let node = roots?.find((n) => covers(n, s, t)) ?? roots?.find((n) => covers(n, s - 1e-6, t - 1e-6));
  while (node?.children) {
    const inside: TileNode | undefined =
      node.children.find((c) => covers(c, s, t)) ?? node.children.find((c) => covers(c, s - 1e-6, t - 1e-6));
    if (!inside) return undefined;
    node = inside;
  }
  return node && node.ref.slot >= 0 ? node : undefined;
}

function covers(node: TileNode, s: number, t: number): boolean {
  const { s0M, t0M, cellM } = node.ref;
  const side = cellM * TILE_CELLS;
  return s >= s0M && t >= t0M && s <= s0M + side && t <= t0M + side;
}

/** The four samples round a place with bilinear weights: sample, weight, … (8 numbers, reused). */
const around = new Float64Array(8);
export function bilinear(node: TileNode, s: number, t: number): Float64Array {
  const { s0M, t0M, cellM } = node.ref;
  const x = Math.min(TILE_SAMPLES - 1, Math.max(0, (s - s0M) / cellM + 0.5));
  const y = Math.min(TILE_SAMPLES - 1, Math.max(0, (t - t0M) / cellM + 0.5));
  const i = Math.min(TILE_SAMPLES - 2, x | 0);
  const j = Math.min(TILE_SAMPLES - 2, y | 0);
  const k = j * TILE_SAMPLES + i;
  around.set([k, (1 - x + i) * (1 - y + j), k + 1, (x - i) * (1 - y + j)]);
  around.set([k + TILE_SAMPLES, (1 - x + i) * (y - j), k + TILE_SAMPLES + 1, (x - i) * (y - j)], 4);
  return around;
}

export function sampleField(
  state: SolverState,
  face: number,
  s: number,
  t: number,
): { directRgb: Rgb; indirectRgb: Rgb; luminanceCdM2: number } | undefined {
  const node = tileAt(state, face, s, t);
  if (!node) return undefined;
  const read = (values: Float32Array): Rgb => {
    const w = bilinear(node, s, t);
    const out: [number, number, number] = [0, 0, 0];
    for (let q = 0; q < 8; q += 2) {
      const at = (node.ref.slot * SAMPLES + w[q]!) * 3;
      for (let c = 0; c < 3; c++) out[c]! += w[q + 1]! * values[at + c]!;
    }
    return out;
  };
  const directRgb = read(state.atlas.field.directRgb);
  const indirectRgb = read(state.atlas.field.indirectRgb);
  const surface = state.scene.faces[face]!;
  const total: Rgb = [directRgb[0] + indirectRgb[0], directRgb[1] + indirectRgb[1], directRgb[2] + indirectRgb[2]];
  const luminanceCdM2 = surfaceLuminance(state, materialAt(surface, s, t), total) + surface.luminanceCdM2;
  return { directRgb, indirectRgb, luminanceCdM2 };
}

/** L = E·ρ/π per colour, then luminance. */
function surfaceLuminance(state: SolverState, material: number, rgb: Rgb): number {
  const rho = state.scene.materials[material]?.reflectanceRgb ?? [0, 0, 0];
  return luminanceOf([rgb[0] * rho[0], rgb[1] * rho[1], rgb[2] * rho[2]]) / Math.PI;
}

export function sampleLayer(state: SolverState, sourceId: string, face: number, s: number, t: number): number {
  const lit = state.lits.get(sourceId);
  const node = lit && tileAt(state, face, s, t);
  const layer = node && lit.layers.get(node)?.light;
  if (!layer) return 0;
  const w = bilinear(node, s, t);
  let sum = 0;
  let weight = 0;
  for (let q = 0; q < 8; q += 2) {
    const k = w[q]!;
    if (((node.rows[k >> 5]! >>> (k & 31)) & 1) === 0) continue;
    sum += w[q + 1]! * layer.e[k]!;
    weight += w[q + 1]!;
  }
  return weight > 0 ? (lit.source.weight * sum) / weight : 0;
}

/** Luminance of what a ray meets, seen through the crowns on the way. */
export function luminanceAlong(state: SolverState, from: Vec3, direction: Vec3): { luminanceCdM2: number; hit: Hit | undefined } {
  const d = unit(direction);
  const hit = cast(state, from, d);
  const pane = paneOn(state.scene.panes, from, d, hit ? hit.distanceM + ON_PANE_M : Infinity);
  const reach = hit ? hit.distanceM : 1e4;
  const behind = pane ? pane.litCdM2 : hit ? hitLuminance(state, hit) : skyLuminance(state, d);
  const crown = crownAlong(state, from, d, reach);
  return { luminanceCdM2: crown.luminanceCdM2 + crown.passes * behind, hit };
}

function skyLuminance(state: SolverState, d: Vec3): number {
  if (d[1] < 0) return 0;
  return luminanceOf(skyFromCoefficients(skyCoefficients(state.conditions, state.options.surroundings), ...d));
}

function hitLuminance(state: SolverState, hit: Hit): number {
  if (hit.face >= 0) return sampleField(state, hit.face, hit.s, hit.t)?.luminanceCdM2 ?? 0;
  return strandLuminance(state, hit);
}

/** Nearest ring vertex of the strands of the part that was met. */
function strandLuminance(state: SolverState, hit: Hit): number {
  let least = Infinity;
  let vertex = -1;
  for (const points of state.groups) {
    if (points.kind !== 'strand' || points.partId !== hit.partId) continue;
    for (let i = 0; i < points.count; i++) {
      const p = points.positions;
      const d = (p[i * 3]! - hit.at[0]) ** 2 + (p[i * 3 + 1]! - hit.at[1]) ** 2 + (p[i * 3 + 2]! - hit.at[2]) ** 2;
      if (d < least) {
        least = d;
        vertex = points.first + i;
      }
    }
  }
  if (vertex < 0) return 0;
  const rgb = state.atlas.field.strandRgb;
  return surfaceLuminance(state, hit.material, [rgb[vertex * 3]!, rgb[vertex * 3 + 1]!, rgb[vertex * 3 + 2]!]);
}

/** First lit pane whose front a ray meets before `maxM`. */
function paneOn(panes: readonly Pane[], from: Vec3, d: Vec3, maxM: number): Pane | undefined {
  let best: Pane | undefined;
  let nearest = maxM;
  for (const pane of panes) {
    if (pane.litCdM2 <= 0) continue;
    const n = pane.normal;
    const facing = n[0] * d[0] + n[1] * d[1] + n[2] * d[2];
    if (facing >= 0) continue;
    const o = [pane.origin[0] - from[0], pane.origin[1] - from[1], pane.origin[2] - from[2]] as const;
    const distance = (n[0] * o[0] + n[1] * o[1] + n[2] * o[2]) / facing;
    if (distance <= 0 || distance >= nearest) continue;
    const [s, t] = placeOn(pane, from, d, distance);
    if (s < 0 || t < 0 || s > pane.widthM || t > pane.heightM) continue;
    best = pane;
    nearest = distance;
  }
  return best;
}

function placeOn(frame: Pick<Face, 'origin' | 'u' | 'v'>, from: Vec3, d: Vec3, distance: number): [number, number] {
  const x = [0, 1, 2].map((k) => from[k]! + distance * d[k]! - frame.origin[k]!);
  const along = (axis: Vec3): number => x[0]! * axis[0] + x[1]! * axis[1] + x[2]! * axis[2];
  return [along(frame.u), along(frame.v)];
}

/** Leaves before `maxM`: mean luminance of each clump weighted by what it hides, front to back. */
function crownAlong(state: SolverState, from: Vec3, d: Vec3, maxM: number): { luminanceCdM2: number; passes: number } {
  if (!state.context.leavesOn) return { luminanceCdM2: 0, passes: 1 };
  const { leaves } = state.caster;
  const met: { at: number; depth: number; body: number }[] = [];
  if (state.caster.leafDepth(...from, ...d, maxM) === 0) return { luminanceCdM2: 0, passes: 1 };
  for (let body = 0; body < leaves.count; body++) {
    const chord = chordM(leaves.data, body * 7, ...from, ...d, 0, maxM);
    if (chord <= 0) continue;
    const at = [0, 1, 2].reduce((sum, k) => sum + (leaves.data[body * 7 + k]! - from[k]!) * d[k]!, 0);
    met.push({ at, depth: leaves.data[body * 7 + 6]! * chord, body });
  }
  met.sort((a, b) => a.at - b.at);
  let passes = 1;
  let luminanceCdM2 = 0;
  for (const { depth, body } of met) {
    const T = Math.exp(-depth);
    luminanceCdM2 += passes * (1 - T) * clumpLuminance(state, body, d);
    passes *= T;
  }
  return { luminanceCdM2, passes };
}

const cardsOfBodies = new WeakMap<object, Map<number, number[]>>();

/** Cards of a plant by clump. */
function cardsOf(plant: PlantModel, clump: number): readonly number[] {
  let clumps = cardsOfBodies.get(plant);
  if (!clumps) {
    clumps = new Map();
    for (let c = 0; c * 8 < plant.cards.length; c++) {
      const of = plant.cards[c * 8 + 7]!;
      const list = clumps.get(of);
      if (list) list.push(c);
      else clumps.set(of, [c]);
    }
    cardsOfBodies.set(plant, clumps);
  }
  return clumps.get(clump) ?? [];
}

/**
 * Mean of a clump's cards as an eye along `d` sees them: L = (ρ·E toward the eye + τ·E on the far side)/π, each card by its
 * projected area and by what of it the leaves of its own clump before it let through, exp(−k·way).
 */
function clumpLuminance(state: SolverState, body: number, d: Vec3): number {
  const { leaves } = state.caster;
  const index = leaves.plant[body]!;
  const plant = state.scene.plants[index];
  if (!plant) return 0;
  let first = 0;
  for (let p = 0; p < index; p++) first += state.scene.plants[p]!.cards.length / 8;
  const { data } = leaves;
  const [r, k] = [data[body * 7 + 3]!, data[body * 7 + 6]!];
  const lit = state.atlas.field.cards;
  const sum: [number, number, number] = [0, 0, 0];
  let weights = 0;
  for (const c of cardsOf(plant, body - leaves.firstOfPlant[index]!)) {
    const o = c * 8;
    const facing = -(plant.cards[o + 3]! * d[0] + plant.cards[o + 4]! * d[1] + plant.cards[o + 5]! * d[2]);
    const [x, y, z] = [0, 1, 2].map((i) => plant.cards[o + i]! - data[body * 7 + i]!) as [number, number, number];
    const along = x * d[0] + y * d[1] + z * d[2];
    const half = Math.sqrt(Math.max(0, r * r - (x * x + y * y + z * z - along * along)));
    const weight = Math.abs(facing) * Math.exp(-k * Math.max(0, along + half));
    const at = (first + c) * 6;
    const [near, far] = facing >= 0 ? [at, at + 3] : [at + 3, at];
    for (const i of [0, 1, 2] as const) {
      sum[i] += weight * (plant.leafReflectanceRgb[i] * lit[near + i]! + plant.leafTransmittanceRgb[i] * lit[far + i]!);
    }
    weights += weight;
  }
  return weights > 0 ? luminanceOf(sum) / (Math.PI * weights) : 0;
}
