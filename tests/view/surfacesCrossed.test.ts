import { describe, expect, it } from 'vitest';
import type { TileRef } from '../../src/lights/index.ts';
import type { Face, SceneModel } from '../../src/scene/index.ts';
import { LookTable } from '../../src/view/surfaces/looks.ts';
import { surfaceFragment, surfaceVertex } from '../../src/view/surfaces/shader.ts';
import { TileMeshes } from '../../src/view/surfaces/tileMeshes.ts';

function wall(material: number): Face {
  return {
    id: `wall-${material}`,
    partId: 'wall',
    name: 'wall',
    kind: 'wall',
    origin: [0, 0, 0],
    u: [1, 0, 0],
    v: [0, 1, 0],
    normal: [0, 0, 1],
    widthM: 1.2,
    heightM: 0.6,
    loops: [
      [
        [0, 0],
        [1.2, 0],
        [1.2, 0.6],
        [0, 0.6],
      ],
    ],
    material,
    patches: [],
    covers: [],
    luminanceCdM2: 0,
    emissionCctK: 4000,
    finestM: 0.02,
    sampled: true,
  };
}

const scene = {
  faces: [wall(0), wall(1)],
  materials: [
    { id: 'brickRed', reflectanceRgb: [0.4, 0.2, 0.1], ref: 'brickRed' },
    { id: 'terracotta', reflectanceRgb: [0.4, 0.4, 0.4], ref: 'terracotta' },
  ],
} as unknown as SceneModel;
const tile = (face: number, i: number, isCrossed: boolean): TileRef => ({
  id: `wall-${face}#4/${i}/0`,
  slot: 2 * face + i,
  face,
  level: 4,
  cellM: 0.02,
  s0M: 0.6 * i,
  t0M: 0,
  isCrossed,
});

describe('tiles whose beams cross', () => {
  it('of masonry are drawn by a program of their own, others stay where they were', () => {
    const meshes = new TileMeshes(scene, new LookTable(scene));
    const plain = meshes.build([tile(0, 0, false), tile(0, 1, false), tile(1, 0, false), tile(1, 1, false)]);
    expect([...plain.keys()].sort()).toEqual(['masonry', 'smooth']);
    const crossed = meshes.build([tile(0, 0, false), tile(0, 1, true), tile(1, 0, true), tile(1, 1, false)]);
    expect([...crossed.keys()].sort()).toEqual(['masonry', 'masonry+', 'smooth']);
    const corners = (name: 'masonry' | 'masonry+' | 'smooth'): number => crossed.get(name)!.indices.length;
    expect(corners('masonry')).toBe(corners('masonry+'));
    expect(corners('masonry') + corners('masonry+')).toBe(plain.get('masonry')!.indices.length);
  });

  it('read one texture more, 16 samplers at most; the plain program does not know it', () => {
    // MAX_TEXTURE_IMAGE_UNITS is at least 16: OpenGL ES 3.0 table 6.30.
    const count = (source: string): number => [...source.matchAll(/uniform\s+(?:\w+\s+)?sampler\w*\s+\w+/g)].length;
    expect(count(surfaceVertex) + count(surfaceFragment('masonry', true))).toBeLessThanOrEqual(16);
    expect(surfaceFragment('masonry')).not.toContain('#define CROSSED');
    expect(surfaceFragment('masonry', true)).toContain('#define CROSSED');
  });
});
