import { describe, expect, it } from 'vitest';
import { createLightModel } from '../../src/lights/index.ts';
import { createCaster } from '../../src/lights/rays/index.ts';
import { childNodes, rootNodes } from '../../src/lights/tiles/node.ts';
import { tileVisibility, toFace } from '../../src/lights/visibility/tile.ts';
import type { Vec3 } from '../../src/scene/index.ts';
import { type Box, crossing, shadowIntervals } from './shadowEdges.fixture.ts';
import { SceneSketch, seeded } from './testScene.ts';
import { isotropic, NIGHT, testSource } from './testSource.ts';

describe('tile masks against any-hit rays, seed 21', () => {
  it('agree at every sample of tiles among random triangles, boxes and near lamps', () => {
    const random = seeded(21);
    let samples = 0;
    let wrong = 0;
    let hidden = 0;
    for (let round = 0; round < 12; round++) {
      const sketch = new SceneSketch();
      const faces = [
        sketch.rect([-3, 0, 3], [6, 0, 0], [0, 0, -6]),
        sketch.rect([-3, 0, -3], [6, 0, 0], [0, 4, 0]),
        sketch.rect([-3, 0, 3], [0, 0, -6], [0, 4, 0]),
      ];
      for (let k = 0; k < 60; k++) {
        const c: Vec3 = [random() * 6 - 3, random() * 4, random() * 6 - 3];
        const size = k % 5 === 0 ? 1.5 : 0.2;
        const v = (): Vec3 => [c[0] + (random() - 0.5) * size, c[1] + (random() - 0.5) * size, c[2] + (random() - 0.5) * size];
        sketch.triangle(v(), v(), v());
      }
      sketch.box([0.5, 0, 0.5], [1, 1.2, 1.1], { id: 'crate', sampled: false });
      const scene = sketch.build();
      const caster = createCaster(scene);
      const lamp: Vec3 =
        round % 3 === 0 ? [random() - 0.5, 0.05, -2.95] : [random() * 5 - 2.5, random() * 3.5 + 0.1, random() * 5 - 2.5];
      const local = new Float64Array(3);
      for (const index of faces) {
        const tiles = rootNodes(scene, index).flatMap((root) => [root, ...childNodes(scene, root).slice(0, 2)]);
        for (const node of tiles) {
          toFace(node.frame, ...lamp, local);
          if (local[2]! <= 0) continue;
          const visibility = tileVisibility(caster, [], node, local, lamp);
          const n = scene.faces[index]!.normal;
          for (let k = 0; k < 1024; k++) {
            if (((node.rows[k >> 5]! >>> (k & 31)) & 1) === 0) continue;
            const s = node.ref.s0M + ((k & 31) - 0.5) * node.ref.cellM;
            const t = node.ref.t0M + ((k >> 5) - 0.5) * node.ref.cellM;
            const p = [0, 1, 2].map((c) => node.frame[c]! + s * node.frame[3 + c]! + t * node.frame[6 + c]!) as Vec3;
            const seen = caster.sees(...p, ...n, ...lamp);
            const dark =
              visibility.state === 'dark' || (visibility.shadow && ((visibility.shadow[k >> 5]! >>> (k & 31)) & 1) === 1);
            samples++;
            if (!seen) hidden++;
            if (seen === Boolean(dark)) wrong++;
          }
        }
      }
    }
    expect(samples).toBeGreaterThan(20000);
    expect(hidden).toBeGreaterThan(2000);
    // Samples whose ray grazes an edge within 0.1 mm may differ (contact rule).
    expect(wrong / samples).toBeLessThan(2e-4);
  });

  it('two triangles that share an edge through the samples leave no gap', () => {
    const sketch = new SceneSketch();
    const floor = sketch.rect([-1.6, 0, 1.6], [3.2, 0, 0], [0, 0, -3.2]);
    sketch.rect([-1, 1, 1], [2, 0, 0], [0, 0, -2], { sampled: false });
    const scene = sketch.build();
    const caster = createCaster(scene);
    const node = rootNodes(scene, floor)[0]!;
    const local = new Float64Array(3);
    toFace(node.frame, 0, 2, 0, local);
    const { shadow } = tileVisibility(caster, [], node, local, [0, 2, 0]);
    // The sheet at half height casts a 4 m square: everything on this floor is inside it.
    expect(shadow).toBeUndefined();
    toFace(node.frame, 0, 5, 0, local);
    const far = tileVisibility(caster, [], node, local, [0, 5, 0]).shadow!;
    const half = 1 / (1 - 1 / 5);
    for (let k = 0; k < 1024; k++) {
      if (((node.rows[k >> 5]! >>> (k & 31)) & 1) === 0) continue;
      const s = node.ref.s0M + ((k & 31) - 0.5) * node.ref.cellM - 1.6;
      const t = node.ref.t0M + ((k >> 5) - 0.5) * node.ref.cellM - 1.6;
      const inside = Math.max(Math.abs(s), Math.abs(t)) <= half;
      expect((far[k >> 5]! >>> (k & 31)) & 1).toBe(inside ? 1 : 0);
    }
  });
});

