import type { BoxTree } from '../rays/bvh.ts';

/** Hull of a sphere and a point: everything between a group of leaves and a lamp. */
export interface Cone {
  /** Centre of the sphere. */
  x: number;
  y: number;
  z: number;
  radiusM: number;
  /** Unit direction to the point, distance to it. */
  dx: number;
  dy: number;
  dz: number;
  lengthM: number;
  /** Tangent of the half angle at the point; large when the point lies in the sphere. */
  tan: number;
}

export function createCone(): Cone {
  return { x: 0, y: 0, z: 0, radiusM: 0, dx: 0, dy: 0, dz: 1, lengthM: 0, tan: 0 };
}

/** Room round the sphere for what is not exactly on its points, metres. */
const SLACK_M = 0.01;

export function aimCone(cone: Cone, centre: ArrayLike<number>, radiusM: number, point: ArrayLike<number>): void {
  const x = point[0]! - centre[0]!;
  const y = point[1]! - centre[1]!;
  const z = point[2]! - centre[2]!;
  const D = Math.max(1e-9, Math.sqrt(x * x + y * y + z * z));
  const R = radiusM + SLACK_M;
  cone.x = centre[0]!;
  cone.y = centre[1]!;
  cone.z = centre[2]!;
  cone.radiusM = R;
  cone.dx = x / D;
  cone.dy = y / D;
  cone.dz = z / D;
  cone.lengthM = D;
  cone.tan = D > R * 1.001 ? R / Math.sqrt(D * D - R * R) : 1e9;
}

/**
 * Does a sphere meet the hull? The hull is the union of spheres about c + t·(L − c) of radius R·(1 − t): the nearest one
 * lies h·tan α before the foot of the perpendicular, h being the distance from the axis.
 */
export function meetsCone(cone: Cone, x: number, y: number, z: number, radius: number): boolean {
  const px = x - cone.x;
  const py = y - cone.y;
  const pz = z - cone.z;
  const along = px * cone.dx + py * cone.dy + pz * cone.dz;
  const h2 = Math.max(0, px * px + py * py + pz * pz - along * along);
  const run = along - Math.sqrt(h2) * cone.tan;
  const at = Math.min(cone.lengthM, Math.max(0, run));
  const reach = radius + cone.radiusM * (1 - at / cone.lengthM);
  return h2 + (along - at) * (along - at) <= reach * reach;
}

const stack = new Int32Array(256);

/**
 * Places in the tree's order whose leaf box may meet the hull (boxes by the sphere round them).
 * @returns how many were written, −1 when more than `most`.
 */
export function collectCone(tree: BoxTree, cone: Cone, out: Int32Array, most: number): number {
  if (tree.order.length === 0) return 0;
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
    const ex = b[at + 3]! - cx;
    const ey = b[at + 4]! - cy;
    const ez = b[at + 5]! - cz;
    if (!meetsCone(cone, cx, cy, cz, Math.sqrt(ex * ex + ey * ey + ez * ez))) continue;
    const count = tree.count[node]!;
    const first = tree.first[node]!;
    if (count === 0) {
      stack[top++] = first;
      stack[top++] = first + 1;
      continue;
    }
    if (n + count > most) return -1;
    for (let i = 0; i < count; i++) out[n++] = first + i;
  }
  return n;
}
