import { describe, expect, it } from 'vitest';
import { createLightModel } from '../../src/lights/index.ts';
import { createCaster } from '../../src/lights/rays/index.ts';
import { childNodes, rootNodes } from '../../src/lights/tiles/node.ts';
import { tileVisibility, toFace } from '../../src/lights/visibility/tile.ts';
import type { Vec3 } from '../../src/scene/index.ts';
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

describe('shadow edge of a box against exact projection', () => {
  it('lies within 1 cm where samples are 2 cm', () => {
    const sketch = new SceneSketch();
    const wall = sketch.rect([-2, 0, 0], [4, 0, 0], [0, 3, 0], { reflectance: 0 });
    sketch.box([-0.5, 1, 0.05], [0.5, 1.06, 0.15], { id: 'ledge', sampled: false });
    const model = createLightModel(sketch.build(), { bounceRays: 16 });
    model.setSources([testSource([0, 0.2, 0.6], [0, 2, 0], { fluxLm: 900, beamAngleFullDeg: 80, lensRadiusM: 0.002 })], NIGHT);
    model.solveAll();
    // Lamp (0.2, 0.6): the shadow on x = 0 runs between the rays over the box's near lower and far upper edges.
    const project = (y: number, z: number): number => 0.2 + ((y - 0.2) * 0.6) / (0.6 - z);
    const low = Math.min(project(1, 0.05), project(1.0, 0.15));
    const high = Math.max(project(1.06, 0.15), project(1.06, 0.05));
    const lit = (t: number): number => {
      const node = model.sampleLayer('a', wall, 2, t);
      const open = 0.6 / (0.36 + (t - 0.2) ** 2) ** 1.5;
      return node / open;
    };
    const crossing = (from: number, to: number): number => {
      const half = (lit(from) + lit(to)) / 2;
      let [a, b] = [from, to];
      for (let k = 0; k < 40; k++) {
        const mid = (a + b) / 2;
        if (lit(mid) > half === lit(a) > half) a = mid;
        else b = mid;
      }
      return a;
    };
    expect(Math.abs(crossing(low - 0.06, low + 0.06) - low)).toBeLessThan(0.01);
    expect(Math.abs(crossing(high - 0.06, high + 0.06) - high)).toBeLessThan(0.01);
    expect(model.field.tiles.some((t) => t.cellM === 0.02)).toBe(true);
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
