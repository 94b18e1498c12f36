import { describe, expect, it } from 'vitest';
import { createLightModel, type LightModel, type Source } from '../../src/lights/index.ts';
import { FEWEST_PARTS, linePartsOf, MOST_PARTS } from '../../src/lights/shapes/parts.ts';
import type { Vec3 } from '../../src/scene/index.ts';
import { SceneSketch } from './testScene.ts';
import { isotropic, NIGHT, testSource } from './testSource.ts';

const off = (value: number, exact: number): number => Math.abs(value / exact - 1);
const black = { reflectance: 0 };

function solved(sketch: SceneSketch, sources: Source[]): LightModel {
  const model = createLightModel(sketch.build(), { bounceRays: 16 });
  model.setSources(sources, NIGHT);
  model.solveAll();
  return model;
}

/** A strip over the origin's left or right, shining down: I′ cd/m, its middle at `middle`, along x. */
const strip = (lengthM: number, heightM: number, perMetreCd: number, middleX = 0, lensRadiusM = 0): Source =>
  testSource([middleX, heightM, 0], [middleX, 0, 0], {
    fluxLm: Math.PI * perMetreCd * lengthM,
    beamAngleFullDeg: 120,
    lensRadiusM,
    emitter: { kind: 'line', lengthM },
  });
const bareLine = (lengthM: number, heightM: number, perMetreCd: number, middleX = 0): Source =>
  testSource([middleX, heightM, 0], [middleX, 0, 0], {
    distribution: isotropic(perMetreCd * lengthM),
    emitter: { kind: 'line', lengthM },
  });
const floorOnly = () => {
  const sketch = new SceneSketch();
  return { sketch, floor: sketch.rect([-3, 0, 3], [6, 0, 0], [0, 0, -6], black) };
};

describe('line sources against closed forms (facts.md 2.4)', () => {
  // E = (I′/2d)[φ + ½ sin 2φ], φ = atan(l/d): cosine along its axis, receiver parallel opposite one end.
  it.each([
    [1, 1, 64.26991],
    [1.2, 0.5, 153.1035],
  ])('cosine strip, l %d m, d %d m, opposite one end: %d lx', (l, d, lux) => {
    const model = solved(floorOnly().sketch, [strip(l, d, 100, l / 2)]);
    expect(off(model.exactAt([0, 0, 0], [0, 1, 0]).directLx, lux)).toBeLessThan(0.005);
  });

  it('20 m at 10 cm is endless both ways: I′·π/(2d)', () => {
    const model = solved(floorOnly().sketch, [strip(20, 0.1, 100)]);
    expect(off(model.exactAt([0, 0, 0], [0, 1, 0]).directLx, (100 * Math.PI) / 0.2)).toBeLessThan(0.005);
  });

  // ∫ d/r³ dx = sin φ / d and ∫ x/r³ dx = 1/d − 1/√(d² + l²), closed.
  it('line of even candela: opposite one end, and facing along it', () => {
    const [l, d] = [1.5, 0.4];
    const model = solved(floorOnly().sketch, [bareLine(l, d, 100, l / 2)]);
    expect(off(model.exactAt([0, 0, 0], [0, 1, 0]).directLx, (100 * Math.sin(Math.atan(l / d))) / d)).toBeLessThan(0.005);
    expect(off(model.exactAt([0, 0, 0], [1, 0, 0]).directLx, 100 * (1 / d - 1 / Math.hypot(d, l)))).toBeLessThan(0.005);
  });

  it.each([
    [0.5, 0.01],
    [0.25, 0.05],
  ])('field at %d of its length: within %d of the closed form along it and past its ends', (share, bar) => {
    const L = 1.6;
    const d = share * L;
    const { sketch, floor } = floorOnly();
    const model = solved(sketch, [strip(L, d, 100)]);
    // From x to both ends: Σ of the one-end form with sign.
    const one = (l: number): number => (100 / (2 * d)) * (Math.atan(l / d) + 0.5 * Math.sin(2 * Math.atan(l / d)));
    let worst = 0;
    for (let x = 0; x <= 1.2; x += 0.05) {
      const exact = one(L / 2 - x) + one(L / 2 + x);
      worst = Math.max(worst, off(model.sampleLayer('a', floor, 3 + x, 3), exact));
      expect(off(model.exactAt([x, 0, 0], [0, 1, 0]).directLx, exact)).toBeLessThan(0.005);
    }
    expect(worst).toBeLessThan(bar);
  });

  it('a strip 10 cm over a surface shows no beads: the field stays within 5 % of even along its middle', () => {
    const { sketch, floor } = floorOnly();
    const model = solved(sketch, [strip(1.6, 0.1, 100)]);
    const values = Array.from({ length: 41 }, (_, k) => model.sampleLayer('a', floor, 3 - 0.4 + k * 0.02, 3));
    expect(Math.max(...values) / Math.min(...values)).toBeLessThan(1.05);
  });

  it('parts: at least 8, more near a surface, never above 24; flux and weight are kept', () => {
    const source = { ...strip(2, 1, 100), weight: 0.8 };
    for (const [clearance, count] of [
      [5, FEWEST_PARTS],
      [0.2, 13],
      [0.01, MOST_PARTS],
    ] as const) {
      const parts = linePartsOf(source, 2, clearance);
      expect(parts).toHaveLength(count);
      expect(parts.reduce((sum, p) => sum + p.weight, 0)).toBeCloseTo(0.8, 12);
      expect(parts.reduce((sum, p) => sum + p.fixture.at[0], 0)).toBeCloseTo(0, 12);
    }
  });

  it('each part has a shadow of its own: a board over half of it leaves the other half’s light', () => {
    const { sketch, floor } = floorOnly();
    // Board under the left half (x < 0), seen from x = 0 on the floor.
    sketch.rect([-2, 0.5, 1], [2, 0, 0], [0, 0, -2], { reflectance: 0, sampled: false, occludes: true });
    const model = solved(sketch, [strip(2, 1, 100)]);
    const half = (100 / 2) * (Math.PI / 4 + 0.5);
    expect(off(model.exactAt([0.002, 0, 0], [0, 1, 0]).directLx, half)).toBeLessThan(0.02);
    expect(off(model.sampleLayer('a', floor, 3.02, 3), half)).toBeLessThan(0.1);
    expect(model.exactAt([-1.5, 0, 0], [0, 1, 0]).directLx).toBeLessThan(0.35 * model.exactAt([1.5, 0, 0], [0, 1, 0]).directLx);
  });

  it('answers speak of the line, not of its parts', () => {
    const model = solved(floorOnly().sketch, [strip(1, 1, 100, 0, 0.005), testSource([1, 1, 0], [1, 0, 0], { id: 'b' })]);
    const p = model.exactAt([0, 0, 0], [0, 1, 0]);
    expect(p.bySource.map((s) => s.id)).toEqual(['a', 'b']);
    expect(p.bySource[0]!.directLx + p.bySource[1]!.directLx).toBeCloseTo(p.directLx, 9);
    const own = model.exactAt([0, 0, 0], [0, 1, 0], { only: ['a'] });
    expect(own.bySource).toHaveLength(1);
    expect(own.directLx).toBeCloseTo(p.bySource[0]!.directLx, 9);
    expect(model.fluxOf('a').emittedLm).toBeCloseTo(Math.PI * 100, 6);
    expect(model.stats.sources).toBe(2);
    const [eye] = model.eyeLight([0, 0, 0], [0, 1, 0]);
    expect(eye!.id).toBe('a');
    // The eye looks up at it: the same lux as a level receiver without the receiver's cosine (∫ d/r³ dx = 2 sin φ / d).
    expect(off(eye!.eyeIlluminanceLx, 100 * 2 * Math.sin(Math.atan(0.5)))).toBeLessThan(0.01);
    // L = I′/width where it is seen square on: 100 cd/m over 1 cm.
    expect(off(eye!.luminanceCdM2, 100 / 0.01)).toBeLessThan(0.01);
  });
});

