// Every library material at 1 m, 4 m and 18 m, one sheet: node tests/pictures/materials.mjs FOLDER [part of an id,…]
// FOLDER gets one picture per material and distance (kept ones are not drawn again) and materials.jpg.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { chromiumArgs, ensureBundled, ensurePageBuilt, findChromium, serveFolder, top } from '../../src/cli/checkout.mjs';
import { DISTANCES_M, materialRows } from './materialProperties.mjs';

const [WIDTH, HEIGHT] = [400, 300];
/** Of one picture in the sheet. */
const CELL = [200, 150];
const BLOCKS = 3;
const [folder, only = ''] = process.argv.slice(2);
if (!folder) throw new Error('expected a folder for the pictures');
mkdirSync(folder, { recursive: true });
const dist = process.env.GLOAMING_PAGE ?? join(top, 'dist/app');
if (!process.env.GLOAMING_PAGE) ensurePageBuilt();

const { materialSheets } = await import(await ensureBundled('src/materials/index.ts', 'materials'));
const wanted = (id) => only.split(',').some((part) => id.includes(part));
const rows = materialRows(materialSheets);
const fileOf = (id, metres) => join(folder, `${id}_${metres}m.png`);
const browser = await chromium.launch({ executablePath: findChromium(), args: chromiumArgs });

for (const { id, property } of rows.filter((row) => wanted(row.id))) {
  const server = await serveFolder(dist, 0, { '/asked.property.json': JSON.stringify(property) });
  for (const metres of DISTANCES_M) {
    if (existsSync(fileOf(id, metres))) continue;
    const page = await browser.newPage({ viewport: { width: WIDTH, height: HEIGHT } });
    const query = new URLSearchParams({ picture: 'only', file: 'asked.property.json', view: `m${metres}`, sun: '-7', ev: '3' });
    await page.goto(`${server.url}?${query}`);
    await page.waitForSelector('html[data-settled]', { timeout: 120_000, state: 'attached' });
    await page.screenshot({ path: fileOf(id, metres), type: 'png' });
    await page.close();
    console.log(id, metres);
  }
  await server.close();
}

const picture = (id, metres) => {
  const file = fileOf(id, metres);
  return existsSync(file) ? `<img src="data:image/png;base64,${readFileSync(file).toString('base64')}">` : '<i></i>';
};
const blocks = rows.map(
  ({ id, label }) => `<div><p>${label}</p><span>${DISTANCES_M.map((metres) => picture(id, metres)).join('')}</span></div>`,
);
const width = BLOCKS * (3 * CELL[0] + 12);
const page = await browser.newPage({ viewport: { width, height: 800 } });
await page.setContent(`<style>
body { margin: 0; background: #111; color: #ccc; font: 12px sans-serif; display: grid; grid-template-columns: repeat(${BLOCKS}, 1fr); gap: 6px 12px }
p { margin: 0 2px 2px } span { display: flex } img, i { width: ${CELL[0]}px; height: ${CELL[1]}px }
</style>${blocks.join('')}`);
writeFileSync(join(folder, 'materials.jpg'), await page.screenshot({ type: 'jpeg', quality: 72, fullPage: true }));
await browser.close();
