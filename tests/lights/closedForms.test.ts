import { describe, expect, it } from 'vitest';
import { createLightModel, type LightModel } from '../../src/lights/index.ts';
import { facePoint, type Vec3 } from '../../src/scene/index.ts';
import { SceneSketch } from './testScene.ts';
import { isotropic, NIGHT, testSource } from './testSource.ts';

/** Relative error. */
const off = (value: number, exact: number): number => Math.abs(value / exact - 1);

function solved(sketch: SceneSketch, sources: Parameters<LightModel['setSources']>[0]): LightModel {
  const model = createLightModel(sketch.build(), { bounceRays: 16 });
  model.setSources(sources, NIGHT);
  model.solveAll();
  return model;
}

describe('point source E = I cos³θ/h² (facts.md 2.2; CIE 171:2006 § 5.2)', () => {
  it.each([
    [1000, 3, 0, 111.1111, 0],
    [1000, 3, 2, 64.0039, 42.6693],
    [500, 2, 4, 11.1803, 22.3607],
    [100, 0.5, 0.5, 141.4214, 141.4214],
  ])('I %d cd, h %d m, offset %d m: %d lx level, %d lx upright', (I, h, offset, level, upright) => {
    const sketch = new SceneSketch();
    const floor = sketch.rect([-6, 0, 6], [12, 0, 0], [0, 0, -12], { reflectance: 0 });
    const model = solved(sketch, [testSource([0, h, 0], [0, 0, 0], { distribution: isotropic(I) })]);
    expect(off(model.exactAt([offset, 0, 0], [0, 1, 0]).directLx, level)).toBeLessThan(1e-5);
    expect(off(model.sampleLayer('a', floor, 6 + offset, 6), level)).toBeLessThan(0.005);
    if (upright > 0) expect(off(model.exactAt([offset, 0, 0], [-1, 0, 0]).directLx, upright)).toBeLessThan(1e-5);
  });
});

describe('disc on its axis, E = πL R²/(R² + h²) (facts.md 2.3, configuration-factor catalogue of Howell)', () => {
  it.each([
    [0.5, 1, 628.3185],
    [0.05, 1, 7.834396],
    [1, 0.1, 3110.488],
  ])('L 1000, R %d, h %d: %d lx', (R, h, exact) => {
    const sketch = new SceneSketch();
    const floor = sketch.rect([-1, 0, 1], [2, 0, 0], [0, 0, -2], { reflectance: 0 });
    // A Lambertian disc: I0 = L·πR², Φ = π·I0, full beam 120°.
    const lamp = { fluxLm: Math.PI * 1000 * Math.PI * R * R, beamAngleFullDeg: 120, lensRadiusM: R };
    const model = solved(sketch, [testSource([0, h, 0], [0, 0, 0], lamp)]);
    // At a tenth of the radius the field's 2 cm cells average over the foot of the cosine; exact points do not.
    if (h > R / 2) expect(off(model.sampleLayer('a', floor, 1, 1), exact)).toBeLessThan(0.005);
    expect(off(model.exactAt([0, 0, 0], [0, 1, 0]).directLx, exact)).toBeLessThan(0.005);
  });

  it.each([
    [0.5, 1, 0.5, 460.0756],
    [0.5, 1, 1, 206.9632],
    [0.5, 1, 2, 33.69392],
  ])('off the axis by own rays: R %d, h %d, a %d: %d lx (check case 5)', (R, h, a, exact) => {
    const sketch = new SceneSketch();
    sketch.rect([-3, 0, 3], [6, 0, 0], [0, 0, -6], { reflectance: 0 });
    const lamp = { fluxLm: Math.PI * 1000 * Math.PI * R * R, beamAngleFullDeg: 120, lensRadiusM: R };
    const model = solved(sketch, [testSource([0, h, 0], [0, 0, 0], lamp)]);
    expect(off(model.exactAt([a, 0, 0], [0, 1, 0]).directLx, exact)).toBeLessThan(0.005);
  });
});

describe('wall uplight E = I(θ)·s/(s² + h²)^{3/2} (trade.md 0.2, computed)', () => {
  it.each([
    [0.15, 60],
    [0.35, 36],
    [1.5, 80],
  ])('set-back %d m, beam %d°, along the wall in the field', (s, beam) => {
    const sketch = new SceneSketch();
    const wall = sketch.rect([-4, 0, 0], [8, 0, 0], [0, 6, 0], { reflectance: 0 });
    const lamp = { fluxLm: 450, beamAngleFullDeg: beam };
    const model = solved(sketch, [testSource([0.013, 0.1, s], [0.013, 5, s], lamp)]);
    const n = Math.log(0.5) / Math.log(Math.cos((beam * Math.PI) / 360));
    const I0 = (450 * (n + 1)) / (2 * Math.PI);
    const errors: number[] = [];
    for (let h = 0.3; h < 5.5; h += 0.113) {
      const cosTheta = h / Math.hypot(s, h);
      const exact = (I0 * cosTheta ** n * s) / (s * s + h * h) ** 1.5;
      if (exact < 0.1) continue;
      errors.push(off(model.sampleLayer('a', wall, 4.013, 0.1 + h), exact));
      expect(off(model.exactAt([0.013, 0.1 + h, 0], [0, 0, 1]).directLx, exact)).toBeLessThan(0.002);
    }
    errors.sort((a, b) => a - b);
    expect(errors.length).toBeGreaterThan(20);
    expect(errors[errors.length >> 1]).toBeLessThan(0.005);
    expect(errors[errors.length - 1]).toBeLessThan(0.03);
  });

  // The opening lies in the ground's plane and leans toward the wall, so half of its disc would be buried.
  it('a lens flush with the ground loses none of its light', () => {
    const sketch = new SceneSketch();
    sketch.rect([-4, 0, 0], [8, 0, 0], [0, 6, 0], { reflectance: 0 });
    sketch.rect([-4, 0, 4], [8, 0, 0], [0, 0, -4], { reflectance: 0 });
    const lamp = { fluxLm: 450, beamAngleFullDeg: 24, lensRadiusM: 0.022 };
    const model = solved(sketch, [testSource([0, 0, 0.38], [0, 5.8, 0], lamp)]);
    const n = Math.log(0.5) / Math.log(Math.cos((12 * Math.PI) / 180));
    const exact = ((450 * (n + 1)) / (2 * Math.PI)) * (0.38 / (0.38 ** 2 + 5.8 ** 2) ** 1.5);
    expect(off(model.exactAt([0, 5.8, 0], [0, 0, 1]).directLx, exact)).toBeLessThan(0.005);
  });
});

