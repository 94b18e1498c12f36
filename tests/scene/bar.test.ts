import { describe, expect, it } from 'vitest';
import { buildScene, createEmptyProperty, parseProperty, serialiseProperty, type Vec3 } from '../../src/scene/index.ts';

type Section = 'round' | 'square';

function propertyWithBar(path: Vec3[], widthM: number, section: Section) {
  const document = createEmptyProperty('bars');
  const parts = [{ kind: 'bar' as const, id: 'pipe', name: '', path, widthM, section, material: 'ironBlack' }];
  return { ...document, buildings: [{ id: 'b', name: 'b', parts }] };
}

/** Surface and enclosed volume of the triangles, by the divergence theorem: V = Σ p·(q × r) / 6. */
function measured(path: Vec3[], widthM: number, section: Section): { areaM2: number; volumeM3: number } {
  const { positionsM: p, count } = buildScene(propertyWithBar(path, widthM, section)).occluders;
  let areaM2 = 0;
  let volumeM3 = 0;
  for (let i = 0; i < count * 9; i += 9) {
    const [a, b, c] = [0, 3, 6].map((k) => [p[i + k]!, p[i + k + 1]!, p[i + k + 2]!]) as [number[], number[], number[]];
    const cross = (u: number[], v: number[]) => [
      u[1]! * v[2]! - u[2]! * v[1]!,
      u[2]! * v[0]! - u[0]! * v[2]!,
      u[0]! * v[1]! - u[1]! * v[0]!,
    ];
    const less = (u: number[], v: number[]) => u.map((x, k) => x - v[k]!);
    areaM2 += Math.hypot(...cross(less(b, a), less(c, a))) / 2;
    volumeM3 += cross(b, c).reduce((sum, x, k) => sum + x * a[k]!, 0) / 6;
  }
  return { areaM2, volumeM3 };
}

describe('bars', () => {
  // Closed form of a square prism: 4 w l + 2 w², w² l.
  it.each<[string, Vec3]>([
    ['level', [2, 1, 0]],
    ['upright', [0, 3, 0]],
    ['slanting', [1, 2.5, -2]],
  ])('a square bar, %s, is a closed prism', (_, to) => {
    const l = Math.hypot(to[0], to[1] - 1, to[2]);
    const { areaM2, volumeM3 } = measured([[0, 1, 0], to], 0.1, 'square');
    expect(areaM2).toBeCloseTo(4 * 0.1 * l + 2 * 0.01, 5);
    expect(volumeM3).toBeCloseTo(0.01 * l, 5);
  });

  // Closed form of a regular octagon of circumradius r: area 2√2 r².
  it('a round bar is an octagonal prism', () => {
    const { volumeM3 } = measured(
      [
        [0, 0, 0],
        [0, 2, 0],
      ],
      0.08,
      'round',
    );
    expect(volumeM3).toBeCloseTo(2 * Math.SQRT2 * 0.04 ** 2 * 2, 6);
  });

  it('keeps its full width round a corner: two lengths that overlap by the square of the corner', () => {
    const path: Vec3[] = [
      [0, 0, 0],
      [2, 0, 0],
      [2, 3, 0],
    ];
    const { volumeM3 } = measured(path, 0.1, 'square');
    expect(volumeM3).toBeCloseTo(0.01 * (2.05 + 3.05), 5);
    const scene = buildScene(propertyWithBar(path, 0.1, 'square'));
    expect(scene.strands.map((s) => s.id)).toEqual(['pipe/length-1', 'pipe/length-2']);
  });

  it('goes round a gentle curve in one length', () => {
    const path = Array.from({ length: 9 }, (_, k): Vec3 => [2 * Math.cos(k * 0.2), 0, 2 * Math.sin(k * 0.2)]);
    expect(buildScene(propertyWithBar(path, 0.1, 'square')).strands).toHaveLength(1);
  });

  it('refuses a path that stands still, with its place', () => {
    const document = propertyWithBar(
      [
        [0, 0, 0],
        [1, 0, 0],
        [1, 0, 0],
      ],
      0.1,
      'round',
    );
    const result = parseProperty(serialiseProperty(document));
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.errors[0]!.path).toMatch(/parts.*path/);
  });
});
