import type { SceneModel } from '../../scene/index.ts';
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

/** Clumps of one plant whose centres lie in one cell of this size look around together, metres. */
const CELL_M = 0.8;

/** What leaves and strands see around them: per lookout and direction the patch it meets (−1 sky, −2 nothing lit) and the leaves before it. */
export interface Probes {
  groups: readonly PointGroup[];
  patch: Int32Array;
  depth: Float32Array;
}

/** Traces the surroundings of each group from its centre; yields now and then. */
export function* traceProbes(
  scene: SceneModel,
  caster: Caster,
  bounce: BounceModel,
  groups: readonly PointGroup[],
): Generator<number, Probes, void> {
  const patch = new Int32Array(groups.length * DIRECTIONS);
  const depth = new Float32Array(groups.length * DIRECTIONS);
  const hit: BounceHit = { distanceM: 0, face: -1, s: 0, t: 0, fromFront: true };
  const far = 4 * Math.hypot(...[0, 1, 2].map((k) => scene.boundsMax[k]! - scene.boundsMin[k]!)) + 10;
  for (let g = 0; g < groups.length; g++) {
    const { centre, radiusM, kind } = groups[g]!;
    const off = kind === 'strand' ? Math.min(radiusM, 0.5) + 0.01 : 0;
    for (let k = 0; k < DIRECTIONS; k++) {
      const [dx, dy, dz] = [DIRS[k * 3]!, DIRS[k * 3 + 1]!, DIRS[k * 3 + 2]!];
      const [x, y, z] = [centre[0]! + off * dx, centre[1]! + off * dy, centre[2]! + off * dz];
      const at = g * DIRECTIONS + k;
      const met = caster.nearest(x, y, z, dx, dy, dz, far, hit);
      patch[at] = met ? -2 : dy > 0 ? -1 : -2;
      if (met && hit.face >= 0 && hit.fromFront) {
        const found = bounce.patchAt(hit.face, hit.s, hit.t);
        if (found >= 0) patch[at] = found;
      }
      depth[at] = caster.leafDepth(x, y, z, dx, dy, dz, met ? hit.distanceM : far);
    }
    if ((g & 15) === 15) yield g;
  }
  return { groups, patch, depth };
}

const around = new Float64Array(DIRECTIONS * 3);

/**
 * Indirect light on every point: E(n) = Σ L·T·max(0, n·d)·4π/N over the traced directions, for both sides of a card.
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
  const solid = (4 * Math.PI) / DIRECTIONS;
  for (let g = 0, done = 0; g < probes.groups.length; g++) {
    if (!stale[g]) continue;
    if (++done % GROUPS_A_STEP === 0) yield;
    stale[g] = 0;
    const points = probes.groups[g]!;
    for (let k = 0; k < DIRECTIONS; k++) {
      const p = probes.patch[g * DIRECTIONS + k]!;
      const T = (leavesOn ? Math.exp(-probes.depth[g * DIRECTIONS + k]!) : 1) * solid;
      for (let c = 0; c < 3; c++) {
        around[k * 3 + c] = T * (p >= 0 ? radiosityRgb[p * 3 + c]! / Math.PI : p === -1 ? skyRgb[k * 3 + c]! : 0);
      }
    }
    for (let i = 0; i < points.count; i++) lightPointAround(points, i, out);
  }
}

function lightPointAround(points: PointGroup, i: number, out: { cards: Float32Array; strands: Float32Array }): void {
  const nx = points.normals[i * 3]!;
  const ny = points.normals[i * 3 + 1]!;
  const nz = points.normals[i * 3 + 2]!;
  let fr = 0;
  let fg = 0;
  let fb = 0;
  let br = 0;
  let bg = 0;
  let bb = 0;
  for (let k = 0; k < DIRECTIONS; k++) {
    const c = nx * DIRS[k * 3]! + ny * DIRS[k * 3 + 1]! + nz * DIRS[k * 3 + 2]!;
    if (c > 0) {
      fr += c * around[k * 3]!;
      fg += c * around[k * 3 + 1]!;
      fb += c * around[k * 3 + 2]!;
    } else {
      br -= c * around[k * 3]!;
      bg -= c * around[k * 3 + 1]!;
      bb -= c * around[k * 3 + 2]!;
    }
  }
  if (points.kind === 'strand') {
    out.strands.set([fr, fg, fb], (points.first + i) * 3);
    return;
  }
  const at = (points.first + i) * 6;
  const cards = out.cards;
  cards[at] = fr;
  cards[at + 1] = fg;
  cards[at + 2] = fb;
  cards[at + 3] = br;
  cards[at + 4] = bg;
  cards[at + 5] = bb;
}
