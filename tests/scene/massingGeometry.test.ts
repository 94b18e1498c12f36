import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  buildScene,
  buildStrandMesh,
  clipFaceToRect,
  faceAreaM2,
  pointInFace,
  propertyRecord,
  type Strand,
  triangulateFace,
} from '../../src/scene/index.ts';
import { clipToConvex, convexPieces, insetLoop, signedArea } from '../../src/scene/massing/polygon.ts';
import { brickHouse } from './massingHouse.ts';

type Point = [number, number];

const scene = buildScene(brickHouse(), { growPlants: false });
const front = scene.faces.find((f) => f.id === 'front/outer')!;

function triangleAreas(st: number[]): number {
  let sum = 0;
  for (let i = 0; i < st.length; i += 6) {
    const [a, b, c, d, e, f] = st.slice(i, i + 6) as [number, number, number, number, number, number];
    const area = ((c - a) * (f - b) - (e - a) * (d - b)) / 2;
    expect(area).toBeGreaterThan(0);
    sum += area;
  }
  return sum;
}

const pieceArea = (pieces: number[][]) =>
  pieces.reduce(
    (sum, p) => sum + signedArea(Array.from({ length: p.length / 2 }, (_, i): Point => [p[2 * i]!, p[2 * i + 1]!])),
    0,
  );

/** Star round the origin: simple whatever the radii. */
const star = fc.array(fc.double({ min: 0.2, max: 5, noNaN: true }), { minLength: 3, maxLength: 24 }).map((radii) =>
  radii.map((r, i): Point => {
    const a = (2 * Math.PI * i) / radii.length;
    return [r * Math.cos(a), r * Math.sin(a)];
  }),
);

describe('cutting polygons (fast-check, seed 5)', () => {
  it('convex pieces of any star have its shoelace area, and a hole takes its own away', () => {
    fc.assert(
      fc.property(star, (loop) => {
        expect(pieceArea(convexPieces([loop]))).toBeCloseTo(signedArea(loop), 6);
        const hole = loop.map(([s, t]): Point => [s * 0.5, t * 0.5]);
        expect(pieceArea(convexPieces([loop, hole]))).toBeCloseTo(0.75 * signedArea(loop), 6);
      }),
      { seed: 5, numRuns: 200 },
    );
  });

  it('cutting a star to a box and to the four boxes it falls into agrees', () => {
    const box = (s: number, t: number) => [s, t, s + 5, t, s + 5, t + 5, s, t + 5];
    fc.assert(
      fc.property(star, (loop) => {
        const parts = [box(0, 0), box(-5, 0), box(0, -5), box(-5, -5)].map((b) => clipToConvex(loop, b));
        expect(parts.reduce((sum, p) => sum + signedArea(p), 0)).toBeCloseTo(signedArea(loop), 6);
      }),
      { seed: 5, numRuns: 100 },
    );
  });

  it('two crossing loops: even–odd leaves out what both hold', () => {
    const a: Point[] = [
      [0, 0],
      [2, 0],
      [2, 2],
      [0, 2],
    ];
    const b = a.map(([s, t]): Point => [s + 1, t + 1]);
    expect(pieceArea(convexPieces([a, b]))).toBeCloseTo(6, 9);
    const diamond: Point[] = [
      [1, -0.5],
      [2.5, 1],
      [1, 2.5],
      [-0.5, 1],
    ];
    /* Diamond of 4.5 m² over a square of 4 m²: the octagon they share is 4 − 4·½·.5² = 3.5. */
    expect(pieceArea(convexPieces([a, diamond]))).toBeCloseTo(4 + 4.5 - 2 * 3.5, 9);
  });

  it('an L moved inward by .5 m, and one too thin for it', () => {
    const l: Point[] = [
      [0, 0],
      [4, 0],
      [4, 2],
      [2, 2],
      [2, 4],
      [0, 4],
    ];
    expect(signedArea(insetLoop(l, [0.5, 0.5, 0.5, 0.5, 0.5, 0.5])!)).toBeCloseTo(3 * 1 + 1 * 2, 9);
    expect(insetLoop(l, [1.2, 1.2, 1.2, 1.2, 1.2, 1.2])).toBeUndefined();
  });
});

