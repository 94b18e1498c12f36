import type { PartOf, Vec2, Vec3 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import { along, bearingAxes, cross, dot, length, scale, UP, unit } from './vec.ts';

/** The six sides of a box: `front` looks along its own +Z. Seen from outside, u runs left → right and v up. */
export function boxSides(centre: Vec3, sizeM: readonly [number, number, number], bearingDeg: number) {
  const { forward, right } = bearingAxes(bearingDeg);
  const back = scale(forward, -1);
  const left = scale(right, -1);
  const half = [sizeM[0] / 2, sizeM[1] / 2, sizeM[2] / 2] as const;
  const side = (name: string, u: Vec3, v: Vec3, halfU: number, halfV: number, depth: number) => {
    const n = cross(u, v);
    const middle = along(centre, n, depth);
    return { name, u, v, origin: along(along(middle, u, -halfU), v, -halfV), size: [2 * halfU, 2 * halfV] as const };
  };
  return [
    side('front', right, UP, half[0], half[1], half[2]),
    side('back', left, UP, half[0], half[1], half[2]),
    side('right', forward, UP, half[2], half[1], half[0]),
    side('left', back, UP, half[2], half[1], half[0]),
    side('top', right, forward, half[0], half[2], half[1]),
    side('bottom', right, back, half[0], half[2], half[1]),
  ];
}

/** Box with its outside lit, or a closed room (`inward`) with its inside lit. */
export function buildBox(b: SceneBuilder, part: PartOf<'box'>): void {
  const label = part.name || part.id;
  for (const side of boxSides(part.centre, part.sizeM, part.bearingDeg)) {
    const common = {
      id: `${part.id}/${side.name}`,
      partId: part.id,
      name: `${label}, ${side.name}`,
      kind: 'box' as const,
      material: part.material,
    };
    if (!part.inward) b.face({ ...common, origin: side.origin, u: side.u, v: side.v, size: side.size });
    else
      b.face({ ...common, origin: along(side.origin, side.u, side.size[0]), u: scale(side.u, -1), v: side.v, size: side.size });
  }
  if (part.inward) return;
  const { forward, right } = bearingAxes(part.bearingDeg);
  const [w, h, d] = part.sizeM;
  const corner = along(along(along(part.centre, right, -w / 2), forward, -d / 2), UP, -h / 2);
  b.box(part.id, corner, scale(right, w), scale(forward, d), scale(UP, h));
}

/** Flat parallelogram; two-sided panels get a second face `…/back`. */
export function buildPanel(b: SceneBuilder, part: PartOf<'panel'>): void {
  const u = unit(part.u);
  const normal = unit(cross(part.u, part.v));
  const v = cross(normal, u);
  const lean = dot(part.v, u);
  const loop: Vec2[] = [
    [0, 0],
    [length(part.u), 0],
    [length(part.u) + lean, dot(part.v, v)],
    [lean, dot(part.v, v)],
  ];
  const label = part.name || part.id;
  const common = {
    partId: part.id,
    kind: 'panel' as const,
    material: part.material,
    luminanceCdM2: part.luminanceCdM2,
    emissionCctK: part.cctK,
    origin: part.corner,
    v,
  };
  b.face({ ...common, id: `${part.id}/front`, name: label, u, loops: [loop] });
  if (!part.twoSided) return;
  const mirrored = loop.map(([s, t]): Vec2 => [-s, t]).reverse();
  b.face({ ...common, id: `${part.id}/back`, name: `${label}, back`, u: scale(u, -1), loops: [mirrored] });
}
