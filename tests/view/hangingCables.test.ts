import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { stringLightPlaces } from '../../src/lights/index.ts';
import { buildScene, parseProperty, type Vec3 } from '../../src/scene/index.ts';
import { hangingCables } from '../../src/view/lenses/hangingCables.ts';

const file = 'demo/cafe-garden/cafe-garden.property.json';
const parsed = parseProperty(readFileSync(new URL(`../../${file}`, import.meta.url), 'utf8'));
if (!parsed.ok) throw new Error('the demo does not parse');
const { document } = parsed;
const hanging = document.schemes
  .find((s) => s.id === 'good')!
  .fixtures.filter((f) => f.mount === 'hanging')
  // The tops of their caps, as the picture holds them.
  .map((f): Vec3 => [f.at[0], f.at[1] + 0.072, f.at[2]]);
const scene = buildScene({ ...document, planting: [] });

const offLine = (line: readonly Vec3[], [x, y, z]: Vec3): number =>
  Math.min(...line.map((p) => Math.hypot(p[0] - x, p[1] - y, p[2] - z)));

describe('cables of string lights', () => {
  const cables = hangingCables(hanging, scene);

  it('run through every lamp of the garden café, two strings, from the side wall to the posts', () => {
    expect(cables).toHaveLength(2);
    for (const at of hanging) expect(Math.min(...cables.map((c) => offLine(c, at)))).toBeLessThan(1e-9);
    for (const line of cables) {
      const ends = [line[0]!, line.at(-1)!].sort((a, b) => a[0] - b[0]);
      // The wall's face stands at x = 0, the posts' at 13.83.
      expect(ends[0]![0]).toBeLessThan(0.35);
      expect(ends[1]![0]).toBeCloseTo(13.83, 2);
      for (const end of ends) expect(end[1]).toBeGreaterThan(3.25);
    }
  });

  it('follow the catenary between lamps within 3 mm (closed form, handbook)', () => {
    const lamps = stringLightPlaces([0, 3.3, 0], [14, 3.3, 0], 10, 0.6);
    const fine = stringLightPlaces([0, 3.3, 0], [14, 3.3, 0], 10 * 16 + 15, 0.6);
    const [line] = hangingCables(lamps, { faces: [] });
    const inside = fine.filter((p) => p[0] > lamps[0]![0] && p[0] < lamps.at(-1)![0]);
    for (const p of inside) {
      const i = line!.findIndex((q) => q[0] >= p[0]);
      const [a, b] = [line![Math.max(0, i - 1)]!, line![i]!];
      const share = b[0] > a[0] ? (p[0] - a[0]) / (b[0] - a[0]) : 0;
      expect(Math.abs(a[1] + share * (b[1] - a[1]) - p[1])).toBeLessThan(0.003);
    }
  });

  it('hang plumb over pendants that have something above, and nothing over those that have not', () => {
    const faces = scene.faces.filter((f) => f.partId.startsWith('bar'));
    const roof = faces.find((f) => f.normal[1] < -0.9)!;
    const middle = [0, 1, 2].map(
      (k) => roof.origin[k]! + 0.5 * roof.widthM * roof.u[k]! + 0.5 * roof.heightM * roof.v[k]!,
    ) as unknown as Vec3;
    const under: Vec3 = [middle[0], middle[1] - 0.8, middle[2]];
    const [cord, ...more] = hangingCables([under, [100, 2, 100]], { faces });
    expect(more).toHaveLength(0);
    expect(cord![1]![0]).toBe(under[0]);
    expect(cord![1]![1]).toBeCloseTo(middle[1], 6);
  });
});