describe('faces cut into tiles', () => {
  it('tiles of 1.2 m together have the area of the front', () => {
    let sum = 0;
    for (let i = 0; i < 10; i++)
      for (let j = 0; j < 5; j++) sum += triangleAreas(clipFaceToRect(front, i * 1.2, j * 1.2, (i + 1) * 1.2, (j + 1) * 1.2));
    expect(sum).toBeCloseTo(faceAreaM2(front), 6);
    expect(triangleAreas(triangulateFace(front))).toBeCloseTo(faceAreaM2(front), 9);
    expect(clipFaceToRect(front, 1.0, 3.6, 1.8, 5.0)).toEqual([]);
  });

  it('a point is on the face exactly when a tiny tile round it is', () => {
    for (let i = 0; i < 60; i++) {
      for (let j = 0; j < 29; j++) {
        const s = i * 0.2 + 0.07;
        const t = j * 0.2 + 0.09;
        expect(pointInFace(front, s, t)).toBe(clipFaceToRect(front, s - 1e-4, t - 1e-4, s + 1e-4, t + 1e-4).length > 0);
      }
    }
    expect(pointInFace(front, -0.1, 1)).toBe(false);
    expect(pointInFace(front, 6, 1)).toBe(false);
  });
});

describe('strands', () => {
  const bar: Strand = {
    id: 'p/bar',
    partId: 'p',
    section: 'square',
    sides: 8,
    ringsM: Float32Array.from([0, 0, 0, 0, 0.5, 0, 0, 1, 0]),
    radiiM: Float32Array.from([0.1, 0.1, 0.1]),
    material: 0,
    occludes: true,
  };

  /** Flux of the position vector through the open side surface: Σ a · (b × c) / 6 a triangle. */
  function sideFlux(strand: Strand): number {
    const { positions: p, indices } = buildStrandMesh(strand);
    let six = 0;
    for (let i = 0; i < indices.length; i += 3) {
      const [a, b, c] = [0, 1, 2].map((k) => indices[i + k]! * 3) as [number, number, number];
      six +=
        p[a]! * (p[b + 1]! * p[c + 2]! - p[b + 2]! * p[c + 1]!) +
        p[a + 1]! * (p[b + 2]! * p[c]! - p[b]! * p[c + 2]!) +
        p[a + 2]! * (p[b]! * p[c + 1]! - p[b + 1]! * p[c]!);
    }
    return six / 6;
  }

  it('a square bar is as wide across its flats as its record, turned to the axes, ring by ring', () => {
    const { positions, normals, indices } = buildStrandMesh(bar);
    expect(positions).toHaveLength(3 * 8 * 3);
    expect(indices).toHaveLength(2 * 4 * 6);
    for (let i = 0; i < positions.length; i += 3) {
      expect(Math.abs(positions[i]!)).toBeCloseTo(0.1, 6);
      expect(Math.abs(positions[i + 2]!)).toBeCloseTo(0.1, 6);
      expect(Math.hypot(normals[i]!, normals[i + 1]!, normals[i + 2]!)).toBeCloseTo(1, 6);
      // Flat: the normal is an axis, and the corner lies half the width along it.
      expect(Math.max(Math.abs(normals[i]!), Math.abs(normals[i + 2]!))).toBeCloseTo(1, 6);
      expect(positions[i]! * normals[i]! + positions[i + 2]! * normals[i + 2]!).toBeCloseTo(0.1, 6);
    }
    // All three corners of a triangle look the way the triangle does.
    for (let i = 0; i < indices.length; i += 3) {
      const [a, b, c] = [0, 1, 2].map((k) => positions.subarray(indices[i + k]! * 3, indices[i + k]! * 3 + 3)) as Float32Array[];
      const [u, v] = [0, 1].map((k) => [0, 1, 2].map((x) => (k ? c : b)![x]! - a![x]!)) as [number[], number[]];
      const n = [u[1]! * v[2]! - u[2]! * v[1]!, u[2]! * v[0]! - u[0]! * v[2]!, u[0]! * v[1]! - u[1]! * v[0]!];
      const size = Math.hypot(...n);
      for (let k = 0; k < 3; k++)
        for (let x = 0; x < 3; x++) expect(normals[indices[i + k]! * 3 + x]!).toBeCloseTo(n[x]! / size, 5);
    }
    /* Side walls of a prism from the origin: ⅔ of its volume .2 · .2 · 1, outward positive. */
    expect(sideFlux(bar)).toBeCloseTo((2 / 3) * 0.04, 6);
  });

  it('a closing ring adds the cap: the last third', () => {
    const closed = { ...bar, ringsM: Float32Array.from([...bar.ringsM, 0, 1, 0]), radiiM: Float32Array.from([0.1, 0.1, 0.1, 0]) };
    expect(sideFlux(closed)).toBeCloseTo(0.04, 6);
  });

  it('a railing of 5 m: posts 2 m apart or nearer, bars 120 mm or so, two rails, all in the way', () => {
    const model = buildScene(
      propertyRecord.parse({
        format: 'gloaming-property',
        version: 1,
        name: 'railing',
        site: {},
        buildings: [{ id: 'b', name: 'b', parts: [{ kind: 'railing', id: 'r', from: [0, 0], to: [4, 3], heightM: 1.1 }] }],
      }),
    );
    const count = (word: string) => model.strands.filter((s) => s.id.startsWith(`r/${word}`)).length;
    /* 5 / 2 → 3 bays (rounded), 4 posts; 5 / .12 → 42 spaces, 41 places, of which two fall on the inner posts. */
    expect([count('post'), count('rail'), count('bar')]).toEqual([4, 2, 39]);
    expect(model.faces).toHaveLength(0);
    expect(model.occluders.face.every((f) => f === -1)).toBe(true);
    /* A closed square bar has 8 side and 4 cap triangles, a rail 8. */
    expect(model.occluders.count).toBe((4 + 39) * 12 + 2 * 8);
    /* Posts rise .05 m over the rail; bounds add half a post's width all round. */
    expect(model.boundsMax[1]).toBeCloseTo(1.15 + 0.02, 6);
  });
});

