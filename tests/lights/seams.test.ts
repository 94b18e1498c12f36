import { describe, expect, it } from 'vitest';
import { createLightModel, type LightModel } from '../../src/lights/index.ts';
import { facePoint, type Vec3 } from '../../src/scene/index.ts';
import { cross, SceneSketch } from './testScene.ts';
import { isotropic, NIGHT, testSource } from './testSource.ts';

const CANDELA = 400;

function lit(sketch: SceneSketch, at: Vec3, viewersM?: Vec3[]): LightModel {
  const scene = sketch.build();
  if (viewersM) scene.viewersM = viewersM;
  const model = createLightModel(scene, { bounceRays: 16 });
  model.setSources([testSource(at, [at[0], 0, at[2]], { distribution: isotropic(CANDELA), lensRadiusM: 0.004 })], NIGHT);
  model.solveAll();
  return model;
}

/** Direct light of the field over E = I·cos/d² of an open view (closed form), at a place of a face. */
function openShare(model: LightModel, lamp: Vec3, face: number, s: number, t: number): number {
  const surface = model.scene.faces[face]!;
  const p = facePoint(surface, s, t);
  const d = [lamp[0] - p[0], lamp[1] - p[1], lamp[2] - p[2]] as const;
  const d2 = d[0] ** 2 + d[1] ** 2 + d[2] ** 2;
  const n = cross(surface.u, surface.v);
  const open = (CANDELA * (d[0] * n[0] + d[1] * n[1] + d[2] * n[2])) / d2 ** 1.5;
  return model.sampleLayer('a', face, s, t) / open;
}

const along = (n: number, from: number, to: number): number[] =>
  Array.from({ length: n }, (_, k) => from + ((to - from) * (k + 0.5)) / n);

describe('seams where faces meet: no dark outline', () => {
  it('wall and ground, up to the last millimetre on either side', () => {
    const sketch = new SceneSketch();
    const ground = sketch.rect([-2, 0, 3], [4, 0, 0], [0, 0, -3]);
    const wall = sketch.rect([-2, 0, 0], [4, 0, 0], [0, 3, 0]);
    const lamp: Vec3 = [0.3, 0.4, 1];
    const model = lit(sketch, lamp);
    for (const s of along(40, 0, 4)) {
      for (const off of [0.001, 0.005, 0.015, 0.03]) {
        expect(Math.abs(openShare(model, lamp, wall, s, off) - 1)).toBeLessThan(0.06);
        expect(Math.abs(openShare(model, lamp, ground, s, 3 - off) - 1)).toBeLessThan(0.06);
      }
    }
  });

  it('inner corner of two walls', () => {
    const sketch = new SceneSketch();
    const left = sketch.rect([0, 0, 2], [0, 0, -2], [0, 2.5, 0]);
    const back = sketch.rect([0, 0, 0], [3, 0, 0], [0, 2.5, 0]);
    const lamp: Vec3 = [0.7, 1.1, 0.6];
    const model = lit(sketch, lamp);
    for (const t of along(30, 0.02, 2.48)) {
      for (const off of [0.001, 0.01, 0.03]) {
        expect(Math.abs(openShare(model, lamp, left, 2 - off, t) - 1)).toBeLessThan(0.06);
        expect(Math.abs(openShare(model, lamp, back, off, t) - 1)).toBeLessThan(0.06);
      }
    }
  });

  it('round the foot of a post: lit up to it on the lamp’s side', () => {
    const sketch = new SceneSketch();
    const ground = sketch.rect([-2, 0, 2], [4, 0, 0], [0, 0, -4]);
    sketch.scene.faces[ground]!.covers.push({ s0: 1.95, t0: 1.95, s1: 2.05, t1: 2.05 });
    sketch.box([-0.05, 0, -0.05], [0.05, 1, 0.05], { id: 'post', sampled: false });
    const lamp: Vec3 = [-1, 0.8, 0];
    const model = lit(sketch, lamp);
    for (const t of along(20, 1.95, 2.05)) {
      for (const off of [0.002, 0.01, 0.03]) expect(openShare(model, lamp, ground, 1.95 - off, t)).toBeGreaterThan(0.9);
    }
    // Behind it: in its shadow at once, beyond the width of one sample.
    for (const t of along(20, 1.975, 2.025)) expect(openShare(model, lamp, ground, 2.05 + 0.021, t)).toBeLessThan(0.02);
  });

  it('a face all but covered still shows the light of what is left of it', () => {
    const sketch = new SceneSketch();
    const end = sketch.rect([0, 0, 0], [0.3, 0, 0], [0, 2, 0]);
    sketch.scene.faces[end]!.covers.push({ s0: 0, t0: 0, s1: 0.3, t1: 1.988 });
    const lamp: Vec3 = [0.2, 2.4, 1];
    const model = lit(sketch, lamp);
    for (const s of along(8, 0.02, 0.28)) {
      expect(Math.abs(openShare(model, lamp, end, s, 1.994) - 1)).toBeLessThan(0.06);
    }
  });
});

