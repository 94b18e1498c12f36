import { describe, expect, it } from 'vitest';
import { createLightModel } from '../../src/lights/index.ts';
import { solveDirect, solveEdges } from '../../src/lights/solve/direct.ts';
import { bringPatchLight } from '../../src/lights/solve/patchLight.ts';
import { adoptSources, createState } from '../../src/lights/solve/state.ts';
import { SceneSketch } from './testScene.ts';
import { isotropic, NIGHT, testSource } from './testSource.ts';

/** A 4 m cube seen from inside. */
function room(reflectance: number) {
  const sketch = new SceneSketch();
  sketch.box([-2, -2, -2], [2, 2, 2], { id: 'room', inward: true, reflectance });
  return sketch.build();
}

describe('closed cavity, 96 m², 10,000 lm (CIE 171:2006 § 5.8 by its formula Φρ/(A(1 − ρ)), facts.md 12.8)', () => {
  it.each([
    [0.5, 104.1667],
    [0.9, 937.5],
  ])('ρ %d: %d lx indirect in the field, area mean', (reflectance, exact) => {
    const model = createLightModel(room(reflectance), { bounceRays: 256 });
    model.setSources([testSource([0, 0, 0], [0, 1, 0], { distribution: isotropic(10000 / (4 * Math.PI)) })], NIGHT);
    model.solveAll();
    let sum = 0;
    let area = 0;
    for (const tile of model.field.tiles) {
      for (let k = 0; k < 1024; k++) {
        const [i, j] = [k & 31, k >> 5];
        const at = tile.slot * 1024 + k;
        if (!model.field.valid[at] || i === 0 || j === 0 || i === 31 || j === 31) continue;
        const part = (from: number): number => Math.min(tile.cellM, 4 - from);
        const a = part(tile.s0M + (i - 1) * tile.cellM) * part(tile.t0M + (j - 1) * tile.cellM);
        const rgb = model.field.indirectRgb;
        sum += a * (0.2126 * rgb[at * 3]! + 0.7152 * rgb[at * 3 + 1]! + 0.0722 * rgb[at * 3 + 2]!);
        area += a;
      }
    }
    expect(area).toBeCloseTo(96, 6);
    expect(Math.abs(sum / area / exact - 1)).toBeLessThan(0.005);
    // Rays of its own agree with the field where patches vary smoothly (a cube is not a sphere: the middle differs from the mean).
    const floor = model.scene.faces.findIndex((f) => f.normal[1] === 1);
    const [r, g, b] = model.sampleField(floor, 2, 2)!.indirectRgb;
    const { bouncedLx } = model.exactAt([0, -2, 0], [0, 1, 0]);
    expect(Math.abs((0.2126 * r + 0.7152 * g + 0.0722 * b) / bouncedLx - 1)).toBeLessThan(0.02);
  });

  it('the direct light handed to the bounces carries the flux that lands, within 0.5 %', () => {
    const state = createState(room(0.5), {});
    adoptSources(state, [testSource([0.4, 0.3, -0.2], [0, 1, 0], { distribution: isotropic(100) })], NIGHT);
    for (const _ of solveDirect(state)) void _;
    for (const _ of solveEdges(state)) void _;
    const lit = state.order[0]!;
    bringPatchLight(state, lit);
    const flux = state.bounce.patches.reduce((total, patch, k) => total + patch.areaM2 * lit.patchLx![k]!, 0);
    expect(Math.abs(flux / (400 * Math.PI) - 1)).toBeLessThan(0.005);
  });
});

describe('light vector', () => {
  it('points from the sample to the only lamp, in the frame of the face; its third part is the lux', () => {
    const sketch = new SceneSketch();
    const wall = sketch.rect([0, 0, 0], [3, 0, 0], [0, 2, 0], { reflectance: 0 });
    const model = createLightModel(sketch.build(), { bounceRays: 16 });
    model.setSources([testSource([1, 0.2, 0.5], [1, 2, 0], { beamAngleFullDeg: 70 })], NIGHT);
    model.solveAll();
    let checked = 0;
    for (const tile of model.field.tiles.filter((t) => t.face === wall)) {
      for (let k = 0; k < 1024; k += 13) {
        const at = (tile.slot * 1024 + k) * 3;
        const v = model.field.vector;
        if (!model.field.valid[at / 3] || v[at + 2]! < 0.1) continue;
        const s = tile.s0M + ((k & 31) - 0.5) * tile.cellM;
        const t = tile.t0M + ((k >> 5) - 0.5) * tile.cellM;
        expect(v[at]! / v[at + 2]!).toBeCloseTo((1 - s) / 0.5, 3);
        expect(v[at + 1]! / v[at + 2]!).toBeCloseTo((0.2 - t) / 0.5, 3);
        checked++;
      }
    }
    expect(checked).toBeGreaterThan(50);
  });
});