const CANDELA = 240;

interface Case {
  name: string;
  /** Receiving plane: 'wall' z = 0 with (s, t) = (x + 3, y), or 'ground' y = 0 with (s, t) = (x + 3, 3 − z). */
  plane: 'wall' | 'ground';
  lamp: Vec3;
  boxes: Box[];
  /** Lines on the face: start, direction, length. */
  lines: { from: [number, number]; direction: [number, number]; lengthM: number }[];
}

const across = (from: [number, number], lengthM: number, direction: [number, number] = [1, 0]): Case['lines'][number] => ({
  from,
  direction,
  lengthM,
});
const row = (n: number, box: (k: number) => Box): Box[] => Array.from({ length: n }, (_, k) => box(k));

const cases: Case[] = [
  {
    name: 'hood over a door, lit from below',
    plane: 'wall',
    lamp: [0.9, 0.1, 0.6],
    boxes: [{ min: [-0.7, 2.3, 0], max: [0.7, 2.4, 0.5] }],
    lines: [0.2, 0.5, 0.8].map((k) => across([2.3 + k, 0.6], 2.2, [0, 1])),
  },
  {
    name: 'string course, grazed from below',
    plane: 'wall',
    lamp: [0.2, 0.1, 0.35],
    boxes: [{ min: [-2, 1.7, 0], max: [2, 1.85, 0.03] }],
    lines: [2.4, 2.9, 3.3].map((s) => across([s, 1.86], 1, [0, 1])),
  },
  {
    name: 'railing bars 50 mm, shadow on the wall',
    plane: 'wall',
    lamp: [0.1, 0.6, 2.2],
    boxes: row(9, (k) => ({ min: [-1 + k * 0.25, 0.1, 0.9], max: [-0.95 + k * 0.25, 1, 0.95] })),
    lines: [0.5, 0.9].map((t) => across([1.2, t], 3.6)),
  },
  {
    name: 'railing bars 50 mm, slanted shadows on the ground',
    plane: 'ground',
    lamp: [0.4, 1.6, -1.2],
    boxes: row(9, (k) => ({ min: [-1 + k * 0.25, 0, 0.2], max: [-0.95 + k * 0.25, 0.9, 0.25] })),
    lines: [2.2, 1.9].map((t) => across([1.4, t], 2.6)),
  },
  {
    name: 'pergola slats, from a lamp above',
    plane: 'ground',
    lamp: [0.3, 4.2, 0.4],
    boxes: row(7, (k) => ({ min: [-1.2 + k * 0.35, 2.4, -1], max: [-1.15 + k * 0.35, 2.55, 1] })),
    lines: [2.5, 3, 3.4].map((t) => across([0.6, t], 4.6)),
  },
  {
    name: 'post 90 mm, its shadow at a slant',
    plane: 'ground',
    lamp: [-1.1, 0.9, 0.7],
    boxes: [{ min: [-0.1, 0, -0.045], max: [-0.01, 0.8, 0.045] }],
    lines: [3.3, 3.8, 4.3].map((s) => across([s, 2.2], 3, [0, 1])),
  },
];

/** Distances between where the field crosses half and the exact edge, where the next edge is at least 5 cm away. */
function edgeErrors(c: Case): { errors: number[]; finest: number } {
  const sketch = new SceneSketch();
  const index =
    c.plane === 'wall'
      ? sketch.rect([-3, 0, 0], [6, 0, 0], [0, 3, 0], { reflectance: 0 })
      : sketch.rect([-3, 0, 3], [6, 0, 0], [0, 0, -6], { reflectance: 0 });
  c.boxes.forEach((box, k) => {
    sketch.box(box.min, box.max, { id: `box-${k}`, sampled: false });
  });
  const scene = sketch.build();
  // Bodies that touch the face hide what they cover of it, as massing does.
  const model = createLightModel(scene, { bounceRays: 16 });
  model.setSources([testSource(c.lamp, [0, 1, 0], { distribution: isotropic(CANDELA), lensRadiusM: 0.004 })], NIGHT);
  model.solveAll();
  const [lx, ly, lz] = c.lamp;
  const h = c.plane === 'wall' ? lz : ly;
  const toPlane = ([x, y, z]: Vec3): [number, number] => {
    const k = h / (h - (c.plane === 'wall' ? z : y));
    const [px, py, pz] = [lx + (x - lx) * k, ly + (y - ly) * k, lz + (z - lz) * k];
    return c.plane === 'wall' ? [px + 3, py] : [px + 3, 3 - pz];
  };
  const foot = c.plane === 'wall' ? [lx + 3, ly] : [lx + 3, 3 - lz];
  const errors: number[] = [];
  let finest = 1;
  for (const { from, direction, lengthM } of c.lines) {
    const place = (k: number): [number, number] => [from[0] + k * direction[0], from[1] + k * direction[1]];
    const share = (k: number): number => {
      const [s, t] = place(k);
      const open = h / ((s - foot[0]!) ** 2 + (t - foot[1]!) ** 2 + h * h + 1.6e-5) ** 1.5;
      return model.sampleLayer('a', index, s, t) / open;
    };
    const edges = shadowIntervals(c.boxes, toPlane, from, direction).flat();
    edges.forEach((edge, n) => {
      const before = edge - (n > 0 ? edges[n - 1]! : -1);
      const after = (n + 1 < edges.length ? edges[n + 1]! : lengthM + 1) - edge;
      if (edge < 0.06 || edge > lengthM - 0.06 || before < 0.05 || after < 0.05) return;
      const reach = Math.min(0.06, before / 2, after / 2);
      errors.push(Math.abs(crossing(share, CANDELA / 2, edge - reach, edge + reach) - edge));
      const [s, t] = place(edge);
      for (const tile of model.field.tiles) {
        const side = 30 * tile.cellM;
        if (tile.face === index && s >= tile.s0M && t >= tile.t0M && s < tile.s0M + side && t < tile.t0M + side)
          finest = Math.min(finest, tile.cellM);
      }
    });
  }
  return { errors, finest };
}