describe('no light through', () => {
  it('a panel 20 mm thick: nothing behind it, beyond the width of one sample', () => {
    const sketch = new SceneSketch();
    const ground = sketch.rect([-3, 0, 2], [6, 0, 0], [0, 0, -4]);
    sketch.scene.faces[ground]!.covers.push({ s0: 1, t0: 1.99, s1: 5, t1: 2.01 });
    sketch.box([-2, 0, -0.01], [2, 1.5, 0.01], { id: 'panel' });
    const lamp: Vec3 = [0, 0.5, 0.5];
    const model = lit(sketch, lamp);
    const back = model.scene.faces.findIndex((f) => f.id === 'panel/z0');
    for (const s of along(60, 1.2, 4.8)) {
      for (const off of [0.021, 0.05, 0.2]) expect(model.sampleLayer('a', ground, s, 2.01 + off)).toBeLessThan(0.001 * CANDELA);
    }
    for (const s of along(20, 0.1, 3.9))
      for (const t of along(10, 0.02, 1.48)) expect(model.sampleLayer('a', back, s, t)).toBe(0);
  });

  it('a closed room lit inside leaves walls, ground and roof outside dark', () => {
    const sketch = new SceneSketch();
    const ground = sketch.rect([-4, 0, 4], [8, 0, 0], [0, 0, -8]);
    sketch.box([-1, 0, -1], [1, 2, 1], { id: 'outer' });
    sketch.box([-0.98, 0.001, -0.98], [0.98, 1.98, 0.98], { id: 'inner', inward: true });
    sketch.scene.faces[ground]!.covers.push({ s0: 3, t0: 3, s1: 5, t1: 5 });
    const model = lit(sketch, [0, 1.9, 0]);
    model.scene.faces.forEach((face, index) => {
      if (face.id.startsWith('inner')) return;
      for (const s of along(25, 0, face.widthM)) {
        for (const t of along(25, 0, face.heightM)) {
          if (index === ground && s > 3 && s < 5 && t > 3 && t < 5) continue;
          expect(model.sampleLayer('a', index, s, t)).toBe(0);
        }
      }
    });
  });

  it('a roof that lies on a wall: a lamp under the eave lights neither the loft nor the far slope', () => {
    const sketch = new SceneSketch();
    // Wall to 3 m, soffit from it to 0.5 m in front, slope rising behind from the eave's edge.
    sketch.rect([-3, 0, 0], [6, 0, 0], [0, 3, 0]);
    sketch.rect([-3, 3, 0], [6, 0, 0], [0, 0, 0.5]);
    const slope = sketch.rect([-3, 3, 0.5], [6, 0, 0], [0, 2, -3]);
    const loft = sketch.rect([-3, 3.001, -3], [6, 0, 0], [0, 0, 3]);
    const model = lit(sketch, [0.4, 2.4, 0.3]);
    for (const s of along(40, 0.05, 5.95)) {
      for (const t of along(20, 0.02, 2.98)) expect(model.sampleLayer('a', loft, s, t)).toBe(0);
      for (const t of along(20, 0.02, 3.5)) expect(model.sampleLayer('a', slope, s, t)).toBe(0);
    }
  });
});

describe('tiles of different levels side by side', () => {
  it('meet without a step above 5 % where light falls smoothly', () => {
    const sketch = new SceneSketch();
    const wall = sketch.rect([0, 0, 0], [12, 0, 0], [0, 5, 0]);
    const model = lit(sketch, [3.3, 0.3, 0.35]);
    const tiles = model.field.tiles.filter((t) => t.face === wall);
    expect(new Set(tiles.map((t) => t.level)).size).toBeGreaterThan(2);
    let worst = 0;
    let seams = 0;
    for (const a of tiles) {
      for (const t of along(30, a.t0M, Math.min(5, a.t0M + 30 * a.cellM))) {
        const s = a.s0M + 30 * a.cellM;
        if (s > 11.9) continue;
        const [left, right] = [s - 1e-7, s + 1e-7].map((x) => model.sampleLayer('a', wall, x, t)) as [number, number];
        if (Math.max(left, right) < 0.1) continue;
        seams++;
        worst = Math.max(worst, Math.abs(left - right) / Math.max(left, right));
      }
    }
    expect(seams).toBeGreaterThan(300);
    expect(worst).toBeLessThan(0.05);
  });

  it('what no eye comes near is sampled coarser, what is near keeps 2 cm', () => {
    const build = (viewers: Vec3[]): LightModel => {
      const sketch = new SceneSketch();
      sketch.rect([-20, 0, 3], [40, 0, 0], [0, 0, -6]);
      for (const x of [-15, 15]) sketch.box([x, 0, 0], [x + 0.1, 1, 0.1], { id: `post${x}`, sampled: false });
      const scene = sketch.build();
      scene.viewersM = viewers;
      const model = createLightModel(scene, { bounceRays: 16 });
      const lamps = [-15, 15].map((x) =>
        testSource([x - 1, 0.6, 0.5], [x, 0, 0], { id: `l${x}`, distribution: isotropic(60), lensRadiusM: 0.01 }),
      );
      model.setSources(lamps, NIGHT);
      model.solveAll();
      return model;
    };
    const finestNear = (model: LightModel, x: number): number =>
      Math.min(...model.field.tiles.filter((t) => t.s0M < x + 21 && t.s0M + 30 * t.cellM > x + 19).map((t) => t.cellM));
    const model = build([[-15, 1.6, 3]]);
    expect(finestNear(model, -15)).toBe(0.02);
    expect(finestNear(model, 15)).toBeGreaterThan(0.039);
    expect(finestNear(build([]), 15)).toBe(0.02);
  });
});
