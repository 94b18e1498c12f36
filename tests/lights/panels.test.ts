import { describe, expect, it } from 'vitest';
import { luminanceOf } from '../../src/exposure/index.ts';
import { createLightModel } from '../../src/lights/index.ts';
import { SceneSketch } from './testScene.ts';
import { NIGHT } from './testSource.ts';

describe('a luminous panel close by (facts 2.4: 1 × 1 m under its corner at 1 m 435.2099 lx at 1000 cd/m²)', () => {
  const sketch = new SceneSketch();
  const floor = sketch.rect([-1.5, 0, 1.5], [3, 0, 0], [0, 0, -3], { reflectance: 0 });
  sketch.rect([-0.5, 1, -0.5], [1, 0, 0], [0, 0, 1], { reflectance: 0, luminanceCdM2: 1000, sampled: false });
  const model = createLightModel(sketch.build(), { bounceRays: 16, surroundings: 'darkRural' });
  model.setSources([], NIGHT);
  model.solveAll();

  /** Factor under the corner of a rectangle a × b at 1 m (Howell; facts 2.4). */
  const corner = (a: number, b: number): number => {
    const half = (x: number, y: number): number => (x / Math.hypot(1, x)) * Math.atan(y / Math.hypot(1, x));
    return (half(a, b) + half(b, a)) / (2 * Math.PI);
  };
  const factorAt = (x: number, z: number): number =>
    corner(0.5 + x, 0.5 + z) + corner(0.5 - x, 0.5 + z) + corner(0.5 + x, 0.5 - z) + corner(0.5 - x, 0.5 - z);

  it('the formula gives the handbook value', () => {
    expect(Math.PI * 1000 * corner(1, 1)).toBeCloseTo(435.2099, 3);
  });

  it('lights every sample 1 m below it within 1 %', () => {
    let checked = 0;
    for (const tile of model.field.tiles) {
      if (tile.face !== floor) continue;
      for (let k = 0; k < 1024; k++) {
        const at = tile.slot * 1024 + k;
        if (!model.field.valid[at]) continue;
        const x = -1.5 + tile.s0M + ((k & 31) - 0.5) * tile.cellM;
        const z = 1.5 - tile.t0M - ((k >> 5) - 0.5) * tile.cellM;
        const found = luminanceOf(Array.from(model.field.indirectRgb.subarray(at * 3, at * 3 + 3)) as [number, number, number]);
        expect(Math.abs(found / (Math.PI * 1000 * factorAt(x, z)) - 1), `${x} ${z}`).toBeLessThan(0.01);
        checked++;
      }
    }
    expect(checked).toBeGreaterThan(100);
  });
});
