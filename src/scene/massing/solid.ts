import type { Vec2, Vec3 } from '../records/index.ts';
import type { ConvexBlock, SceneModel } from './types.ts';
import { cross, dot, length, scale, sub, unit } from './vec.ts';

/** A convex body while the scene is built: corners, edges and outward planes. */
export interface Solid {
  partId: string;
  corners: Vec3[];
  /** Pairs of corner indices. */
  edges: [number, number][];
  planes: { normal: Vec3; d: number }[];
  min: Vec3;
  max: Vec3;
  /** Whose samples it hides. */
  hides: 'all' | 'ground' | 'nothing';
  /** Parts it never hides: the walls of a house, whose windows are recessed into it. */
  spares?: ReadonlySet<string>;
  /** False: hides samples but is no block (not wholly solid). */
  isBlock: boolean;
}

/** Prism or frustum between two convex rings with the same number of corners. */
export function prismSolid(partId: string, bottom: Vec3[], top: Vec3[]): Solid {
  const n = bottom.length;
  const rings: number[][] = [bottom.map((_, i) => i), top.map((_, i) => n + i)];
  const edges: [number, number][] = [];
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    rings.push([i, j, n + j, n + i]);
    edges.push([i, j], [n + i, n + j], [i, n + i]);
  }
  return solidOf(partId, [...bottom, ...top], edges, rings);
}

/** Box from a corner and three edge vectors. */
export function boxSolid(partId: string, corner: Vec3, a: Vec3, b: Vec3, c: Vec3): Solid {
  const at = (i: number, j: number, k: number): Vec3 => [
    corner[0] + i * a[0] + j * b[0] + k * c[0],
    corner[1] + i * a[1] + j * b[1] + k * c[1],
    corner[2] + i * a[2] + j * b[2] + k * c[2],
  ];
  const ring = (k: number) => [at(0, 0, k), at(1, 0, k), at(1, 1, k), at(0, 1, k)];
  return prismSolid(partId, ring(0), ring(1));
}

/** Solid from its corners, edges and the corner rings of its sides. */
export function solidOf(partId: string, corners: Vec3[], edges: [number, number][], rings: number[][]): Solid {
  const centre = scale(
    corners.reduce<Vec3>((s, p) => [s[0] + p[0], s[1] + p[1], s[2] + p[2]], [0, 0, 0]),
    1 / corners.length,
  );
  const planes: Solid['planes'] = [];
  for (const ring of rings) {
    const normal = ringNormal(ring.map((i) => corners[i]!));
    if (length(normal) === 0) continue;
    const d = dot(normal, corners[ring[0]!]!);
    planes.push(dot(normal, centre) <= d ? { normal, d } : { normal: scale(normal, -1), d: -d });
  }
  const min: Vec3 = [Infinity, Infinity, Infinity];
  const max: Vec3 = [-Infinity, -Infinity, -Infinity];
  for (const p of corners) {
    for (let k = 0; k < 3; k++) {
      min[k] = Math.min(min[k]!, p[k]!);
      max[k] = Math.max(max[k]!, p[k]!);
    }
  }
  return { partId, corners, edges, planes, min, max, hides: 'all', isBlock: true };
}

/** Unit normal of a flat ring, Σ (pᵢ − p₀) × (pᵢ₊₁ − p₀): right for concave rings and doubled corners too; 0 without area. */
export function ringNormal(ring: Vec3[]): Vec3 {
  let sum: Vec3 = [0, 0, 0];
  const first = ring[0]!;
  for (let i = 1; i + 1 < ring.length; i++) {
    const c = cross(sub(ring[i]!, first), sub(ring[i + 1]!, first));
    sum = [sum[0] + c[0], sum[1] + c[1], sum[2] + c[2]];
  }
  return length(sum) < 1e-12 ? [0, 0, 0] : unit(sum);
}

export function toBlock(solid: Solid): ConvexBlock {
  const planes = new Float32Array(solid.planes.length * 4);
  solid.planes.forEach(({ normal, d }, i) => {
    planes.set([normal[0], normal[1], normal[2], d], i * 4);
  });
  return { partId: solid.partId, planes, min: solid.min, max: solid.max };
}

/** Corners of the cut of a solid by the plane n·p = d, in no order. */
export function cutSolid(solid: Solid, normal: Vec3, d: number): Vec3[] {
  const points: Vec3[] = [];
  for (const [i, j] of solid.edges) {
    const a = solid.corners[i]!;
    const b = solid.corners[j]!;
    const ha = dot(normal, a) - d;
    const hb = dot(normal, b) - d;
    if (ha > 0 === hb > 0 || ha === hb) continue;
    const k = ha / (ha - hb);
    points.push([a[0] + k * (b[0] - a[0]), a[1] + k * (b[1] - a[1]), a[2] + k * (b[2] - a[2])]);
  }
  return points;
}

/**
 * True when a point lies inside a solid body of the scene (more than 0.1 mm below its surface).
 * @param exceptPartId  leave this part's own body out.
 */
export function isInsideBlock(scene: Pick<SceneModel, 'blocks'>, p: Vec3, exceptPartId?: string): boolean {
  for (const block of scene.blocks) {
    if (block.partId === exceptPartId) continue;
    const { min, max, planes } = block;
    if (p[0] < min[0] || p[0] > max[0] || p[1] < min[1] || p[1] > max[1] || p[2] < min[2] || p[2] > max[2]) continue;
    let inside = true;
    for (let i = 0; inside && i < planes.length; i += 4) {
      inside = planes[i]! * p[0] + planes[i + 1]! * p[1] + planes[i + 2]! * p[2] < planes[i + 3]! - 1e-4;
    }
    if (inside) return true;
  }
  return false;
}

/** Plan loop [x, z] as a ring at height y. */
export function planRing(loop: readonly Vec2[], y: number): Vec3[] {
  return loop.map(([x, z]): Vec3 => [x, y, z]);
}
