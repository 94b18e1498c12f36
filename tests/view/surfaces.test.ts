import { describe, expect, it } from 'vitest';
import type { TileRef } from '../../src/lights/index.ts';
import type { SurfaceClass } from '../../src/materials/index.ts';
import type { Face, SceneModel } from '../../src/scene/index.ts';
import * as post from '../../src/view/post/shaders.ts';
import { areaOf, cutByMaterial, cutByTiles } from '../../src/view/surfaces/cut.ts';
import { LookTable } from '../../src/view/surfaces/looks.ts';
import { surfaceFragment, surfaceVertex } from '../../src/view/surfaces/shader.ts';

import { TileMeshes, VERTEX_NUMBERS } from '../../src/view/surfaces/tileMeshes.ts';

function ground(): Face {
  return {
    id: 'g/top',
    partId: 'g',
    name: 'ground',
    kind: 'ground',
    origin: [0, 0, 0],
    u: [1, 0, 0],
    v: [0, 0, -1],
    normal: [0, 1, 0],
    widthM: 10,
    heightM: 8,
    loops: [
      [
        [0, 0],
        [10, 0],
        [10, 8],
        [0, 8],
      ],
      [
        [4, 3],
        [4, 5],
        [6, 5],
        [6, 3],
      ],
    ],
    material: 0,
    patches: [
      {
        id: 'path',
        use: 'path',
        loop: [
          [1, 0],
          [3, 0],
          [4.5, 8],
          [2, 8],
        ],
        material: 1,
      },
      {
        id: 'slab',
        use: 'paving',
        loop: [
          [2, 2],
          [8, 2],
          [8, 4],
          [2, 4],
        ],
        material: 2,
      },
    ],
    covers: [],
    luminanceCdM2: 0,
    emissionCctK: 4000,
    finestM: 0.04,
    sampled: true,
  };
}

const areaBy = (pieces: { outline: number[]; material: number }[], material: number): number =>
  pieces.filter((p) => p.material === material).reduce((sum, p) => sum + areaOf(p.outline), 0);

describe('cutting a face', () => {
  it('by material: areas match a hand sum, later patches lie over earlier', () => {
    const pieces = cutByMaterial(ground());
    // Slab 6 × 2 m less the hole's lower half 2 × 1 m.
    expect(areaBy(pieces, 2)).toBeCloseTo(12 - 2, 6);
    // Path: trapezoid 8·(2 + 2.5)/2 less its part under the slab and its part in the hole.
    const left = (t: number): number => 1 + t / 8;
    const right = (t: number): number => 3 + (1.5 * t) / 8;
    const steps = 4000;
    let path = 0;
    for (let i = 0; i < steps; i++) {
      const t = ((i + 0.5) / steps) * 8;
      const from = left(t);
      const to = t > 2 && t < 4 ? Math.min(right(t), 2) : t > 4 && t < 5 ? Math.min(right(t), 4) : right(t);
      path += (Math.max(0, to - from) * 8) / steps;
    }
    expect(Math.abs(areaBy(pieces, 1) - path)).toBeLessThan(0.005);
    expect(pieces.reduce((sum, p) => sum + areaOf(p.outline), 0)).toBeCloseTo(80 - 4, 6);
  });

  it('by tiles: nothing lost, the finest tile wins, the rest is marked unlit', () => {
    const tile = (id: string, s0M: number, t0M: number, cellM: number): TileRef => ({
      id,
      slot: 0,
      face: 0,
      level: 0,
      cellM,
      s0M,
      t0M,
    });
    const coarse = tile('coarse', 0, 0, 0.25);
    const fine = tile('fine', 1.2, 1.2, 0.04);
    const pieces = cutByTiles(cutByMaterial(ground()), [coarse, fine]);
    const area = (t: TileRef | undefined): number =>
      pieces.filter((p) => p.tile === t).reduce((sum, p) => sum + areaOf(p.outline), 0);
    expect(area(fine)).toBeCloseTo(1.2 * 1.2, 6);
    expect(area(coarse)).toBeCloseTo(7.5 * 7.5 - 1.44 - 4, 6);
    expect(area(undefined)).toBeCloseTo(80 - 7.5 * 7.5, 6);
  });
});

