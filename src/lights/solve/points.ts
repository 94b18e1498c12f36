import type { SceneModel } from '../../scene/index.ts';
import { beamCandela, largestCandelaBeyond } from '../beam.ts';
import { type Caster, chordM } from '../rays/index.ts';
import type { Emitter } from './emitter.ts';

/** Cards and strands are left dark below this, lux at full output. */
const POINT_CUT_LX = 0.02;
const STRAND_STAND_OFF_M = 0.005;

/** Points lit one by one: leaf cards of a clump (two sides) or ring vertices of a strand (one side). */
export interface PointGroup {
  kind: 'cards' | 'strand';
  /** First card or vertex in the field's array. */
  first: number;
  count: number;
  positions: Float32Array;
  normals: Float32Array;
  centre: Float64Array;
  radiusM: number;
}

/** Light of one source at full output on a group: two numbers a card (front, back), one a vertex. */
export type GroupLight = Float32Array;

/** One group a clump, in the order of the cards. Cards of one clump that do not stand together make several groups. */
export function cardGroups(scene: SceneModel): PointGroup[] {
  const out: PointGroup[] = [];
  let first = 0;
  for (const plant of scene.plants) {
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
      out.push(group('cards', first + from, positions, normals));
      from = to;
    }
    first += cards;
  }
  return out;
}

export function group(kind: PointGroup['kind'], first: number, positions: Float32Array, normals: Float32Array): PointGroup {
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
  return { kind, first, count, positions, normals, centre, radiusM };
}

const bodies = { items: new Int32Array(1024) };

/**
 * Lights a group by one source: own ray per point, leaves by the bodies that the group's shaft touches.
 * Cards take E on the side that faces the lamp, I·T·|cos|/(d² + r²). Returns undefined where nothing exceeds the cut.
 */
export function lightGroup(caster: Caster, emitter: Emitter, points: PointGroup, leavesOn: boolean): GroupLight | undefined {
  if (groupBound(emitter, points) < POINT_CUT_LX) return undefined;
  const n = leavesOn ? bodiesBetween(caster, points, emitter) : 0;
  const sides = points.kind === 'cards' ? 2 : 1;
  let out: GroupLight | undefined;
  for (let i = 0; i < points.count; i++) {
    const value = lightPoint(caster, emitter, points, i, n);
    if (value === 0) continue;
    out ??= new Float32Array(points.count * sides);
    if (sides === 1) out[i] = Math.max(0, value);
    else out[i * 2 + (value > 0 ? 0 : 1)] = Math.abs(value);
  }
  return out;
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

/** Signed lux: positive on the side of the normal, negative on the other; strands have one side. */
function lightPoint(caster: Caster, emitter: Emitter, points: PointGroup, i: number, n: number): number {
  const nx = points.normals[i * 3]!;
  const ny = points.normals[i * 3 + 1]!;
  const nz = points.normals[i * 3 + 2]!;
  const off = points.kind === 'strand' ? STRAND_STAND_OFF_M : 0;
  const px = points.positions[i * 3]! + off * nx;
  const py = points.positions[i * 3 + 1]! + off * ny;
  const pz = points.positions[i * 3 + 2]! + off * nz;
  const dx = emitter.at[0]! - px;
  const dy = emitter.at[1]! - py;
  const dz = emitter.at[2]! - pz;
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
  if (Math.abs(E) < POINT_CUT_LX / 4) return 0;
  if (caster.blocked(px, py, pz, dx / d, dy / d, dz / d, d - 1e-4)) return 0;
  const data = caster.leaves.data;
  let depth = 0;
  for (let k = 0; k < n; k++) {
    const at = bodies.items[k]!;
    depth += data[at + 6]! * chordM(data, at, px, py, pz, dx, dy, dz, 0, 1);
  }
  return E * Math.exp(-depth);
}

const stack = new Int32Array(256);

/** Leaf bodies that meet the cone from a group's sphere to the lamp; writes offsets into `leaves.data`. */
function bodiesBetween(caster: Caster, points: PointGroup, emitter: Emitter): number {
  const { tree, data, count: total } = caster.leaves;
  if (total === 0) return 0;
  const b = tree.bounds;
  let n = 0;
  let top = 0;
  stack[top++] = 0;
  while (top > 0) {
    const node = stack[--top]!;
    const at = node * 6;
    const cx = (b[at]! + b[at + 3]!) / 2;
    const cy = (b[at + 1]! + b[at + 4]!) / 2;
    const cz = (b[at + 2]! + b[at + 5]!) / 2;
    const radius = Math.sqrt((b[at + 3]! - cx) ** 2 + (b[at + 4]! - cy) ** 2 + (b[at + 5]! - cz) ** 2);
    if (!nearCone(points, emitter, cx, cy, cz, radius)) continue;
    const count = tree.count[node]!;
    const first = tree.first[node]!;
    if (count === 0) {
      stack[top++] = first;
      stack[top++] = first + 1;
      continue;
    }
    for (let i = first; i < first + count; i++) {
      const body = tree.order[i]! * 7;
      const r = Math.max(data[body + 3]!, data[body + 4]!, data[body + 5]!);
      if (!nearCone(points, emitter, data[body]!, data[body + 1]!, data[body + 2]!, r)) continue;
      if (n === bodies.items.length) {
        const bigger = new Int32Array(n * 2);
        bigger.set(bodies.items);
        bodies.items = bigger;
      }
      bodies.items[n++] = body;
    }
  }
  return n;
}

/** Sphere against the cone that narrows from the group's sphere to the lamp. */
function nearCone(points: PointGroup, emitter: Emitter, cx: number, cy: number, cz: number, radius: number): boolean {
  const ax = points.centre[0]!;
  const ay = points.centre[1]!;
  const az = points.centre[2]!;
  const dx = emitter.at[0]! - ax;
  const dy = emitter.at[1]! - ay;
  const dz = emitter.at[2]! - az;
  const px = cx - ax;
  const py = cy - ay;
  const pz = cz - az;
  const t = Math.min(1, Math.max(0, (px * dx + py * dy + pz * dz) / (dx * dx + dy * dy + dz * dz)));
  const ex = px - t * dx;
  const ey = py - t * dy;
  const ez = pz - t * dz;
  const reach = radius + points.radiusM + 0.01;
  return ex * ex + ey * ey + ez * ez <= reach * reach;
}