describe('inverse square and cosine', () => {
  it('doubling the distance quarters, turning by 60° halves', () => {
    const sketch = new SceneSketch();
    sketch.rect([-6, 0, 6], [12, 0, 0], [0, 0, -12]);
    const model = solved(sketch, [testSource([0, 4, 0], [0, 0, 0], { distribution: isotropic(700) })]);
    const at = (p: Vec3, n: Vec3): number => model.exactAt(p, n).directLx;
    expect(at([0, 3, 0], [0, 1, 0]) / at([0, 2, 0], [0, 1, 0])).toBeCloseTo(4, 9);
    expect(at([0, 2, 0], [0, 0.5, Math.sqrt(0.75)]) / at([0, 2, 0], [0, 1, 0])).toBeCloseTo(0.5, 9);
    expect(at([0, 2, 0], [0, -1, 0])).toBe(0);
  });

  it('flux on the walls of a closed room equals the flux of the lamp within 0.5 % (CIE 171:2006 § 5.4)', () => {
    const sketch = new SceneSketch();
    sketch.box([-2, -2, -2], [2, 2, 2], { id: 'room', inward: true, reflectance: 0.5 });
    const model = solved(sketch, [testSource([0.3, 0.2, -0.1], [1, 2, 0.5], { distribution: isotropic(100) })]);
    let flux = 0;
    for (const tile of model.field.tiles) {
      for (let j = 1; j <= 30; j++) {
        for (let i = 1; i <= 30; i++) {
          const k = tile.slot * 1024 + j * 32 + i;
          if (!model.field.valid[k]) continue;
          const face = model.scene.faces[tile.face]!;
          // Cells at the rim count for the part of them on the face.
          const s = tile.s0M + (i - 1) * tile.cellM;
          const t = tile.t0M + (j - 1) * tile.cellM;
          const area = Math.min(tile.cellM, face.widthM - s) * Math.min(tile.cellM, face.heightM - t);
          flux += model.field.vector[k * 3 + 2]! * area;
        }
      }
    }
    expect(off(flux, 400 * Math.PI)).toBeLessThan(0.005);
    const balance = model.fluxOf('a');
    expect(balance.surfacesLm).toBeCloseTo(balance.emittedLm, 6);
    expect(off(balance.emittedLm, 400 * Math.PI)).toBeLessThan(1e-6);
  });
});

describe('rotation', () => {
  it('turning the whole scene leaves every lux as it was', () => {
    const turn =
      (a: number) =>
      (p: Vec3): Vec3 => {
        const [x, y, z] = [p[0] * Math.cos(a) + p[2] * Math.sin(a), p[1], p[2] * Math.cos(a) - p[0] * Math.sin(a)];
        return [x, y * Math.cos(0.4) - z * Math.sin(0.4), y * Math.sin(0.4) + z * Math.cos(0.4)];
      };
    const lux = (spin: (p: Vec3) => Vec3): number[] => {
      const sketch = new SceneSketch();
      const wall = sketch.rect(spin([-2, 0, 0]), spin([4, 0, 0]), spin([0, 3, 0]), { reflectance: 0 });
      sketch.rect(spin([-0.5, 1, 0.2]), spin([1, 0, 0]), spin([0, 0, 0.3]), { sampled: false });
      const lamp = testSource(spin([0.2, 0.1, 0.8]), spin([0, 2, 0]), { beamAngleFullDeg: 50, lensRadiusM: 0.01 });
      const model = solved(sketch, [lamp]);
      const out: number[] = [];
      for (let s = 0.1; s < 4; s += 0.31) for (let t = 0.1; t < 3; t += 0.27) out.push(model.sampleLayer('a', wall, s, t));
      const p = facePoint(model.scene.faces[wall]!, 1.7, 0.7);
      out.push(model.exactAt(p, model.scene.faces[wall]!.normal).directLx);
      return out;
    };
    const still = lux((p) => p);
    const turned = lux(turn(0.7));
    expect(still.some((e) => e > 10)).toBe(true);
    const wrong = still.filter((e, i) => Math.abs(e - turned[i]!) > 0.002 * Math.max(e, 1));
    // A place beside a shadow edge may round its twelve rays differently.
    expect(wrong.length).toBeLessThanOrEqual(2);
  });
});