describe('shadow edges against exact projection (bar: within 1 cm where samples are 2 cm)', () => {
  const all: number[] = [];
  it.each(cases.map((c) => [c.name, c] as const))('%s', (_, c) => {
    const { errors, finest } = edgeErrors(c);
    expect(errors.length).toBeGreaterThan(2);
    expect(finest).toBe(0.02);
    all.push(...errors);
    expect(Math.max(...errors)).toBeLessThan(0.01);
  });

  it('95 % of all edges lie within 5 mm', () => {
    all.sort((a, b) => a - b);
    expect(all.length).toBeGreaterThan(60);
    expect(all[Math.floor(all.length * 0.95)]).toBeLessThan(0.005);
  });
});

describe('valid samples', () => {
  it('lie on the face, outside covers and blocks; the rest is filled from neighbours, not dark', () => {
    const sketch = new SceneSketch();
    const wall = sketch.rect([0, 0, 0], [3, 0, 0], [0, 2, 0], { reflectance: 0 });
    sketch.scene.faces[wall]!.covers.push({ s0: 1, t0: 0.5, s1: 1.5, t1: 1 });
    const model = createLightModel(sketch.build(), { bounceRays: 16 });
    model.setSources([testSource([1.5, 1, 2], [1.5, 1, 0], { distribution: isotropic(400) })], NIGHT);
    model.solveAll();
    let covered = 0;
    for (const tile of model.field.tiles) {
      for (let k = 0; k < 1024; k++) {
        const s = tile.s0M + ((k & 31) - 0.5) * tile.cellM;
        const t = tile.t0M + ((k >> 5) - 0.5) * tile.cellM;
        const onFace = s >= 0 && t >= 0 && s <= 3 && t <= 2;
        const hidden = s > 1 && s < 1.5 && t > 0.5 && t < 1;
        if ([s, t].some((x) => [0, 0.5, 1, 1.5, 2, 3].some((edge) => Math.abs(x - edge) < 1e-6))) continue;
        expect(model.field.valid[tile.slot * 1024 + k]).toBe(onFace && !hidden ? 1 : 0);
        if (hidden) covered++;
      }
    }
    expect(covered).toBeGreaterThan(20);
    const rim = model.sampleField(wall, 1.001, 0.75)!.directRgb[1];
    const before = model.sampleField(wall, 0.95, 0.75)!.directRgb[1];
    expect(Math.abs(rim / before - 1)).toBeLessThan(0.05);
  });

  it('tiles cover every place of every face exactly once', () => {
    const sketch = new SceneSketch();
    const a = sketch.rect([0, 0, 0], [9.61, 0, 0], [0, 0.07, 0], { reflectance: 0 });
    const b = sketch.rect([0, 0, 5], [13, 0, 0], [0, 0, -4], { reflectance: 0 });
    const model = createLightModel(sketch.build(), { bounceRays: 16 });
    model.setSources([testSource([4, 0.5, 2], [4, 0, 0], { lensRadiusM: 0.01 })], NIGHT);
    model.solveAll();
    const random = seeded(3);
    for (const [face, w, h] of [
      [a, 9.61, 0.07],
      [b, 13, 4],
    ] as const) {
      for (let k = 0; k < 300; k++) {
        const s = random() * w;
        const t = random() * h;
        const over = model.field.tiles.filter(
          (x) => x.face === face && s >= x.s0M && t >= x.t0M && s < x.s0M + 30 * x.cellM && t < x.t0M + 30 * x.cellM,
        );
        expect(over.length).toBe(1);
        expect(model.sampleField(face, s, t)).toBeDefined();
      }
    }
    expect(new Set(model.field.tiles.map((t) => t.slot)).size).toBe(model.field.tiles.length);
    expect(new Set(model.field.tiles.map((t) => t.id)).size).toBe(model.field.tiles.length);
  });
});
