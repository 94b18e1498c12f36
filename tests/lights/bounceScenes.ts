import type { Face, SceneModel, Vec2, Vec3 } from '../../src/scene/index.ts';

/** One rectangle or polygon that carries light on the side of u × v. */
export interface Plate {
  id: string;
  origin: Vec3;
  u: Vec3;
  v: Vec3;
  widthM: number;
  heightM: number;
  reflectance: number;
  kind?: Face['kind'];
  luminanceCdM2?: number;
  loops?: Vec2[][];
  covers?: Face['covers'];
}

const cross = (a: Vec3, b: Vec3): Vec3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const at = (p: Plate, s: number, t: number): number[] => [0, 1, 2].map((k) => p.origin[k]! + s * p.u[k]! + t * p.v[k]!);

/** A scene of plates alone; each is an occluder of two triangles (whole rectangle, holes not cut). */
export function plateScene(plates: readonly Plate[]): SceneModel {
  const faces = plates.map(
    (p, material): Face => ({
      id: p.id,
      partId: p.id,
      name: p.id,
      kind: p.kind ?? 'panel',
      origin: p.origin,
      u: p.u,
      v: p.v,
      normal: cross(p.u, p.v),
      widthM: p.widthM,
      heightM: p.heightM,
      loops: p.loops ?? [
        [
          [0, 0],
          [p.widthM, 0],
          [p.widthM, p.heightM],
          [0, p.heightM],
        ],
      ],
      material,
      patches: [],
      covers: p.covers ?? [],
      luminanceCdM2: p.luminanceCdM2 ?? 0,
      emissionCctK: 4000,
      finestM: 0.04,
      sampled: true,
    }),
  );
  const positions = plates.flatMap((p) => {
    const [a, b, c, d] = [at(p, 0, 0), at(p, p.widthM, 0), at(p, p.widthM, p.heightM), at(p, 0, p.heightM)];
    return [...a, ...b, ...c, ...a, ...c, ...d];
  });
  return {
    faces,
    occluders: {
      count: plates.length * 2,
      positionsM: Float32Array.from(positions),
      face: Int32Array.from(plates.flatMap((_, i) => [i, i])),
      part: Int32Array.from(plates.flatMap((_, i) => [i, i])),
      partIds: plates.map((p) => p.id),
    },
    blocks: [],
    strands: [],
    plants: [],
    ellipsoids: [],
    panes: [],
    materials: plates.map((p) => ({
      id: `bare-${p.reflectance}`,
      reflectanceRgb: [p.reflectance, p.reflectance, p.reflectance],
      ref: { reflectance: p.reflectance },
    })),
    boundsMin: [-100, -100, -100],
    boundsMax: [100, 100, 100],
  };
}

/** Closed cube from the origin to (a, a, a), lit inside: floor, ceiling, back, front, left, right. */
export function room(a: number, rho: readonly [floor: number, ceiling: number, walls: number]): Plate[] {
  const side = { widthM: a, heightM: a };
  return [
    { id: 'floor', origin: [0, 0, a], u: [1, 0, 0], v: [0, 0, -1], ...side, reflectance: rho[0] },
    { id: 'ceiling', origin: [0, a, 0], u: [1, 0, 0], v: [0, 0, 1], ...side, reflectance: rho[1] },
    { id: 'back', origin: [0, 0, 0], u: [1, 0, 0], v: [0, 1, 0], ...side, reflectance: rho[2] },
    { id: 'front', origin: [a, 0, a], u: [-1, 0, 0], v: [0, 1, 0], ...side, reflectance: rho[2] },
    { id: 'left', origin: [0, 0, a], u: [0, 0, -1], v: [0, 1, 0], ...side, reflectance: rho[2] },
    { id: 'right', origin: [a, 0, 0], u: [0, 0, 1], v: [0, 1, 0], ...side, reflectance: rho[2] },
  ];
}

/** Level ground of a size round the origin. */
export const yard = (sizeM: number, reflectance: number): Plate => ({
  id: 'yard',
  origin: [-sizeM / 2, 0, sizeM / 2],
  u: [1, 0, 0],
  v: [0, 0, -1],
  widthM: sizeM,
  heightM: sizeM,
  reflectance,
  kind: 'ground',
});
