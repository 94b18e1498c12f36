import { describe, expect, it } from 'vitest';
import { buildScene, propertyRecord, type SceneModel, type Vec3 } from '../../src/scene/index.ts';
import { brickHouse } from './massingHouse.ts';

/** Small generator with a fixed seed (mulberry32, public domain, from memory). */
function dice(seed: number): () => number {
  let a = seed;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

function randomDirection(next: () => number): Vec3 {
  const y = 2 * next() - 1;
  const a = 2 * Math.PI * next();
  const r = Math.sqrt(1 - y * y);
  return [r * Math.cos(a), y, r * Math.sin(a)];
}

/** Nearest triangle along a ray, both sides, by Möller and Trumbore 1997; −1 when none. Shares no code with the massing. */
function nearest(scene: SceneModel, from: Vec3, d: Vec3): number {
  const p = scene.occluders.positionsM;
  let best = Infinity;
  let hit = -1;
  for (let i = 0; i < scene.occluders.count; i++) {
    const o = i * 9;
    const [ax, ay, az] = [p[o]!, p[o + 1]!, p[o + 2]!];
    const [ex, ey, ez] = [p[o + 3]! - ax, p[o + 4]! - ay, p[o + 5]! - az];
    const [gx, gy, gz] = [p[o + 6]! - ax, p[o + 7]! - ay, p[o + 8]! - az];
    const [hx, hy, hz] = [d[1] * gz - d[2] * gy, d[2] * gx - d[0] * gz, d[0] * gy - d[1] * gx];
    const det = ex * hx + ey * hy + ez * hz;
    if (det === 0) continue;
    const [sx, sy, sz] = [from[0] - ax, from[1] - ay, from[2] - az];
    const u = (sx * hx + sy * hy + sz * hz) / det;
    if (u < 0 || u > 1) continue;
    const [qx, qy, qz] = [sy * ez - sz * ey, sz * ex - sx * ez, sx * ey - sy * ex];
    const v = (d[0] * qx + d[1] * qy + d[2] * qz) / det;
    if (v < 0 || u + v > 1) continue;
    const t = (gx * qx + gy * qy + gz * qz) / det;
    if (t > 1e-7 && t < best) {
      best = t;
      hit = i;
    }
  }
  return hit;
}

/** What a ray from outside may meet: a face, a pane (`wall/opening`) or a railing, not the liner within the house. */
function isOuter(scene: SceneModel, hit: number): boolean {
  if (hit < 0) return false;
  return scene.occluders.face[hit]! >= 0 || /\/|^railing/.test(scene.occluders.partIds[scene.occluders.part[hit]!]!);
}

const gabled = buildScene(
  propertyRecord.parse({
    format: 'gloaming-property',
    version: 1,
    name: 'L-shaped, gabled',
    site: {},
    buildings: [
      {
        id: 'h',
        name: 'h',
        parts: [
          ...[
            [0, 0, 8, 0],
            [8, 0, 8, -6],
            [8, -6, 4, -6],
            [4, -6, 4, -10],
            [4, -10, 0, -10],
            [0, -10, 0, 0],
          ].map(([x0, z0, x1, z1], i) => ({
            kind: 'wall',
            id: `w${i}`,
            from: [x0, z0],
            to: [x1, z1],
            heightM: 3,
            material: 'brickRed',
            openings:
              i === 3 ? [{ id: 'o', kind: 'window', alongM: 2, sillM: 0.9, widthM: 1.2, heightM: 1.2, revealM: 0.2 }] : [],
          })),
          {
            kind: 'roof',
            id: 'main',
            form: 'gable',
            centre: [4, -3],
            sizeM: [8, 6],
            eavesM: 3,
            ridgeM: 6,
            overhangM: 0.4,
            material: 'slate',
          },
          {
            kind: 'roof',
            id: 'wing',
            form: 'flat',
            centre: [2, -8],
            sizeM: [4, 4],
            eavesM: 3,
            ridgeM: 3.2,
            overhangM: 0.2,
            material: 'leadGrey',
          },
        ],
      },
    ],
  }),
);

describe('the house is a closed shell (seeds 7, 11, 13)', () => {
  it('4,000 rays from within never get out', () => {
    const next = dice(7);
    const brick = buildScene(brickHouse(), { growPlants: false });
    for (const [scene, at] of [
      [brick, () => [-5.98 + 11.96 * next(), 0.02 + 5.7 * next(), -8.98 + 8.87 * next()]],
      [gabled, () => [0.02 + 3.77 * next(), 0.02 + 2.96 * next(), -9.98 + 9.96 * next()]],
    ] as [SceneModel, () => Vec3][]) {
      let escaped = 0;
      for (let i = 0; i < 2000; i++) if (nearest(scene, at(), randomDirection(next)) < 0) escaped++;
      expect(escaped).toBe(0);
    }
  });

  it('4,000 rays from outside meet faces and panes, never the liner within', () => {
    const next = dice(11);
    for (const [scene, target] of [
      [buildScene(brickHouse(), { growPlants: false }), () => [-5.9 + 11.8 * next(), 0.1 + 5.5 * next(), -8.9 + 8.8 * next()]],
      [gabled, () => [0.1 + 7.8 * next(), 0.1 + 2.8 * next(), -5.9 + 5.8 * next()]],
    ] as [SceneModel, () => Vec3][]) {
      let leaks = 0;
      for (let i = 0; i < 2000; i++) {
        const to = target();
        const a = 2 * Math.PI * next();
        const from: Vec3 = [30 * Math.cos(a), 1 + 12 * next(), -4 + 30 * Math.sin(a)];
        const hit = nearest(scene, from, [to[0] - from[0], to[1] - from[1], to[2] - from[2]]);
        if (!isOuter(scene, hit)) leaks++;
      }
      expect(leaks).toBe(0);
    }
  });

  it('rays aimed at corners, eaves and the edges of openings find no slit', () => {
    const next = dice(13);
    const scene = buildScene(brickHouse(), { growPlants: false });
    const edges: [Vec3, Vec3][] = [
      [
        [6, 0, 0],
        [6, 5.8, 0],
      ],
      [
        [-6, 5.8, 0],
        [6, 5.8, 0],
      ],
      [
        [-3.225, 0.8, 0],
        [-3.225, 2.5, 0],
      ],
      [
        [-2.775, 3.5, -0.1],
        [-1.825, 3.5, -0.1],
      ],
      [
        [-6, 2.9, 0],
        [6, 2.9, 0],
      ],
    ];
    let leaks = 0;
    for (const [a, c] of edges) {
      for (let i = 0; i < 400; i++) {
        const k = next();
        const near = () => 2e-4 * (next() - 0.5);
        const to = [0, 1, 2].map((n) => a[n]! + k * (c[n]! - a[n]!) + near()) as Vec3;
        const from: Vec3 = [20 * (next() - 0.5), 0.5 + 6 * next(), 8 + 4 * next()];
        const hit = nearest(scene, from, [to[0] - from[0], to[1] - from[1], to[2] - from[2]]);
        if (hit >= 0 && !isOuter(scene, hit)) leaks++;
      }
    }
    expect(leaks).toBe(0);
  });
});

it('free-standing walls of unlike height are closed where they meet: rays at the corner meet the front of a face', () => {
  const wall = (id: string, from: [number, number], to: [number, number], heightM: number) => ({
    kind: 'wall',
    id,
    from,
    to,
    heightM,
    thicknessM: 0.22,
    material: 'brickRed',
    copingMaterial: 'limestone',
    freeStanding: true,
  });
  const parts = [wall('low', [0, 0], [6, 0], 0.5), wall('high', [6, 0], [6, -5], 1.9), wall('next', [6, -5], [0, -5], 0.9)];
  const scene = buildScene(
    propertyRecord.parse({
      format: 'gloaming-property',
      version: 1,
      name: 'walls',
      site: {},
      buildings: [{ id: 'b', name: 'b', parts }],
    }),
  );
  // The high wall stands in x 5.78 … 6, z −5 … 0; level rays at both its ends and its corners.
  for (const y of [0.55, 0.8, 1.2, 1.8, 1.86]) {
    for (let k = 1; k < 8; k++) {
      const x = 5.78 + (0.22 * k) / 8;
      for (const [from, d] of [
        [
          [x, y, 2],
          [0, 0, -1],
        ],
        [
          [x, y + 0.45, -8],
          [0, 0, 1],
        ],
        [
          [3, y + 0.45, -0.22 + (0.22 * k) / 8],
          [1, 0, 0],
        ],
      ] as [Vec3, Vec3][]) {
        const hit = nearest(scene, from, d);
        if (from[1] > 1.9) continue;
        const face = scene.faces[scene.occluders.face[hit]!]!;
        expect(face.normal[0] * d[0] + face.normal[1] * d[1] + face.normal[2] * d[2], face.id).toBeLessThan(-0.9);
        expect(face.partId).toBe('high');
      }
    }
  }
});
