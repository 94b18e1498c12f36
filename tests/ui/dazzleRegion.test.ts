import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../src/scene/index.ts';
import { regionOf } from '../../src/ui/picture/dazzle/region.ts';

describe('a region of ground cells', () => {
  it('three by two cells: two rows, and an edge as long as the rectangle is round', () => {
    const cells: Vec3[] = [0, 0.5, 1].flatMap((x) => [0, 0.5].map((z): Vec3 => [x, 0, z]));
    const { rows, edge } = regionOf(cells, 0.5);
    expect(rows).toEqual([
      { x0: -0.25, x1: 1.25, z: 0, y: 0 },
      { x0: -0.25, x1: 1.25, z: 0.5, y: 0 },
    ]);
    const round = edge.reduce((sum, [a, b]) => sum + Math.hypot(a[0] - b[0], a[2] - b[2]), 0);
    expect(round).toBeCloseTo(2 * (1.5 + 1), 9);
  });

  it('a gap splits a row', () => {
    expect(
      regionOf(
        [
          [0, 0, 0],
          [1.5, 0, 0],
        ],
        0.5,
      ).rows,
    ).toHaveLength(2);
  });
});
