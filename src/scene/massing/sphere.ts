import type { PartOf, Vec3 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import { solidOf } from './solid.ts';
import { along, cross, length, sub, unit } from './vec.ts';

/** Halvings of the icosahedron's edges: 80 facets for a ball, 320 for a cavity. */
const BALL_LEVEL = 1;
const CAVITY_LEVEL = 2;

/**
 * A sphere as flat facets of a subdivided icosahedron, with its corners moved out until the facets' total area is 4πr²
 * exactly, so that the mean illuminance of a cavity, Φ/(A(1 − ρ)), is the sphere's. Single facets lie off the true radius:
 * cavity (320) planes at .992 to .995 r, corners at 1.010 r; ball (80) planes at .970 to .979 r, corners at 1.038 r.
 */
export function buildSphere(b: SceneBuilder, part: PartOf<'sphere'>): void {
  const { corners, facets } = icosphere(part.inward ? CAVITY_LEVEL : BALL_LEVEL);
  const area = facets.reduce(
    (sum, [i, j, k]) => sum + length(cross(sub(corners[j]!, corners[i]!), sub(corners[k]!, corners[i]!))) / 2,
    0,
  );
  const radius = part.radiusM * Math.sqrt((4 * Math.PI) / area);
  const points = corners.map((c) => along(part.centre, c, radius));
  facets.forEach(([i, j, k], n) => {
    const ring = part.inward ? [points[i]!, points[k]!, points[j]!] : [points[i]!, points[j]!, points[k]!];
    b.polygonFace(
      {
        id: `${part.id}/facet-${n + 1}`,
        partId: part.id,
        name: `${part.name || part.id}, facet ${n + 1}`,
        kind: 'sphere',
        material: part.material,
      },
      ring,
    );
  });
  if (part.inward) return;
  const edges = facets.flatMap(([i, j, k]): [number, number][] => [
    [i, j],
    [j, k],
    [k, i],
  ]);
  b.solids.push(solidOf(part.id, points, edges, facets));
}

/** Unit icosahedron with every edge halved `level` times and pushed out to the sphere; facets counter-clockwise outside. */
function icosphere(level: number): { corners: Vec3[]; facets: [number, number, number][] } {
  const g = (1 + Math.sqrt(5)) / 2;
  const corners: Vec3[] = [];
  for (const a of [-1, 1]) for (const c of [-g, g]) corners.push(unit([0, a, c]), unit([a, c, 0]), unit([c, 0, a]));
  let facets = hullOfIcosahedron(corners);
  for (let n = 0; n < level; n++) {
    const middle = new Map<string, number>();
    const between = (i: number, j: number): number => {
      const key = i < j ? `${i},${j}` : `${j},${i}`;
      let index = middle.get(key);
      if (index === undefined) {
        const [p, q] = [corners[i]!, corners[j]!];
        index = corners.push(unit([p[0] + q[0], p[1] + q[1], p[2] + q[2]])) - 1;
        middle.set(key, index);
      }
      return index;
    };
    facets = facets.flatMap(([i, j, k]): [number, number, number][] => {
      const [a, c, d] = [between(i, j), between(j, k), between(k, i)];
      return [
        [i, a, d],
        [a, j, c],
        [d, c, k],
        [a, c, d],
      ];
    });
  }
  return { corners, facets };
}

/** All triples of mutual neighbours. */
function hullOfIcosahedron(c: Vec3[]): [number, number, number][] {
  const edge = 4 / Math.sqrt(10 + 2 * Math.sqrt(5));
  const near = (i: number, j: number) => Math.abs(length(sub(c[i]!, c[j]!)) - edge) < 1e-6;
  const facets: [number, number, number][] = [];
  for (let i = 0; i < 12; i++) {
    for (let j = i + 1; j < 12; j++) {
      if (!near(i, j)) continue;
      for (let k = j + 1; k < 12; k++) {
        if (!near(i, k) || !near(j, k)) continue;
        const n = cross(sub(c[j]!, c[i]!), sub(c[k]!, c[i]!));
        const out = n[0] * c[i]![0] + n[1] * c[i]![1] + n[2] * c[i]![2] > 0;
        facets.push(out ? [i, j, k] : [i, k, j]);
      }
    }
  }
  return facets;
}
