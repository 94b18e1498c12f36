// Every demo property from every viewpoint: before (scheme empty), good, flawed and variants, and a sheet a property.
// node tests/pictures/contactSheet.mjs FOLDER [part of a property's id,…]; about 10 s a picture without a graphics processor.
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
  for (const scheme of states) {
    const views = viewpoints.filter((view) => !existsSync(fileOf(id, view, scheme)));
    if (views.length > 0) await drawViews({ id, site, views, scheme, url: server.url });
  }
  await server.close();
  await drawSheet(id, viewpoints, states);
}
await browser.close();

/** One light, one page; the hash asks for one viewpoint after the other. */
async function drawViews({ id, site, views, scheme, url }) {
  const page = await browser.newPage({ viewport: { width: WIDTH, height: HEIGHT } });
  const sun = String(site.sunAltitudeDeg ?? -6);
  const asked = { picture: 'only', file: 'asked.property.json', scheme, view: views[0].id, sun, ev: String(site.ev100) };
  await page.goto(`${url}?${new URLSearchParams(asked)}`);
  for (const view of views) {
    if (view !== views[0]) await page.evaluate((hash) => (window.location.hash = hash), view.id);
    await page.waitForSelector(`html[data-settled="${view.id}"]`, { timeout: 300_000, state: 'attached' });
    await page.screenshot({ path: fileOf(id, view, scheme), type: 'jpeg', quality: 88 });
    console.log(id, view.id, scheme);
  }
  await page.close();
}

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
