import { type Face, pointCovered, pointInFace } from '../../scene/index.ts';
import { ALL_RAYS, type SceneKernels, seeEdges } from '../kernels/index.ts';
import type { Caster } from '../rays/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';
import { FIRST_RAYS, JITTER, RAYS } from './jitter.ts';
import type { TileVisibility } from './tile.ts';

/** Samples whose 3 × 3 neighbours disagree about hard shadow. */
export function edgeSamples(node: TileNode, shadow: Uint32Array): number[] {
  const out: number[] = [];
  const R = node.rows;
  for (let j = 0; j < TILE_SAMPLES; j++) {
    let light = 0;
    let dark = 0;
    for (let b = Math.max(0, j - 1); b <= Math.min(31, j + 1); b++) {
      light |= R[b]! & ~shadow[b]!;
      dark |= R[b]! & shadow[b]!;
    }
    light |= (light << 1) | (light >>> 1);
    dark |= (dark << 1) | (dark >>> 1);
    const bits = R[j]! & light & dark;
    if (bits === 0) continue;
    for (let i = 0; i < TILE_SAMPLES; i++) if ((bits >>> i) & 1) out.push(j * TILE_SAMPLES + i);
  }
  return out;
}

/**
 * Smooths shadow edges: up to twelve rays per edge sample, jittered over the texel and over the lens disc as seen from it.
 * Jittered places off the face or under a cover do not count.
 *
 * @param rows bit i of row j: an edge sample to smooth.
 */
export function smoothEdges(
  caster: Caster,
  face: Face,
  node: TileNode,
  visibility: TileVisibility,
  world: ArrayLike<number>,
  lensRadiusM: number,
  rows: Uint32Array,
): void {
  const at = samplesOf(rows);
  const seen = new Float32Array(at.length);
  for (let n = 0; n < at.length; n++) {
    const hard = 1 - ((visibility.shadow![at[n]! >> 5]! >>> (at[n]! & 31)) & 1);
    seen[n] = seenShare(caster, face, node, at[n]!, world, lensRadiusM, hard);
  }
  visibility.edges = { at, seen };
}

function samplesOf(rows: Uint32Array): Uint16Array {
  const list: number[] = [];
  for (let j = 0; j < TILE_SAMPLES; j++) {
    for (let bits = rows[j]!; bits !== 0; bits &= bits - 1) list.push(j * TILE_SAMPLES + 31 - Math.clz32(bits & -bits));
  }
  return Uint16Array.from(list);
}

/**
 * The same by the kernels, for the tile and lamp whose lux they have just worked out.
 *
 * @param rows bit i of row j: an edge sample to smooth.
 */
export function smoothEdgesFast(
  caster: Caster & { kernels: SceneKernels },
  face: Face,
  node: TileNode,
  visibility: TileVisibility,
  lensRadiusM: number,
  rows: Uint32Array,
): void {
  const at = samplesOf(rows);
  const { seen, rays } = seeEdges(caster.kernels, at, lensRadiusM, (k) => raysOnFace(face, node, k), visibility.shadow!);
  caster.rays += rays;
  visibility.edges = { at, seen };
}

/** Rays of a sample that start on the face and not under a cover, as bits. */
function raysOnFace(face: Face, node: TileNode, sample: number): number {
  const inside = validAround(node, sample);
  if (inside && !node.nearCover) return ALL_RAYS;
  const { s0M, t0M, cellM } = node.ref;
  const s = s0M + ((sample & 31) - 0.5) * cellM;
  const t = t0M + ((sample >> 5) - 0.5) * cellM;
  let bits = 0;
  for (let k = 0; k < RAYS; k++) {
    const sk = s + JITTER[k * 4]! * cellM;
    const tk = t + JITTER[k * 4 + 1]! * cellM;
    if ((inside || pointInFace(face, sk, tk)) && !pointCovered(face, sk, tk)) bits |= 1 << k;
  }
  return bits;
}

/** Are the sample and its eight neighbours all valid? Then its texel lies on the face. */
function validAround(node: TileNode, sample: number): boolean {
  const i = sample & 31;
  const j = sample >> 5;
  if (i === 0 || i === 31 || j === 0 || j === 31) return false;
  const three = 7 << (i - 1);
  const all = node.rows[j - 1]! & node.rows[j]! & node.rows[j + 1]!;
  return (all & three) === (three | 0);
}

function seenShare(
  caster: Caster,
  face: Face,
  node: TileNode,
  sample: number,
  world: ArrayLike<number>,
  r: number,
  hard: number,
): number {
  const f = node.frame;
  const { s0M, t0M, cellM } = node.ref;
  const s = s0M + ((sample & 31) - 0.5) * cellM;
  const t = t0M + ((sample >> 5) - 0.5) * cellM;
  let seen = 0;
  let count = 0;
  for (let k = 0; k < RAYS; k++) {
    if (k === FIRST_RAYS && count === FIRST_RAYS && (seen === 0 || seen === count)) break;
    const sk = s + JITTER[k * 4]! * cellM;
    const tk = t + JITTER[k * 4 + 1]! * cellM;
    if (!pointInFace(face, sk, tk) || pointCovered(face, sk, tk)) continue;
    const px = f[0]! + sk * f[3]! + tk * f[6]!;
    const py = f[1]! + sk * f[4]! + tk * f[7]!;
    const pz = f[2]! + sk * f[5]! + tk * f[8]!;
    const dx = world[0]! - px;
    const dy = world[1]! - py;
    const dz = world[2]! - pz;
    const d = Math.sqrt(dx * dx + dy * dy + dz * dz);
    // Disc across the ray: a = d × (least axis), b = d × a.
    const flat = Math.abs(dx) < Math.abs(dy) ? 0 : 1;
    const ax = flat === 0 ? 0 : -dz / d;
    const ay = flat === 0 ? dz / d : 0;
    const az = flat === 0 ? -dy / d : dx / d;
    const al = 1 / Math.sqrt(ax * ax + ay * ay + az * az);
    const u = JITTER[k * 4 + 2]! * r * al;
    const v = (JITTER[k * 4 + 3]! * r * al) / d;
    const lx = world[0]! + u * ax + v * (dy * az - dz * ay);
    const ly = world[1]! + u * ay + v * (dz * ax - dx * az);
    const lz = world[2]! + u * az + v * (dx * ay - dy * ax);
    count++;
    if (caster.sees(px, py, pz, f[9]!, f[10]!, f[11]!, lx, ly, lz)) seen++;
  }
  return count > 0 ? seen / count : hard;
}
