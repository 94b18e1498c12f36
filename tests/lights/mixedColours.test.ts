import { describe, expect, it } from 'vitest';
import { cctToLinearRgb, luminanceOf } from '../../src/exposure/index.ts';
import { createLightModel, type LightModel, type Source } from '../../src/lights/index.ts';
import type { SceneModel } from '../../src/scene/index.ts';
import { SceneSketch } from './testScene.ts';
import { isotropic, NIGHT, testSource } from './testSource.ts';

type Rgb = [number, number, number];

/** A 4 m cube seen from inside, all of one colour. */
function room(rho: Rgb): SceneModel {
  const sketch = new SceneSketch();
  sketch.box([-2, -2, -2], [2, 2, 2], { id: 'room', inward: true, reflectance: 0.5 });
  const scene = sketch.build();
  for (const material of scene.materials) Object.assign(material, { reflectanceRgb: rho });
  return scene;
}
const lamp = (id: string, lm: number, cctK: number, y: number): Source =>
  testSource([0, y, 0], [0, y + 1, 0], { id, cctK, distribution: isotropic(lm / (4 * Math.PI)) });

/** Area mean of the indirect light over the six faces of the cube, linear RGB lux. */
function meanIndirect(model: LightModel): Rgb {
  const sum: Rgb = [0, 0, 0];
  let area = 0;
  for (const tile of model.field.tiles) {
    for (let k = 0; k < 1024; k++) {
      const [i, j] = [k & 31, k >> 5];
      const at = tile.slot * 1024 + k;
      if (!model.field.valid[at] || i === 0 || j === 0 || i === 31 || j === 31) continue;
      const part = (from: number): number => Math.min(tile.cellM, 4 - from);
      const a = part(tile.s0M + (i - 1) * tile.cellM) * part(tile.t0M + (j - 1) * tile.cellM);
      for (const c of [0, 1, 2] as const) sum[c] += a * model.field.indirectRgb[at * 3 + c]!;
      area += a;
    }
  }
  return sum.map((v) => v / area) as Rgb;
}
/** One room for all tests: layers are kept, only weights differ. */
const rho: Rgb = [0.6, 0.3, 0.15];
const model = createLightModel(room(rho), { bounceRays: 256 });
function means(warmLm: number, coolLm: number): Rgb {
  const weighted = (source: Source, lm: number): Source => ({ ...source, weight: lm / 1000 });
  model.setSources([weighted(lamp('warm', 1000, 2200, 0), warmLm), weighted(lamp('cool', 1000, 5000, 0), coolLm)], NIGHT);
  model.solveAll();
  return meanIndirect(model);
}

describe('2200 K and 5000 K in one brick-red room (integrating cavity channel by channel, facts.md 2.6)', () => {
  const warm = cctToLinearRgb(2200);
  const cool = cctToLinearRgb(5000);

  it('each channel’s mean is Φ_c·ρ_c/(A(1 − ρ_c)), Φ_c the sum over both lamps', () => {
    const mean = means(3000, 1000);
    for (const c of [0, 1, 2] as const) {
      const fluxLm = 3000 * warm[c] + 1000 * cool[c];
      const exact = (fluxLm * rho[c]) / (96 * (1 - rho[c]));
      expect(Math.abs(mean[c] / exact - 1)).toBeLessThan(0.01);
    }
  });

  it('stays the mixture: the two lamps apart add up to the two together, and no single colour temperature stands in', () => {
    const both = means(1000, 1000);
    const one = means(1000, 0);
    const other = means(0, 1000);
    for (const c of [0, 1, 2] as const) expect(Math.abs(both[c] / (one[c] + other[c]) - 1)).toBeLessThan(0.005);
    // Bounced once or more, red light gains on blue by ρ/(1−ρ): 1.5 against .176 (closed form).
    expect(one[0] / one[2] / (warm[0] / warm[2])).toBeCloseTo(0.6 / 0.4 / (0.15 / 0.85), 1);
    const photopic = luminanceOf(both);
    expect(both[0] / photopic).toBeLessThan(one[0] / luminanceOf(one));
    expect(both[0] / photopic).toBeGreaterThan(other[0] / luminanceOf(other));
  });
});
