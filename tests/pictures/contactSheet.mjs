// Every demo property from every viewpoint: before (scheme empty), good, flawed and variants, and a sheet a property.
// node tests/pictures/contactSheet.mjs FOLDER [part of a property's id,…]; about 15 s a picture without a graphics processor.
// FOLDER gets PROPERTY_VIEWPOINT_SCHEME.jpg (kept ones are not drawn again) and sheet-PROPERTY.jpg.
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { chromiumArgs, ensurePageBuilt, findChromium, serveFolder, top } from '../../src/cli/checkout.mjs';

const [WIDTH, HEIGHT] = [1440, 900];
/** Of one picture in a sheet. */
const CELL = [400, 250];
const FIRST = ['empty', 'good', 'flawed'];
const [folder, only = ''] = process.argv.slice(2);
if (!folder) throw new Error('expected a folder for the pictures');
mkdirSync(folder, { recursive: true });
ensurePageBuilt();
const browser = await chromium.launch({ executablePath: findChromium(), args: chromiumArgs });

for (const id of readdirSync(join(top, 'demo')).filter((name) => only.split(',').some((part) => name.includes(part)))) {
  const text = readFileSync(join(top, 'demo', id, `${id}.property.json`), 'utf8');
  const { site, viewpoints, schemes } = JSON.parse(text);
  const states = schemes.map((scheme) => scheme.id).sort((a, b) => rank(a) - rank(b));
  const server = await serveFolder(join(top, 'dist/app'), 0, { '/asked.property.json': text });
  for (const view of viewpoints) {
    for (const scheme of states) {
      if (existsSync(fileOf(id, view, scheme))) continue;
      const page = await browser.newPage({ viewport: { width: WIDTH, height: HEIGHT } });
      const sun = String(site.sunAltitudeDeg ?? -6);
      const asked = { picture: 'only', file: 'asked.property.json', scheme, view: view.id, sun, ev: String(site.ev100) };
      await page.goto(`${server.url}?${new URLSearchParams(asked)}`);
      await page.waitForSelector('html[data-settled]', { timeout: 180_000, state: 'attached' });
      await page.screenshot({ path: fileOf(id, view, scheme), type: 'jpeg', quality: 88 });
      await page.close();
      console.log(id, view.id, scheme);
    }
  }
  await server.close();
  await drawSheet(id, viewpoints, states);
}
await browser.close();

function rank(scheme) {
  const at = FIRST.indexOf(scheme);
  return at < 0 ? FIRST.length : at;
}

function fileOf(id, view, scheme) {
  return join(folder, `${id}_${view.id}_${scheme}.jpg`);
}

async function drawSheet(id, viewpoints, states) {
  const rows = viewpoints.map((view) => {
    const cells = states.map((scheme) => {
      const data = readFileSync(fileOf(id, view, scheme)).toString('base64');
      return `<figure><img src="data:image/jpeg;base64,${data}"><figcaption>${view.name}, ${scheme}</figcaption></figure>`;
    });
    return `<div>${cells.join('')}</div>`;
  });
  const page = await browser.newPage({ viewport: { width: states.length * (CELL[0] + 6), height: 800 } });
  await page.setContent(`<style>
body { margin: 0; background: #111; color: #ccc; font: 12px sans-serif } div { display: flex; gap: 6px } figure { margin: 0 0 4px }
img { width: ${CELL[0]}px; height: ${CELL[1]}px; display: block }
</style>${rows.join('')}`);
  writeFileSync(join(folder, `sheet-${id}.jpg`), await page.screenshot({ type: 'jpeg', quality: 76, fullPage: true }));
  await page.close();
}