describe('planting', () => {
  it('limbs over 3 cm stand in the way with the plant as part; leaves and bark come along', () => {
    const model = buildScene(brickHouse());
    expect(model.plants).toHaveLength(1);
    const limbs = model.strands.filter((s) => s.partId === 'birch');
    expect(limbs.length).toBeGreaterThan(5);
    expect(model.materials[limbs[0]!.material]!.id).toBe('barkBrown');
    const part = model.occluders.partIds.indexOf('birch');
    expect(part).toBeGreaterThanOrEqual(0);
    expect(model.occluders.part.some((p, i) => p === part && model.occluders.face[i] === -1)).toBe(true);
    expect(model.boundsMax[1]).toBeGreaterThan(model.plants[0]!.centre[1]);
    /* A scene handed over to another thread leaves the next one whole. */
    const cards = model.plants[0]!.cards.length;
    structuredClone(model, { transfer: [model.plants[0]!.cards.buffer, limbs[0]!.ringsM.buffer] as ArrayBuffer[] });
    expect(buildScene(brickHouse()).plants[0]!.cards).toHaveLength(cards);
  });

  it('a textbook crown is an ellipsoid and no plant', () => {
    const model = buildScene(
      propertyRecord.parse({
        format: 'gloaming-property',
        version: 1,
        name: 'crown',
        site: {},
        planting: [{ kind: 'ellipsoidCrown', id: 'c', centre: [0, 3, 0], radiiM: [1, 2, 1], leafAreaDensityM2M3: 1.5 }],
      }),
    );
    expect(model.ellipsoids).toEqual([{ id: 'c', centre: [0, 3, 0], radiiM: [1, 2, 1], leafAreaDensityM2M3: 1.5, clumping: 1 }]);
    expect([model.boundsMin, model.boundsMax]).toEqual([
      [-1, 1, -1],
      [1, 5, 1],
    ]);
  });
});
