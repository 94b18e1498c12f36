import { type Face, pointCovered, pointInFace } from '../../scene/index.ts';
import type { Caster } from '../rays/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';
import type { TileVisibility } from './tile.ts';

const RAYS = 12;

/** When the first rays, one near each corner of the texel, agree, the rest are spared. */
const FIRST_RAYS = 4;
const CORNERS = [-0.4, -0.4, 0.4, -0.4, -0.4, 0.4, 0.4, 0.4];

/** Fixed jitter: texel (a, b) in −½…½, corners first, then an R2 sequence; lens disc (x, y) by a spiral. */
const JITTER = Float64Array.from(
  Array.from({ length: RAYS }, (_, k) => {
    const radius = Math.sqrt((((k * 5) % RAYS) + 0.5) / RAYS);
    const angle = k * Math.PI * (3 - Math.sqrt(5));
    return [
      k < FIRST_RAYS ? CORNERS[k * 2]! : ((0.5 + (k + 1) * 0.7548776662466927) % 1) - 0.5,
      k < FIRST_RAYS ? CORNERS[k * 2 + 1]! : ((0.5 + (k + 1) * 0.5698402909980532) % 1) - 0.5,
      radius * Math.cos(angle),
      radius * Math.sin(angle),
    ];
  }).flat(),
);

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
 */
export function smoothEdges(
  caster: Caster,
  face: Face,
  node: TileNode,
  visibility: TileVisibility,
  world: ArrayLike<number>,
  lensRadiusM: number,
  wanted: (sample: number) => boolean,
): void {
  const at = visibility.shadow ? edgeSamples(node, visibility.shadow).filter(wanted) : [];
  const seen = new Float32Array(at.length);
  for (let n = 0; n < at.length; n++) {
    const hard = 1 - ((visibility.shadow![at[n]! >> 5]! >>> (at[n]! & 31)) & 1);
    seen[n] = seenShare(caster, face, node, at[n]!, world, lensRadiusM, hard);
  }
  visibility.edges = { at: Uint16Array.from(at), seen };
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
