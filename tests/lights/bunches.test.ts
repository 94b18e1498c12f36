import { describe, expect, it } from 'vitest';
import { coarsenessAt } from '../../src/lights/bounce/cuts.ts';
import { createCaster } from '../../src/lights/rays/index.ts';
import { createEmitter } from '../../src/lights/solve/emitter.ts';
import { bunchStrands, createSight, lightGroup, strandGroup } from '../../src/lights/solve/points.ts';
import { buildStrandMesh, type Strand } from '../../src/scene/index.ts';
import { SceneSketch } from './testScene.ts';
import { isotropic, testSource } from './testSource.ts';

/** A twig standing upright at x, 4 mm thick, a ring every 0.1 m to 1 m. */
const twig = (id: string, partId: string, x: number, occludes = false): Strand => ({
  id,
  partId,
  section: 'round',
  ringsM: Float32Array.from({ length: 33 }, (_, k) => [x, Math.floor(k / 3) * 0.1, 0][k % 3]!),
  radiiM: new Float32Array(11).fill(0.002),
  sides: 3,
  material: 0,
  occludes,
});

describe('strands lit together', () => {
  const strands = [
    twig('a/0', 'a', 0, true),
    ...Array.from({ length: 7 }, (_, k) => twig(`a/${k + 1}`, 'a', 0.05 * k)),
    twig('a/far', 'a', 3),
    twig('b/0', 'b', 3),
  ];

  it('keep their order; no bunch mixes parts, or what throws shadows with what does not, or passes 64 points or 0.8 m', () => {
    const bunches = bunchStrands(strands);
    expect(bunches.flat()).toEqual(strands);
    expect(bunches.map((bunch) => bunch.map((s) => s.id))).toEqual([
      ['a/0'],
      ['a/1'],
      ['a/2'],
      ['a/3'],
      ['a/4'],
      ['a/5'],
      ['a/6'],
      ['a/7'],
      ['a/far'],
      ['b/0'],
    ]);
    const short = strands.map((s) => ({ ...s, ringsM: s.ringsM.slice(0, 9), radiiM: s.radiiM.slice(0, 3) }));
    expect(bunchStrands(short).map((bunch) => bunch.length)).toEqual([1, 7, 1, 1]);
  });

  it.each(['auto', 'off'] as const)(
    'kernels %s: I·cos/d² on the lit side of a twig, nothing on the other or behind a wall (inverse square and cosine law)',
    (kernels) => {
      const sketch = new SceneSketch();
      // A wall between lamp and twig hides what lies above 0.55 m of it.
      sketch.rect([-2, 0.505, 1], [4, 0, 0], [0, 3, 0], { reflectance: 0.4, id: 'wall' });
      const caster = createCaster(sketch.build(), kernels);
      const source = testSource([0, 0.46, 2], [0, 0.46, 0], { distribution: isotropic(100), lensRadiusM: 0.001 });
      const emitter = createEmitter(source, caster, new Map());
      const bunch = [twig('t', 't', 0)];
      const light = lightGroup(caster, emitter, strandGroup(bunch, 0), true, createSight())!;
      const { positions, normals } = buildStrandMesh(bunch[0]!);
      let lit = 0;
      for (let i = 0; i < 33; i++) {
        const [x, y, z] = [0 - positions[i * 3]!, 0.46 - positions[i * 3 + 1]!, 2 - positions[i * 3 + 2]!];
        const d = Math.hypot(x, y, z);
        const cos = (x * normals[i * 3]! + y * normals[i * 3 + 1]! + z * normals[i * 3 + 2]!) / d;
        const hidden = Math.floor(i / 3) > 5;
        const wanted = cos > 0 && !hidden ? (100 * cos) / (d * d) : 0;
        if (wanted > 0) lit++;
        // Lit 5 mm off the surface: 0.6 % nearer at 2 m.
        expect(Math.abs(light[i]! - wanted)).toBeLessThan(0.008 * wanted + 0.03);
      }
      expect(lit).toBeGreaterThanOrEqual(6);
    },
  );
});

describe('scenery', () => {
  const lotM = { min: [0, -20], max: [10, 0] } as const;
  const at = (x: number, z: number): number =>
    coarsenessAt({ lotM: { min: [...lotM.min], max: [...lotM.max] } }, [x, 0, z], [x + 1, 3, z + 1]);

  it('patches are as fine as ever on the property and 5 m round it, up to five times coarser far away', () => {
    expect(at(5, -10)).toBe(1);
    expect(at(14, -10)).toBe(1);
    expect(at(25, -10)).toBeCloseTo(1 + 0.12 * 10, 9);
    expect(at(300, -10)).toBe(5);
    expect(coarsenessAt({}, [300, 0, 0], [301, 3, 1])).toBe(1);
  });
});
