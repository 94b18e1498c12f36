import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { top } from '../../../src/cli/checkout.mjs';
import { dice } from './lamps.ts';
import { blocksOf, figuresAsked, figuresOf } from './pictureCompare.ts';
import { drawProof } from './pictureDraw.ts';
import { keepReference, readReference, type Sums } from './pictureFile.ts';
import { leafPicture, ourPicture, PICTURE_VIEWS, type PictureView, pictureTracer, settingOf } from './pictureScene.ts';

const [WIDTH_PX, HEIGHT_PX] = [192, 120];
/** Paths a ray of the eye in one pass; every pass has its own seed, so that passes can be added later. */
const PATHS = 4;

function viewOf(property: string): PictureView {
  const asked = PICTURE_VIEWS.find((v) => v.property === property);
  if (!asked) throw new Error(`${property}: one of ${PICTURE_VIEWS.map((v) => v.property).join(', ')}`);
  return asked;
}

/**
 * Adds passes to the reference of a property until so many seconds are over; sums are kept in .cache/pictures (remove them to
 * begin anew), and the reference is written from them.
 */
export function addPaths(property: string, seconds: number): void {
  const asked = viewOf(property);
  const setting = settingOf(asked, WIDTH_PX, HEIGHT_PX);
  const tracer = pictureTracer(setting);
  const file = join(top, `.cache/pictures/${property}.sums.json`);
  const sums: Sums = existsSync(file)
    ? JSON.parse(readFileSync(file, 'utf8'))
    : { widthPx: WIDTH_PX, heightPx: HEIGHT_PX, passes: 0, pathsAPixel: 0, sky: [], pixels: [] };
  mkdirSync(join(top, '.cache/pictures'), { recursive: true });
  for (const until = Date.now() + 1000 * seconds; Date.now() < until; ) {
    const random = dice(1000 + sums.passes);
    for (let i = 0; i < WIDTH_PX * HEIGHT_PX; i++) {
      const rays = setting.raysOf(i % WIDTH_PX, Math.floor(i / WIDTH_PX));
      sums.pixels[i] ??= [0, 0, 0];
      sums.sky[i] ??= rays.some((d) => tracer.isSky(setting.eye, d)) ? 1 : 0;
      if (sums.sky[i]) continue;
      for (const d of rays) for (let k = 0; k < PATHS; k++) tracer.addPath(setting.eye, d, random, sums.pixels[i]!);
    }
    sums.passes++;
    sums.pathsAPixel = sums.passes * PATHS * setting.raysOf(0, 0).length;
    writeFileSync(file, JSON.stringify(sums));
    console.log(`${property}: ${sums.pathsAPixel} paths a pixel`);
  }
  if (sums.passes > 0) keepReference(asked, sums);
}

/** Draws docs/proof-<property>.png from the kept reference and the field as it is now, and prints the figures. */
export function proof(property: string): void {
  const view = viewOf(property);
  const reference = readReference(view);
  const setting = settingOf(view, reference.widthPx, reference.heightPx);
  const ours = ourPicture(setting);
  drawProof(property, ours, reference, setting.document.site.ev100);
  for (const [said, asked] of figuresAsked(leafPicture(setting))) {
    console.log(property, said, figuresOf(blocksOf(ours, reference, asked)));
  }
}
