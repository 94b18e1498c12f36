import { describe, expect, it } from 'vitest';
import { poseOnTheWay, walkSeconds } from '../../src/ui/state/walk.ts';

const from = { eye: [0, 1.6, 10] as [number, number, number], lookAt: [0, 2, 0] as [number, number, number], fieldDeg: 50 };
const to = { eye: [7, 1.2, 10] as [number, number, number], lookAt: [3, 1, 4] as [number, number, number], fieldDeg: 70 };

describe('walking between views', () => {
  it('takes the way at 1.4 m/s, never more than 10 s', () => {
    expect(walkSeconds([0, 1.6, 0], [7, 1.6, 0])).toBeCloseTo(5, 9);
    expect(walkSeconds([0, 1.6, 0], [90, 1.6, 0])).toBe(10);
  });

  it('begins and ends at the two views and is half way at half time', () => {
    expect(poseOnTheWay(from, to, 0)).toEqual(from);
    expect(poseOnTheWay(from, to, 1)).toEqual(to);
    expect(poseOnTheWay(from, to, 0.5).eye[0]).toBeCloseTo(3.5, 9);
  });
});
