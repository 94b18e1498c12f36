import { describe, expect, it } from 'vitest';
import { createLightModel, type LightModel } from '../../src/lights/index.ts';
import type { PlantModel, Vec3 } from '../../src/scene/index.ts';
import { plant } from './leaves.fixture.ts';
import { SceneSketch, seeded } from './testScene.ts';
import { isotropic, NIGHT, testSource } from './testSource.ts';

function withPlants(
  build: (sketch: SceneSketch) => void,
  sources: Parameters<LightModel['setSources']>[0],
  leaves: 'on' | 'bare' = 'on',
) {
  const sketch = new SceneSketch();
  build(sketch);
  const model = createLightModel(sketch.build(), { bounceRays: 16 });
  model.setSources(sources, { ...NIGHT, leaves });
  model.solveAll();
  return model;
}

describe('mean transmittance of crowns T = exp(−G·Ω·LAD·path) (facts.md 8.2, Beer–Lambert)', () => {
  it.each([
    [0.5, 3, 0.4724],
    [1, 2, 0.3679],
  ])('textbook crown, LAD %d, path %d m: T %d in the field and by rays', (lad, path, T) => {
    const build = (dense: boolean) => (sketch: SceneSketch) => {
      sketch.rect([-2, 0, 2], [4, 0, 0], [0, 0, -4], { reflectance: 0 });
      if (dense) {
        sketch.scene.ellipsoids.push({
          id: 'crown',
          centre: [0, 3, 0],
          radiiM: [8, path / 2, 8],
          leafAreaDensityM2M3: lad,
          clumping: 1,
        });
      }
    };
    const lamp = [testSource([0, 6, 0], [0, 0, 0], { distribution: isotropic(2000) })];
    const clear = withPlants(build(false), lamp);
    const leafy = withPlants(build(true), lamp);
    expect(Math.abs(leafy.sampleLayer('a', 0, 2, 2) / clear.sampleLayer('a', 0, 2, 2) / T - 1)).toBeLessThan(0.005);
    expect(leafy.transmittance([0, 6, 0], [0, 0, 0])).toBeCloseTo(T, 4);
    expect(leafy.exactAt([0, 0, 0], [0, 1, 0]).directLx / clear.exactAt([0, 0, 0], [0, 1, 0]).directLx).toBeCloseTo(T, 4);
    const bare = withPlants(build(true), lamp, 'bare');
    expect(Math.abs(bare.sampleLayer('a', 0, 2, 2) / clear.sampleLayer('a', 0, 2, 2) - 1)).toBeLessThan(0.005);
  });

  it('sphere clumps: every sample equals the closed chord sum', () => {
    const clumps: [number, number, number, number][] = [
      [0, 2, 0, 0.6],
      [0.4, 2.3, 0.2, 0.5],
      [-0.5, 1.5, -0.3, 0.4],
    ];
    const lamp: Vec3 = [0.1, 4, 0.1];
    const model = withPlants(
      (sketch) => {
        sketch.rect([-2, 0, 2], [4, 0, 0], [0, 0, -4], { reflectance: 0 });
        sketch.scene.plants.push(plant('bush', clumps, 2));
      },
      [testSource(lamp, [0.1, 0, 0.1], { distribution: isotropic(2000) })],
    );
    const depth = (p: Vec3): number => {
      const d = [lamp[0] - p[0], lamp[1] - p[1], lamp[2] - p[2]] as const;
      const l = Math.hypot(...d);
      return clumps.reduce((sum, [x, y, z, r]) => {
        const c = [x - p[0], y - p[1], z - p[2]] as const;
        const along = (c[0] * d[0] + c[1] * d[1] + c[2] * d[2]) / l;
        const across2 = c[0] ** 2 + c[1] ** 2 + c[2] ** 2 - along ** 2;
        return across2 < r * r ? sum + 0.5 * 0.7 * 2 * 2 * Math.sqrt(r * r - across2) : sum;
      }, 0);
    };
    let shaded = 0;
    for (const tile of model.field.tiles) {
      for (let k = 0; k < 1024; k++) {
        const at = tile.slot * 1024 + k;
        if (!model.field.valid[at]) continue;
        const p: Vec3 = [-2 + tile.s0M + ((k & 31) - 0.5) * tile.cellM, 0, 2 - tile.t0M - ((k >> 5) - 0.5) * tile.cellM];
        const d2 = (lamp[0] - p[0]) ** 2 + 16 + (lamp[2] - p[2]) ** 2;
        const exact = ((2000 * 4) / d2 ** 1.5) * Math.exp(-depth(p));
        expect(Math.abs(model.field.vector[at * 3 + 2]! / exact - 1)).toBeLessThan(1e-4);
        if (depth(p) > 0.1) shaded++;
      }
    }
    expect(shaded).toBeGreaterThan(100);
  });
});

