import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { PixelSums } from './picture.ts';
import { type PictureView, referenceFolder } from './pictureScene.ts';

/** What the passes have brought so far. */
export interface Sums {
  widthPx: number;
  heightPx: number;
  passes: number;
  pathsAPixel: number;
  /** 1 where a ray of the pixel meets nothing solid: left out. */
  sky: number[];
  pixels: PixelSums[];
}

/** A path-traced picture, row 0 on top: luminance, its standard error, and the part sent on by strands, cd/m². */
export interface Reference {
  widthPx: number;
  heightPx: number;
  pathsAPixel: number;
  luminance: Float32Array;
  error: Float32Array;
  byStrands: Float32Array;
  isSky: Uint8Array;
}

/** 16 bits a number: 0 for nothing, else the binary logarithm in steps of 1/2048 from 2^−20 on (so within .02 %). */
const toWord = (v: number): number => (v > 2 ** -20 ? Math.min(65535, 1 + Math.round(2048 * (Math.log2(v) + 20))) : 0);
const fromWord = (w: number): number => (w === 0 ? 0 : 2 ** ((w - 1) / 2048 - 20));
const packed = (values: ArrayLike<number>): string => Buffer.from(Uint16Array.from(values, toWord).buffer).toString('base64');
const unpacked = (text: string): Float32Array => {
  const bytes = Buffer.from(text, 'base64');
  return Float32Array.from({ length: bytes.length / 2 }, (_, i) => fromWord(bytes.readUInt16LE(2 * i)));
};

const shares = (values: readonly number[]): string =>
  Buffer.from(Uint8Array.from(values, (v) => Math.min(255, Math.round(255 * (v || 0))))).toString('base64');

const fileOf = ({ property, view }: PictureView): string => join(referenceFolder, `${property}-${view}.json`);

export function keepReference(asked: PictureView, { widthPx, heightPx, passes, pathsAPixel, sky, pixels }: Sums): void {
  const n = pathsAPixel;
  const mean = pixels.map(([sum]) => sum / n);
  const kept = {
    command: `node tests/lights/paths/makePictures.mjs ${asked.property} SECONDS`,
    seeds: `1000 to ${999 + passes}, one a pass`,
    scheme: 'good',
    night: 'judging night: sun -12 degrees, no moon, clear, leaves on, dirt counted',
    numbers:
      'base64, row 0 on top; luminance: 16-bit little-endian words w: 0, else 2^((w - 1) / 2048 - 20) cd/m2; shares of it: bytes / 255',
    widthPx,
    heightPx,
    pathsAPixel,
    sky: Buffer.from(Uint8Array.from({ length: Math.ceil(sky.length / 8) }, (_, b) => bits(sky, b))).toString('base64'),
    luminance: packed(mean),
    errorShare: shares(pixels.map(([, squares], i) => Math.sqrt(Math.max(0, squares / n - mean[i]! ** 2) / n) / mean[i]!)),
    strandShare: shares(pixels.map(([, , part], i) => part / n / mean[i]!)),
  };
  writeFileSync(fileOf(asked), `${JSON.stringify(kept, undefined, 1)}\n`);
}

const bits = (sky: readonly number[], byte: number): number =>
  [0, 1, 2, 3, 4, 5, 6, 7].reduce((sum, k) => sum | ((sky[8 * byte + k] ?? 0) << k), 0);

export function readReference(asked: PictureView): Reference {
  const kept = JSON.parse(readFileSync(fileOf(asked), 'utf8'));
  const sky = Buffer.from(kept.sky, 'base64');
  const { widthPx, heightPx, pathsAPixel } = kept;
  const luminance = unpacked(kept.luminance);
  const [error, strands] = [Buffer.from(kept.errorShare, 'base64'), Buffer.from(kept.strandShare, 'base64')];
  return {
    widthPx,
    heightPx,
    pathsAPixel,
    luminance,
    error: luminance.map((L, i) => (L * error[i]!) / 255),
    byStrands: luminance.map((L, i) => (L * strands[i]!) / 255),
    isSky: Uint8Array.from({ length: widthPx * heightPx }, (_, i) => (sky[i >> 3]! >> (i & 7)) & 1),
  };
}
