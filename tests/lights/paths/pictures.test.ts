import { describe, expect, it } from 'vitest';
import { type AskedName, blocksOf, figuresAsked, figuresOf } from './pictureCompare.ts';
import { readReference } from './pictureFile.ts';
import { leafPicture, ourPicture, PICTURE_VIEWS, settingOf } from './pictureScene.ts';

/** Of |ours ÷ path-traced − 1|: median, 90th percentile; off the mean luminance; least share of the blocks within 25 %. */
type Bars = readonly [median: number, high: number, mean: number, within25: number];

/** The figures measured (docs/proof.md) with a margin. `leaves`: a clump shows the mean of its leaves and not those in front. */
const BARS: Record<string, Record<AskedName, Bars>> = {
  'small-bungalow': {
    all: [0.06, 0.3, 0.04, 0.86],
    withoutStrands: [0.045, 0.29, 0.02, 0.87],
    surfaces: [0.035, 0.21, 0.02, 0.91],
    leaves: [0.12, 0.42, 0.08, 0.74],
  },
  'row-house-courtyard': {
    all: [0.22, 0.51, 0.16, 0.59],
    withoutStrands: [0.12, 0.5, 0.11, 0.74],
    surfaces: [0.1, 0.36, 0.055, 0.82],
    leaves: [0.21, 0.72, 0.21, 0.58],
  },
};

/**
 * The field's picture against a path-traced one (tracer.ts, picture.ts: they share no visibility, beam, bounce or leaf code with
 * the solver; kept in tests/reference/pictures with seeds and command). Method and figures: docs/proof.md.
 */
describe('the picture is as bright as a path-traced one', () => {
  it.each(PICTURE_VIEWS)('$property, $view', { timeout: 300_000 }, (view) => {
    const reference = readReference(view);
    const setting = settingOf(view, reference.widthPx, reference.heightPx);
    const ours = ourPicture(setting);
    for (const [name, asked] of figuresAsked(leafPicture(setting))) {
      const found = figuresOf(blocksOf(ours, reference, asked));
      const [median, high, mean, within25] = BARS[view.property]![name];
      const said = `${name}: ${JSON.stringify(found)}`;
      expect(found.median, said).toBeLessThan(median);
      expect(found.high, said).toBeLessThan(high);
      expect(Math.abs(found.mean - 1), said).toBeLessThan(mean);
      expect(found.within25, said).toBeGreaterThan(within25);
    }
  });
});
