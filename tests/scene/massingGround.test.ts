import { describe, expect, it } from 'vitest';
import {
  buildScene,
  type Face,
  faceAreaM2,
  faceCoordinates,
  facePoint,
  isInsideBlock,
  pointCovered,
  propertyRecord,
  sceneGroundHeightAt,
} from '../../src/scene/index.ts';
import { materialAt } from '../../src/scene/massing/index.ts';
import { brickHouse } from './massingHouse.ts';

const rect = (x0: number, z0: number, x1: number, z1: number) => [
  [x0, z0],
  [x1, z0],
  [x1, z1],
  [x0, z1],
];

function groundOf(levels: object[], rest: object = {}, patches: object[] = []) {
  return buildScene(
    propertyRecord.parse({
      format: 'gloaming-property',
      version: 1,
      name: 'ground',
      site: {},
      ground: { levels, patches },
      ...rest,
    }),
  );
}

describe('ground', () => {
  it('on a slope s and t are true lengths: 3-4-5 and both ways at once', () => {
    const scene = groundOf([{ id: 'g', outline: rect(0, 0, 4, 8), slopeX: 0.75, material: 'lawn' }]);
    const face = scene.faces[0]!;
    expect(face.widthM).toBeCloseTo(5, 9);
    expect(face.heightM).toBeCloseTo(8, 9);
    expect(face.normal[1]).toBeCloseTo(0.8, 9);
    const both = groundOf([{ id: 'g', outline: rect(-2, -3, 5, 4), heightM: 1, slopeX: 0.1, slopeZ: -0.2, material: 'lawn' }])
      .faces[0]!;
    /* Area of a plane over plan A: A·√(1 + sx² + sz²). */
    expect(faceAreaM2(both)).toBeCloseTo(49 * Math.sqrt(1 + 0.01 + 0.04), 9);
    const { s, t, heightM } = faceCoordinates(both, [3, 1 + 0.3 - 0.2 * -1, -1]);
    expect(heightM).toBeCloseTo(0, 9);
    const back = facePoint(both, s, t);
    expect([back[0], back[2]]).toEqual([expect.closeTo(3, 9), expect.closeTo(-1, 9)]);
    expect(sceneGroundHeightAt({ faces: [both] }, 3, -1)).toBeCloseTo(1.5, 9);
    expect(sceneGroundHeightAt({ faces: [both] }, 9, 0)).toBeUndefined();
  });

  it('paints patches cut to their level, the last one on top', () => {
    const scene = groundOf([{ id: 'g', outline: rect(0, 0, 10, 10), material: 'lawn' }], {}, [
      { id: 'p', use: 'path', outline: rect(8, 2, 14, 4), material: 'paving' },
      { id: 'q', use: 'gravel', outline: rect(9, 0, 10, 10), material: 'gravel' },
    ]);
    const face = scene.faces[0]!;
    const at = (x: number, z: number) => {
      const { s, t } = faceCoordinates(face, [x, 0, z]);
      return scene.materials[materialAt(face, s, t)]!.id;
    };
    expect([at(5, 3), at(8.5, 3), at(9.5, 3)]).toEqual(['lawn', 'paving', 'gravel']);
    expect(Math.max(...face.patches[0]!.loop.map((p) => p[0]))).toBeCloseTo(10, 9);
  });

  it('later levels lie in place of earlier ones, with faces at their edges', () => {
    const scene = groundOf([
      { id: 'lot', outline: rect(0, 0, 20, 10), material: 'lawn' },
      { id: 'terrace', outline: rect(2, 2, 6, 6), heightM: 0.5, material: 'paving' },
      { id: 'court', outline: rect(10, 2, 14, 6), heightM: -0.4, material: 'gravel' },
    ]);
    const area = (id: string) => faceAreaM2(scene.faces.find((f) => f.id === id)!);
    expect(area('lot/top')).toBeCloseTo(200 - 32, 9);
    const edges = scene.faces.filter((f) => f.kind === 'kerb');
    expect(edges).toHaveLength(8);
    expect(edges.reduce((sum, f) => sum + faceAreaM2(f), 0)).toBeCloseTo(16 * 0.5 + 16 * 0.4, 9);
    /* Edges of the terrace look away from it, edges of the sunk court toward its middle. */
    const facing = (f: Face, x: number, z: number) =>
      Math.sign(f.normal[0] * (x - f.origin[0]) + f.normal[2] * (z - f.origin[2]));
    for (const f of edges) expect(facing(f, f.partId === 'terrace' ? 4 : 12, 4)).toBe(f.partId === 'terrace' ? -1 : 1);
    expect([1, 3, 12].map((x) => sceneGroundHeightAt(scene, x, 4))).toEqual([0, 0.5, -0.4].map((y) => expect.closeTo(y, 9)));
  });

  it('a slope beside level ground ends in a wedge of ½ · 10 · .5 m²', () => {
    const scene = groundOf([
      { id: 'flat', outline: rect(0, 0, 4, 10), material: 'lawn' },
      { id: 'ramp', outline: rect(4, 0, 8, 10), slopeZ: 0.05, material: 'paving' },
    ]);
    const wedge = scene.faces.filter((f) => f.kind === 'kerb');
    expect(wedge).toHaveLength(1);
    expect(faceAreaM2(wedge[0]!)).toBeCloseTo(2.5, 9);
    expect(wedge[0]!.normal[0]).toBeCloseTo(-1, 12);
  });

  it('a basin is cut out of the ground', () => {
    const scene = groundOf([{ id: 'g', outline: rect(0, 0, 20, 12), material: 'paving' }], {
      water: [{ id: 'pool', name: 'Pool', kind: 'pool', outline: rect(5, 4, 15, 8), levelM: -0.1 }],
    });
    expect(faceAreaM2(scene.faces.find((f) => f.id === 'g/top')!)).toBeCloseTo(240 - 40, 9);
    expect(faceAreaM2(scene.faces.find((f) => f.id === 'pool/top')!)).toBeCloseTo(40, 9);
    expect(scene.faces.filter((f) => f.partId === 'pool' && f.kind === 'kerb')).toHaveLength(4);
  });

  it('ground under the house, the tub and the steps is hidden, beside them not', () => {
    const scene = buildScene(brickHouse(), { growPlants: false });
    const face = scene.faces.find((f) => f.id === 'lot/top')!;
    const hidden = (x: number, z: number) => {
      const { s, t } = faceCoordinates(face, [x, -0.02 * z, z]);
      return pointCovered(face, s, t);
    };
    expect([hidden(0, -4), hidden(5.99, -0.01), hidden(-5.99, -8.99), hidden(3, 1.2), hidden(0, 0.5)]).toEqual([
      true,
      true,
      true,
      true,
      true,
    ]);
    expect([hidden(6.01, -1), hidden(0, 1.2), hidden(3.4, 1.2), hidden(-6.02, -5), hidden(3, 0.02)]).toEqual([
      false,
      false,
      false,
      false,
      false,
    ]);
  });

  it('knows what lies inside a body', () => {
    const scene = buildScene(brickHouse(), { growPlants: false });
    expect(isInsideBlock(scene, [0, 2, -4])).toBe(true);
    expect(isInsideBlock(scene, [0, 2, 1])).toBe(false);
    /* In the recess of a window: .05 m behind the face, in front of the glass. */
    expect(isInsideBlock(scene, [-2.3, 4, -0.05])).toBe(false);
    /* The hip rises 2.6 m over 4.25 m: .75 m in from two edges, at (5, −1), it has climbed .46 m from eaves, inside its box but open above. */
    expect(isInsideBlock(scene, [5, 6.2, -1])).toBe(true);
    expect(isInsideBlock(scene, [5, 6.3, -1])).toBe(false);
    expect(isInsideBlock(scene, [0, 2.65, 0.5])).toBe(true);
    expect(isInsideBlock(scene, [0, 2.65, 0.5], 'hood')).toBe(false);
  });

  it('a turned house hides its ground to within a strip', () => {
    const c = Math.SQRT1_2 * 4;
    const corners = [
      [0, c],
      [c, 0],
      [0, -c],
      [-c, 0],
    ];
    const parts = corners.map((from, i) => ({
      kind: 'wall',
      id: `w${i}`,
      from,
      to: corners[(i + 1) % 4],
      heightM: 3,
      material: 'brickRed',
    }));
    const scene = groundOf([{ id: 'g', outline: rect(-9, -9, 9, 9), material: 'lawn' }], {
      buildings: [{ id: 'h', name: 'h', parts }],
    });
    const face = scene.faces.find((f) => f.id === 'g/top')!;
    const area = face.covers.reduce((sum, r) => sum + (r.s1 - r.s0) * (r.t1 - r.t0), 0);
    expect(area).toBeLessThan(16);
    expect(area).toBeGreaterThan(16 * 0.9);
  });
});

describe('feet in the ground', () => {
  it('a wall that reaches into sloping ground is covered below it, strip by strip', () => {
    const scene = groundOf([{ id: 'g', outline: rect(-1, -5, 11, 5), slopeX: 0.05, material: 'lawn' }], {
      buildings: [
        {
          id: 'b',
          name: 'b',
          parts: [
            {
              kind: 'wall',
              id: 'w',
              from: [0, 0],
              to: [10, 0],
              baseM: -0.1,
              heightM: 2,
              material: 'brickRed',
              freeStanding: true,
            },
          ],
        },
      ],
    });
    const face = scene.faces.find((f) => f.id === 'w/outer')!;
    /* Ground over the base: .1 + .05·s; inscribed level strips of 1 m lose ½ · .05 m² each. */
    const area = face.covers.reduce((sum, r) => sum + (r.s1 - r.s0) * (r.t1 - r.t0), 0);
    expect(area).toBeCloseTo(10 * 0.1 + 0.5 * 0.05 * 100 - 10 * 0.025, 6);
    expect(pointCovered(face, 9.5, 0.5)).toBe(true);
    expect(pointCovered(face, 9.5, 0.6)).toBe(false);
  });
});
