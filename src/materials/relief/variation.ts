import { addNoise } from './noise.ts';

/** RGBA bytes of slow variation that repeats, mean 127.5 in each channel: broad, fine, very broad, and 255. */
export function variationField(side: number): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(side * side * 4);
  const scales: readonly (readonly number[])[] = [
    [4, 9, 19],
    [23, 41, 67],
    [2, 3, 5],
  ];
  scales.forEach((cells, channel) => {
    const field = new Float32Array(side * side);
    cells.forEach((count, k) => {
      addNoise(field, side, count, count, 0.55 ** k, 81 + channel * 5 + k);
    });
    let mean = 0;
    for (const v of field) mean += v / field.length;
    for (let i = 0; i < field.length; i++) {
      const v = Math.min(1, Math.max(-1, (field[i]! - mean) * 0.62));
      out[4 * i + channel] = Math.round(127.5 + 127.5 * v);
      out[4 * i + 3] = 255;
    }
  });
  return out;
}