describe('globe sources', () => {
  const globe = (at: Vec3, radiusM: number, cd = 100): Source =>
    testSource(at, [at[0], at[1] - 1, at[2]], { distribution: isotropic(cd), emitter: { kind: 'globe', radiusM } });

  it('an even sphere is inverse square from its centre, near it too, in the field and by own rays', () => {
    const { sketch, floor } = floorOnly();
    const model = solved(sketch, [globe([0, 0.5, 0], 0.2)]);
    for (const x of [0, 0.3, 0.6, 1.2]) {
      // The whole sphere stands above the floor, so E = I·cosθ/d² holds exactly.
      const exact = (100 * 0.5) / (0.25 + x * x) ** 1.5;
      expect(off(model.exactAt([x, 0, 0], [0, 1, 0]).directLx, exact)).toBeLessThan(1e-4);
      expect(off(model.sampleLayer('a', floor, 3 + x, 3), exact)).toBeLessThan(0.005);
    }
  });

  it('shines backward as well: up, behind its axis', () => {
    const model = solved(floorOnly().sketch, [globe([0, 2, 0], 0.1)]);
    expect(off(model.exactAt([0, 4, 0], [0, -1, 0]).directLx, 25)).toBeLessThan(1e-4);
    expect(off(model.fluxOf('a').emittedLm, 400 * Math.PI)).toBeLessThan(1e-3);
  });

  it('half under the receiver’s horizon: E = L·(α − sin α·cos α), sin α = R/d', () => {
    // Projected solid angle of a half cone whose axis lies in the receiver's plane: a circle's segment (Nusselt).
    const model = solved(new SceneSketch(), [globe([1, 0, 0], 0.4)]);
    const a = Math.asin(0.4);
    const exact = (100 / (Math.PI * 0.16)) * (a - Math.sin(a) * Math.cos(a));
    expect(off(model.exactAt([0, 0, 0], [0, 1, 0]).directLx, exact)).toBeLessThan(0.03);
  });

  it('an edge through its middle hides half of it', () => {
    const sketch = new SceneSketch();
    sketch.rect([-3, 0, 3], [6, 0, 0], [0, 0, -6], black);
    sketch.rect([-2, 0.5, 2], [2, 0, 0], [0, 0, -4], { reflectance: 0, sampled: false, occludes: true });
    const model = solved(sketch, [globe([0, 1, 0], 0.2)]);
    expect(off(model.exactAt([0, 0, 0], [0, 1, 0]).directLx, 50)).toBeLessThan(0.06);
  });

  it('luminance at the eye is I/(πR²) from every side', () => {
    const model = solved(floorOnly().sketch, [globe([0, 2, 0], 0.1)]);
    for (const eye of [
      [0, 1, 3],
      [2, 3, 1],
    ] as Vec3[]) {
      const [light] = model.eyeLight(eye, [-eye[0], 2 - eye[1], -eye[2]]);
      expect(off(light!.luminanceCdM2, 100 / (Math.PI * 0.01))).toBeLessThan(1e-6);
    }
  });
});
