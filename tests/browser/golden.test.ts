import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import pixelmatch from 'pixelmatch';
import { PNG } from 'pngjs';
import { describe, expect, inject, it } from 'vitest';
import { top } from '../../src/cli/checkout.mjs';
import { theBrowser, watchPage } from './app.ts';

/** One viewpoint a property, scheme `good`, at the hour and exposure its pictures open with. */
const PICTURES: readonly (readonly [property: string, view: string])[] = [
  ['brick-two-storey', 'street'],
  ['small-bungalow', 'street'],
  ['row-house-courtyard', 'kitchen'],
  ['modern-stucco-pool', 'pool-garden'],
  ['cafe-garden', 'entry'],
  ['large-wooded-lot', 'arrival'],
];
/** Renews the kept pictures: `GLOAMING_KEEP_PICTURES=1 npx vitest run --config .config/vitest.browser.config.ts golden`. */
const KEEP = process.env.GLOAMING_KEEP_PICTURES === '1';
/** Least difference of a pixel that counts (pixelmatch), and the share of the picture that may differ so: half a stop more or less light is 14 to 59 %. */
const THRESHOLD = 0.05;
const MOST_DIFFERENT = 0.08;

/**
 * Tripwires only: a change that turns the whole picture is seen here, a finer one is judged by eye. After a change that was
 * meant, look at the pictures in tests/.output/golden, then renew the kept ones.
 */
describe('pictures at 480 × 270 look as they did', () => {
  it.each(PICTURES)('%s, %s', async (name, view) => {
    const property = JSON.parse(readFileSync(join(top, `demo/${name}/${name}.property.json`), 'utf8'));
    const context = await (await theBrowser()).newContext({ viewport: { width: 480, height: 270 } });
    const page = await context.newPage();
    const watch = watchPage(page);
    await context.route('**/asked.property.json', (route) => route.fulfill({ json: property }));
    const { sunAltitudeDeg, ev100 } = property.site;
    const asked = `picture=only&file=asked.property.json&scheme=good&view=${view}&sun=${sunAltitudeDeg}&ev=${ev100}`;
    await page.goto(`${inject('pageUrl')}?${asked}`);
    await page.locator('html[data-settled]').waitFor({ state: 'attached', timeout: 110_000 });
    const shot = await page.screenshot({ type: 'png' });
    const now = join(top, `tests/.output/golden/${name}-${view}.png`);
    const kept = join(top, `tests/reference/golden/${name}-${view}.png`);
    for (const file of KEEP ? [now, kept] : [now]) {
      mkdirSync(dirname(file), { recursive: true });
      writeFileSync(file, shot);
    }
    expect(existsSync(kept), `${kept} is kept`).toBe(true);
    const [a, b] = [PNG.sync.read(readFileSync(kept)), PNG.sync.read(shot)];
    expect([b.width, b.height]).toEqual([a.width, a.height]);
    const different = pixelmatch(a.data, b.data, undefined, a.width, a.height, { threshold: THRESHOLD });
    expect(different / (a.width * a.height)).toBeLessThan(MOST_DIFFERENT);
    expect(watch).toEqual({ errors: [], foreign: [] });
    await context.close();
  });
});
