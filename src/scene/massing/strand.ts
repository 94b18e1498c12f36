import type { Vec3 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import type { Strand } from './types.ts';
import { cross, dot, sub, unit } from './vec.ts';

/** Vertices a ring of a square section: two a corner. */
export const SQUARE_SIDES = 8;

export interface StrandMesh {
  /** Ring-major: vertex k of ring r is number r·sides + k; 3 numbers each. */
  positions: Float32Array;
  normals: Float32Array;
  /** Triangles, counter-clockwise seen from outside. */
  indices: Uint32Array;
}

/**
 * Surface of a strand: one ring of `sides` vertices round every centre point, joined by two triangles a side. Rings keep
 * their turn along the strand (parallel transport). Square sections (`SQUARE_SIDES`): `radiiM` is half the width across flats,
 * each corner has two vertices, one for each of the flats that meet there. A last ring of radius 0 closes the end.
 */
export function buildStrandMesh(strand: Strand): StrandMesh {
  const { sides } = strand;
  const rings = strand.radiiM.length;
  const positions = new Float32Array(rings * sides * 3);
  const normals = new Float32Array(rings * sides * 3);
  const square = strand.section === 'square';
  const flats = square ? sides / 2 : sides;
  const indices = new Uint32Array(Math.max(0, rings - 1) * flats * 6);
  const reach = square ? Math.SQRT2 : 1;
  let across: Vec3 | undefined;
  for (let r = 0; r < rings; r++) {
    const axis = ringAxis(strand, r);
    across = acrossAxis(axis, across);
    const other = cross(axis, across);
    const radius = strand.radiiM[r]! * reach;
    const widening = wideningAt(strand, r);
    const lean = 1 / Math.hypot(1, widening);
    for (let k = 0; k < sides; k++) {
      // Of a square, numbers 2f and 2f + 1 are the two corners of flat f.
      const to = square ? (((k + 1) >> 1) + 0.5) / flats : k / sides;
      const facing = square ? ((k >> 1) + 1) / flats : to;
      const [px, py] = [radius * Math.cos(2 * Math.PI * to), radius * Math.sin(2 * Math.PI * to)];
      const [nx, ny] = [Math.cos(2 * Math.PI * facing), Math.sin(2 * Math.PI * facing)];
      const at = (r * sides + k) * 3;
      for (let c = 0; c < 3; c++) {
        const out = nx * across[c]! + ny * other[c]!;
        positions[at + c] = strand.ringsM[r * 3 + c]! + px * across[c]! + py * other[c]!;
        normals[at + c] = radius > 0 ? lean * (out - widening * axis[c]!) : axis[c]!;
      }
    }
  }
  let n = 0;
  for (let r = 0; r + 1 < rings; r++) {
    for (let k = 0; k < sides; k += square ? 2 : 1) {
      const a = r * sides + k;
      const b = r * sides + ((k + 1) % sides);
      indices.set([a, b, b + sides, a, b + sides, a + sides], n);
      n += 6;
    }
  }
  return { positions, normals, indices };
}

/** Growth of the radius per length run: the side of what tapers looks a little along it. */
function wideningAt({ ringsM, radiiM }: Strand, r: number): number {
  const [i, j] = [Math.max(0, r - 1), Math.min(radiiM.length - 1, r + 1)];
  const run = Math.hypot(
    ringsM[j * 3]! - ringsM[i * 3]!,
    ringsM[j * 3 + 1]! - ringsM[i * 3 + 1]!,
    ringsM[j * 3 + 2]! - ringsM[i * 3 + 2]!,
  );
  return run > 0 ? Math.max(-1, Math.min(1, (radiiM[j]! - radiiM[i]!) / run)) : 0;
}

/** Direction of the centre line at a ring: from its neighbour before to its neighbour after. */
function ringAxis(strand: Strand, r: number): Vec3 {
  const last = strand.radiiM.length - 1;
  const point = (i: number): Vec3 => [strand.ringsM[i * 3]!, strand.ringsM[i * 3 + 1]!, strand.ringsM[i * 3 + 2]!];
  for (const [i, j] of [
    [Math.max(0, r - 1), Math.min(last, r + 1)],
    [Math.max(0, r - 2), Math.min(last, r + 2)],
  ] as const) {
    const axis = unit(sub(point(j), point(i)));
    if (axis[0] !== 0 || axis[1] !== 0 || axis[2] !== 0) return axis;
  }
  return [0, 1, 0];
}

/** Unit vector square to the axis: the last one turned as little as possible, else +X or up. */
function acrossAxis(axis: Vec3, before: Vec3 | undefined): Vec3 {
  const upright = Math.abs(axis[1]) > 0.9;
  for (const guess of [before, upright ? ([1, 0, 0] as Vec3) : ([0, 1, 0] as Vec3), [0, 0, 1] as Vec3]) {
    if (!guess) continue;
    const d = dot(guess, axis);
    if (Math.abs(d) > 0.99) continue;
    return unit([guess[0] - d * axis[0], guess[1] - d * axis[1], guess[2] - d * axis[2]]);
  }
  return [1, 0, 0];
}

/** Puts a strand's surface in the way of light; segments thinner than `leastRadiusM` at both ends are left out. */
export function addStrandOccluders(b: SceneBuilder, strand: Strand, leastRadiusM = 0): void {
  const { positions, indices } = buildStrandMesh(strand);
  const at = (i: number): Vec3 => [positions[i * 3]!, positions[i * 3 + 1]!, positions[i * 3 + 2]!];
  const perSegment = indices.length / (strand.radiiM.length - 1);
  for (let i = 0; i < indices.length; i += 3) {
    const ring = Math.floor(i / perSegment);
    if (Math.max(strand.radiiM[ring]!, strand.radiiM[ring + 1]!) < leastRadiusM) continue;
    const [p, q, r] = [at(indices[i]!), at(indices[i + 1]!), at(indices[i + 2]!)];
    /* A closing ring has no width: one of its two triangles is empty. */
    if (same(q, r) || same(p, r) || same(p, q)) continue;
    b.occluder(strand.partId, p, q, r);
  }
}

function same(a: Vec3, b: Vec3): boolean {
  return a[0] === b[0] && a[1] === b[1] && a[2] === b[2];
}
