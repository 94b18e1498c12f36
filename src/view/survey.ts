import { DataUtils } from 'three';
import { luminanceOf } from '../exposure/index.ts';

/** Values of the picture's field on a coarse grid, rows from the top; NaN where a map has none. */
export interface Survey {
  width: number;
  height: number;
  values: Float32Array;
}

/** Half-float RGBA rows from the foot → values in rows from the top; NaN where alpha says there is none. */
export function surveyed(half: Uint16Array, width: number, height: number): Float32Array {
  const values = new Float32Array(width * height);
  const at = (i: number): number => DataUtils.fromHalfFloat(half[i]!);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = 4 * ((height - 1 - y) * width + x);
      values[y * width + x] = at(i + 3) < 0.5 ? Number.NaN : luminanceOf([at(i), at(i + 1), at(i + 2)]);
    }
  }
  return values;
}
