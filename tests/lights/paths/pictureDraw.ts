import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import { top } from '../../../src/cli/checkout.mjs';
import { displayColour, linearFromOklab, srgbEncode } from '../../../src/exposure/index.ts';
import { FLOOR_CD_M2 } from './pictureCompare.ts';
import type { Reference } from './pictureFile.ts';

const SCALE = 2;
const GAP_PX = 8;
const LEGEND_PX = 14;
const MASKED = [58, 58, 58] as const;

/** Ours | path-traced | difference, as docs/proof-<property>.png, with the scale of the difference below it. */
export function drawProof(property: string, ours: Float32Array, reference: Reference, ev100: number): void {
  const { widthPx, heightPx, luminance, isSky } = reference;
  const [w, h] = [widthPx * SCALE, heightPx * SCALE];
  const png = new PNG({ width: 3 * w + 2 * GAP_PX, height: h + GAP_PX + LEGEND_PX });
  png.data.fill(255);
  const put = (x: number, y: number, colour: readonly number[]): void => {
    for (let c = 0; c < 3; c++) png.data[(y * png.width + x) * 4 + c] = colour[c]!;
  };
  const grey = (L: number): number[] => displayColour([L, L, L], ev100).map((v) => Math.round(255 * v));
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const i = Math.floor(y / SCALE) * widthPx + Math.floor(x / SCALE);
      const [mine, theirs] = [ours[i]!, luminance[i]!];
      put(x, y, isSky[i] ? MASKED : grey(mine));
      put(x + w + GAP_PX, y, isSky[i] ? MASKED : grey(theirs));
      const masked = isSky[i] || mine < FLOOR_CD_M2 || theirs < FLOOR_CD_M2;
      put(x + 2 * (w + GAP_PX), y, masked ? MASKED : ofStops(Math.log2(mine / theirs)));
    }
  }
  for (let y = h + GAP_PX; y < png.height; y++) {
    for (let x = 0; x < w; x++) {
      const stops = (2 * x) / (w - 1) - 1;
      const isTick = [-1, -0.5, 0, 0.5, 1].some((tick) => Math.abs(stops - tick) < 1 / w) && y > png.height - 6;
      put(x + 2 * (w + GAP_PX), y, isTick ? [0, 0, 0] : ofStops(stops));
    }
  }
  writeFileSync(join(top, `docs/proof-${property}.png`), PNG.sync.write(png, { deflateLevel: 9, colorType: 2 }));
}

/** −1…+1 stops: blue, white, red in OKLab, as dark at one end as at the other, evenly between (CIE lightness falls alike). */
function ofStops(stops: number): number[] {
  const x = Math.max(-1, Math.min(1, stops));
  const k = Math.abs(x);
  const end = x < 0 ? [-0.05, -0.16] : [0.17, 0.08];
  const rgb = linearFromOklab([0.97 - 0.47 * k, end[0]! * k, end[1]! * k]);
  return rgb.map((v) => Math.round(255 * srgbEncode(Math.min(1, Math.max(0, v)))));
}
