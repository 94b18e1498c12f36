import { DataUtils } from 'three';
import { describe, expect, it } from 'vitest';
import { floatFromHalf, halfFromFloat, packRgb } from '../../src/worker/half.ts';

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

  it('packs triples with one number of another triple beside, negative and dark ones too', () => {
    // All of them are half floats, so nothing is rounded.
    const rgb = Float32Array.of(9, 0, 0.5, 120, 0.125, 0, 3);
    const vector = Float32Array.of(-2, 7, 1, 0, -0.25, 4);
    const packed = (fourth?: { of: Float32Array; at: number }): number[] => {
      const out = new Uint16Array(8);
      packRgb(out, 0, rgb, 1, 2, fourth);
      return Array.from(out, DataUtils.fromHalfFloat);
    };
    expect(packed({ of: vector, at: 1 })).toEqual([0, 0.5, 120, 7, 0.125, 0, 3, -0.25]);
    expect(packed({ of: vector, at: 0 })).toEqual([0, 0.5, 120, -2, 0.125, 0, 3, 0]);
    expect(packed()).toEqual([0, 0.5, 120, 1, 0.125, 0, 3, 1]);
  });
});