describe('leaf cards', () => {
  const clumps: [number, number, number, number][] = [
    [0, 2, 0, 0.5],
    [0, 3, 0, 0.5],
  ];
  const lamp = testSource([0, 0.2, 0], [0, 5, 0], { distribution: isotropic(500) });
  // Black leaves: what they scatter onto each other is looked at elsewhere.
  const crown = (look: Partial<PlantModel>) =>
    withPlants(
      (sketch) => {
        sketch.rect([-2, 0, 2], [4, 0, 0], [0, 0, -4], { reflectance: 0 });
        sketch.scene.plants.push({ ...plant('bush', clumps, 1.5, 20), ...look });
        sketch.rect([0.05, 1, 0.5], [0.5, 0, 0], [0, 0, -1], { sampled: false });
      },
      [lamp],
    );
  const model = crown({ leafReflectanceRgb: [0, 0, 0], leafTransmittanceRgb: [0, 0, 0] });

  it('take I·T·|cos|/d² on the side that faces the lamp, nothing behind the sheet', () => {
    const cards = model.scene.plants[0]!.cards;
    let dark = 0;
    for (let c = 0; c < 40; c++) {
      const p: Vec3 = [cards[c * 8]!, cards[c * 8 + 1]!, cards[c * 8 + 2]!];
      const d: Vec3 = [-p[0], 0.2 - p[1], -p[2]];
      const l = Math.hypot(...d);
      const along = (d[0] * cards[c * 8 + 3]! + d[1] * cards[c * 8 + 4]! + d[2] * cards[c * 8 + 5]!) / l;
      const lux = ((500 * Math.abs(along)) / l ** 2) * model.transmittance(p, [0, 0.2, 0]);
      if (lux === 0) dark++;
      const front = luminance(model.field.cards, c * 6);
      const back = luminance(model.field.cards, c * 6 + 3);
      // Starlight adds about .005 lx.
      expect(Math.abs((along > 0 ? front : back) - lux)).toBeLessThan(0.01 + 1e-4 * lux);
      expect(along > 0 ? back : front).toBeLessThan(0.02);
    }
    expect(dark).toBeGreaterThan(2);
    expect(dark).toBeLessThan(38);
  });

  it('upper clumps get less than lower ones, and the crown shows in the eye ray', () => {
    const { luminanceCdM2 } = crown({}).luminanceAlong([-3, 2, 0], [1, 0, 0]);
    expect(luminanceCdM2).toBeGreaterThan(0.01);
    const mean = (from: number): number => {
      let sum = 0;
      for (let c = from; c < from + 20; c++) sum += luminance(model.field.cards, c * 6) + luminance(model.field.cards, c * 6 + 3);
      return sum;
    };
    expect(mean(0)).toBeGreaterThan(2 * mean(20));
  });

  it('are seen as the eye sees them: lit from behind the eye ρ·E/3π (closed form), from beyond next to nothing', () => {
    // A thick ball of leaves lying every way, light and eye along one line: ∫cos²/∫|cos| = 2/3, ∫e^(−2kx)/∫e^(−kx) = 1/2.
    const ball = plant('ball', [[0, 2, 0, 0.5]], 20);
    const random = seeded(77);
    const cards: number[] = [];
    while (cards.length < 8 * 600) {
      const p = [random(), random(), random()].map((v) => 2 * v - 1);
      if (Math.hypot(...p) > 1) continue;
      const y = 2 * random() - 1;
      const a = 2 * Math.PI * random();
      const r = Math.sqrt(1 - y * y);
      cards.push(p[0]! / 2, 2 + p[1]! / 2, p[2]! / 2, r * Math.cos(a), y, r * Math.sin(a), 0.05, 0);
    }
    const rho = 0.2126 * 0.075 + 0.7152 * 0.125 + 0.0722 * 0.035;
    const model = withPlants(
      (sketch) =>
        sketch.scene.plants.push({
          ...ball,
          cards: Float32Array.from(cards),
          cardLook: new Float32Array((cards.length / 8) * 3),
          leafTransmittanceRgb: [0, 0, 0],
        }),
      [testSource([-30, 2, 0], [0, 2, 0], { distribution: isotropic(90_000) })],
    );
    const before = model.luminanceAlong([-20, 2, 0], [1, 0, 0]).luminanceCdM2;
    const beyond = model.luminanceAlong([20, 2, 0], [-1, 0, 0]).luminanceCdM2;
    const closed = (rho * 100) / (3 * Math.PI);
    expect(Math.abs(before / closed - 1)).toBeLessThan(0.2);
    expect(beyond).toBeLessThan(0.2 * before);
  });

  it('flux: landed + leaves + sky = emitted', () => {
    const flux = model.fluxOf('a');
    expect(flux.surfacesLm + flux.leavesLm + flux.skyLm).toBeCloseTo(flux.emittedLm, 6);
    expect(flux.leavesLm).toBeGreaterThan(0.001 * flux.emittedLm);
  });
});

function luminance(rgb: Float32Array, at: number): number {
  return 0.2126 * rgb[at]! + 0.7152 * rgb[at + 1]! + 0.0722 * rgb[at + 2]!;
}
