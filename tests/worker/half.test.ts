import { DataUtils } from 'three';
import { describe, expect, it } from 'vitest';
import { floatFromHalf, halfFromFloat } from '../../src/worker/half.ts';

describe('half floats (IEEE 754 binary16), against the converter of three.js', () => {
  it('agrees within one unit in the last place over the range of the field', () => {
    for (let i = -200; i <= 200; i++) {
      const value = Math.sign(i) * 1.37 ** (Math.abs(i) / 6) * 1e-4;
      const ours = floatFromHalf(halfFromFloat(value));
      const theirs = DataUtils.fromHalfFloat(DataUtils.toHalfFloat(value));
      expect(Math.abs(ours - theirs)).toBeLessThanOrEqual(Math.abs(value) / 1024 + 6e-8);
      expect(Math.abs(ours - value)).toBeLessThanOrEqual(Math.abs(value) / 2048 + 6e-8);
    }
  });
  it('keeps zero, one and clamps what is too bright', () => {
    expect(floatFromHalf(halfFromFloat(0))).toBe(0);
    expect(floatFromHalf(halfFromFloat(1))).toBe(1);
    expect(floatFromHalf(halfFromFloat(1e9))).toBe(65504);
  });
});
