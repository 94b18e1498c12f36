import { DataUtils } from 'three';
import { describe, expect, it } from 'vitest';
import { surveyed } from '../../src/view/survey.ts';

describe('survey of the drawn field', () => {
  it('turns rows from the foot into rows from the top; what has no value is not a number', () => {
    // Two columns, two rows from the foot: 1 and nothing, then green alone and 4. Y = .7152 of green (IEC 61966-2-1).
    const rows = [1, 1, 1, 1, 9, 9, 9, 0, 0, 1, 0, 1, 4, 4, 4, 1];
    const values = surveyed(Uint16Array.from(rows, DataUtils.toHalfFloat), 2, 2);
    expect(values[0]).toBeCloseTo(0.7152, 3);
    expect(values[1]).toBeCloseTo(4, 3);
    expect(values[2]).toBeCloseTo(1, 3);
    expect(values[3]).toBeNaN();
  });
});