const samplers = (...sources: string[]): Set<string> =>
  new Set(sources.flatMap((s) => [...s.matchAll(/uniform\s+(?:\w+\s+)?sampler\w*\s+(\w+)/g)].map((m) => m[1]!)));

describe('programs', () => {
  // 16 is the least a WebGL 2 fragment program may count on: MAX_TEXTURE_IMAGE_UNITS, OpenGL ES 3.0 table 6.30.
  it.each(['masonry', 'smooth', 'ground', 'roof', 'bark', 'metal', 'water'] as SurfaceClass[])(
    '%s reads at most 16 samplers',
    (name) => {
      const used = samplers(surfaceVertex, surfaceFragment(name));
      expect(used.has('tDirect') && used.has('tIndirect')).toBe(true);
      expect(used.size).toBeLessThanOrEqual(16);
    },
  );

  it('of walls and roofs are one and the same until their reliefs are here', () => {
    const early = (name: SurfaceClass, crossed = false): string => surfaceFragment(name, crossed, false);
    expect(early('masonry')).toBe(surfaceFragment('smooth'));
    expect(early('roof')).toBe(surfaceFragment('smooth'));
    expect(early('masonry', true)).toBe(surfaceFragment('smooth'));
    expect(early('ground')).toContain('#define OPEN_GROUND');
    expect(early('ground')).not.toContain('#define RELIEF');
  });

  it('post reads at most 16 samplers in each pass', () => {
    for (const source of Object.values(post)) expect(samplers(source).size).toBeLessThanOrEqual(16);
  });

  it('relief only where a class has it, and none shades the indirect part by direction', () => {
    expect(surfaceFragment('smooth')).not.toContain('#define RELIEF');
    const masonry = surfaceFragment('masonry');
    expect(masonry).toContain('direct *= ratio');
    expect(masonry).not.toContain('indirect *= ratio');
  });
});

describe('faces without samples of their own', () => {
  it('read the nearest place of the neighbour that lends its light', () => {
    const wall: Face = {
      ...ground(),
      id: 'w/outer',
      kind: 'wall',
      v: [0, 1, 0],
      normal: [0, 0, 1],
      loops: [
        [
          [0, 0],
          [10, 0],
          [10, 8],
          [0, 8],
        ],
      ],
      patches: [],
    };
    // Underside of a course 3 cm deep, 1 m up, standing off the wall.
    const underside: Face = {
      ...wall,
      id: 'c/under',
      kind: 'course',
      origin: [2, 1, 0.03],
      v: [0, 0, -1],
      normal: [0, 1, 0],
      widthM: 4,
      heightM: 0.03,
      loops: [
        [
          [0, 0],
          [4, 0],
          [4, 0.03],
          [0, 0.03],
        ],
      ],
      sampled: false,
      neighbourId: 'w/outer',
    };
    const scene = {
      faces: [wall, underside],
      materials: [{ id: 'limestone', reflectanceRgb: [0.5, 0.5, 0.5], ref: 'limestone' }],
    } as unknown as SceneModel;
    const tile: TileRef = { id: 'w/outer#0/0/0', slot: 0, face: 0, level: 0, cellM: 0.25, s0M: 0, t0M: 0 };
    const { vertices } = new TileMeshes(scene, new LookTable(scene)).build([tile]).get('masonry')!;
    const corner = [...Array(vertices.length / VERTEX_NUMBERS).keys()]
      .map((i) => vertices.subarray(i * VERTEX_NUMBERS, (i + 1) * VERTEX_NUMBERS))
      .find((v) => Math.abs(v[2]! - 0.03) < 1e-6 && Math.abs(v[0]! - 6) < 1e-6)!;
    // s = 6 m, t = 1 m at 25 cm a sample: texels 6/0.25 + 1 and 1/0.25 + 1.
    expect(corner[3]).toBeCloseTo(25, 5);
    expect(corner[4]).toBeCloseTo(5, 5);
  });
});
