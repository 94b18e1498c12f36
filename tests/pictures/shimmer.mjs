// How far plain brickwork seen from 18 m flickers while the eye moves sideways by thirds of a pixel:
// node tests/pictures/shimmer.mjs [width] [height] [folder]
// Prints, over the patches and as shares of a pixel's mean luminance: its standard deviation through the four pictures, which
// holds the true motion of brick edges over the pixels, and what is left when that motion is taken out. Taken out: a picture
// whose pixels are exact means over their area changes evenly between two pictures a whole pixel apart.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { PNG } from 'pngjs';
import { chromiumArgs, ensurePageBuilt, findChromium, serveFolder, top } from '../../src/cli/checkout.mjs';

const [width = 960, height = 600] = process.argv.slice(2, 4).map(Number);
/** Keeps the pictures. */
const folder = process.argv[4];
const STEPS = 4;
const EYE = [6, 1.6, 18];
const FIELD_DEG = 50;
/** Plain brickwork of the demo's front between windows: from, to, metres (x, y). */
const PATCHES = [
  [2.15, 0.9, 3.1, 2.4],
  [4.4, 3.7, 5.3, 5.2],
  [6.7, 0.9, 7.6, 2.4],
  [8.9, 3.7, 9.85, 5.2],
];

const property = JSON.parse(readFileSync(join(top, 'demo/brick-two-storey/brick-two-storey.property.json'), 'utf8'));
property.planting = [];
const pixelM = (2 * Math.tan((FIELD_DEG * Math.PI) / 360) * EYE[2]) / width;
property.viewpoints = Array.from({ length: STEPS }, (_, k) => {
  const x = EYE[0] + (k * pixelM) / 3;
  return { id: `s${k}`, name: `${k}`, eye: [x, EYE[1], EYE[2]], lookAt: [x, 2.9, 0], fieldDeg: FIELD_DEG };
});
property.questions = [];
property.site.neighbourWindows = [];

const dist = process.env.GLOAMING_PAGE ?? join(top, 'dist/app');
if (!process.env.GLOAMING_PAGE) ensurePageBuilt();
const server = await serveFolder(dist, 0, { '/asked.property.json': JSON.stringify(property) });
const browser = await chromium.launch({ executablePath: findChromium(), args: chromiumArgs });
const pictures = [];
for (const { id } of property.viewpoints) {
  const kept = folder && join(folder, `${id}.png`);
  if (kept && existsSync(kept)) {
    pictures.push(PNG.sync.read(readFileSync(kept)));
    continue;
  }
  const page = await browser.newPage({ viewport: { width, height } });
  const query = new URLSearchParams({
    picture: 'only',
    file: 'asked.property.json',
    scheme: 'good',
    view: id,
    sun: '-7',
    ev: '3',
  });
  await page.goto(`${server.url}?${query}`);
  await page.waitForSelector('html[data-settled]', { timeout: 300_000, state: 'attached' });
  const png = await page.screenshot({ type: 'png' });
  if (kept) writeFileSync(kept, png);
  pictures.push(PNG.sync.read(png));
  await page.close();
}
await browser.close();
await server.close();

const linear = (byte) => (byte > 10 ? ((byte / 255 + 0.055) / 1.055) ** 2.4 : byte / 255 / 12.92);
const luminance = (png, x, y) => {
  const o = (y * width + x) * 4;
  return 0.2126 * linear(png.data[o]) + 0.7152 * linear(png.data[o + 1]) + 0.0722 * linear(png.data[o + 2]);
};
const column = (x) => Math.round(width / 2 + (x - EYE[0]) / pixelM);
const row = (y) => Math.round(height / 2 - (y - 2.9) / pixelM);
const [all, left] = [[], []];
for (const [x0, y0, x1, y1] of PATCHES)
  for (let y = row(y1); y < row(y0); y++)
    for (let x = column(x0); x < column(x1); x++) {
      const values = pictures.map((png) => luminance(png, x, y));
      const mean = values.reduce((a, b) => a + b) / STEPS;
      const spread = (list) => Math.sqrt(list.reduce((sum, v) => sum + v * v, 0) / list.length) / mean;
      all.push(spread(values.map((v) => v - mean)));
      const even = (k) => values[0] + (k / (STEPS - 1)) * (values[STEPS - 1] - values[0]);
      left.push(spread(values.slice(1, -1).map((v, k) => v - even(k + 1))));
    }
console.log(`${all.length} pixels of ${(1000 * pixelM).toFixed(1)} mm`);
for (const [name, shares] of Object.entries({ 'through the pictures': all, 'motion taken out': left })) {
  shares.sort((a, b) => a - b);
  const at = (share) => (100 * shares[Math.floor(share * (shares.length - 1))]).toFixed(2);
  const mean = (100 * shares.reduce((a, b) => a + b)) / shares.length;
  console.log(`${name}: mean ${mean.toFixed(2)} %, median ${at(0.5)} %, 95th ${at(0.95)} %`);
}
