import { unzipSync } from 'fflate';
import type { Page } from 'playwright-core';
import { PNG } from 'pngjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { changing, downloadOf, type Opened, onPage, open, picture, strip, words } from './app.ts';
import { smallProperty, viewOf } from './properties.ts';

const STREET = viewOf(smallProperty(), 'street');

/** Pixels of the drawing alone, in a box of the page. */
async function shot(page: Page, clip: { x: number; y: number; width: number; height: number }): Promise<PNG> {
  return PNG.sync.read(await page.screenshot({ clip }));
}

function largestStep(a: PNG, b: PNG): number {
  let largest = 0;
  for (let i = 0; i < a.data.length; i++) largest = Math.max(largest, Math.abs((a.data[i] ?? 0) - (b.data[i] ?? 0)));
  return largest;
}

/** Text chunks of a PNG (W3C PNG, tEXt). */
function textOf(png: Buffer): Record<string, string> {
  const found: Record<string, string> = {};
  for (let at = 8; at + 8 < png.length; ) {
    const length = png.readUInt32BE(at);
    if (png.toString('latin1', at + 4, at + 8) === 'tEXt') {
      const body = png.subarray(at + 8, at + 8 + length);
      const zero = body.indexOf(0);
      found[body.toString('latin1', 0, zero)] = body.toString('latin1', zero + 1);
    }
    at += length + 12;
  }
  return found;
}

describe('before and after', () => {
  let app: Opened;
  beforeAll(async () => {
    app = await open({ property: smallProperty() });
  });
  afterAll(() => app.close());

  it('task 6: held, the sky where no lamp reaches is equal and the wall is not; EV stays', async () => {
    const { page } = app;
    const sky = await onPage(page, STREET, [9, 8.4, 0]);
    const skyBox = { x: Math.round(sky.x), y: Math.round(sky.y), width: 120, height: 40 };
    const wall = await onPage(page, STREET, [2.7, 2, 0]);
    const wallBox = { x: Math.round(wall.x), y: Math.round(wall.y), width: 12, height: 30 };
    await picture(page).focus();
    const [skyAfter, wallAfter, ev] = [await shot(page, skyBox), await shot(page, wallBox), (await strip(page)).ev];
    await changing(page, () => page.keyboard.down('h'));
    expect((await strip(page)).picture).toMatch(/^Before/);
    const [skyBefore, wallBefore] = [await shot(page, skyBox), await shot(page, wallBox)];
    expect((await strip(page)).ev).toBe(ev);
    await changing(page, () => page.keyboard.up('h'));
    expect((await strip(page)).picture).toMatch(/^After/);
    expect(largestStep(skyAfter, skyBefore)).toBeLessThanOrEqual(1);
    expect(largestStep(wallAfter, wallBefore)).toBeGreaterThan(20);
  });

  it('task 6: the wipe stands at 50 %, moves by keys, and its caption names both sides and the EV', async () => {
    const { page } = app;
    await page.locator('[data-cell="picture"].cell').click();
    await page.getByRole('button', { name: 'Wipe' }).click();
    const divider = picture(page).getByRole('slider', { name: 'Wipe' });
    await expect
      .poll(() => words(page.locator('.compare-caption')), { timeout: 60_000 })
      .toMatch(/left Before, right After.*EV 3\.0 on both/);
    expect(await divider.getAttribute('aria-valuenow')).toBe('50');
    await divider.focus();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('PageUp');
    expect(await divider.getAttribute('aria-valuenow')).toBe('59');
    expect((await strip(page)).ev).toBe('EV 3.0');
    await page.getByRole('button', { name: 'Wipe' }).click();
    await page.getByRole('region', { name: 'Picture' }).getByRole('button', { name: 'Close' }).click();
  });

  it('task 12: PNG of Before and of After share size and EV in the text; the caption says what it is', async () => {
    const { page } = app;
    await page.getByRole('tab', { name: 'Sheets' }).click();
    await page.getByRole('button', { name: 'Pictures' }).click();
    const files: Buffer[] = [];
    for (const side of ['Before', 'After']) {
      const { name, bytes } = await downloadOf(page, () => page.getByRole('button', { name: `PNG of ${side}` }).click());
      expect(name).toContain(side.toLowerCase());
      files.push(bytes);
      await page.getByRole('button', { name: 'PNG of After' }).and(page.locator(':enabled')).waitFor();
    }
    const [before, after] = files as [Buffer, Buffer];
    const [a, b] = [PNG.sync.read(before), PNG.sync.read(after)];
    expect([a.width, a.height]).toEqual([1600, 1000]);
    expect([b.width, b.height]).toEqual([1600, 1000]);
    const [textBefore, textAfter] = [textOf(before).Description ?? '', textOf(after).Description ?? ''];
    expect(textBefore).toMatch(/Before.*EV 3\.0 on both pictures.*preview, not a promise/);
    expect(textAfter).toMatch(/After.*EV 3\.0 on both pictures.*preview, not a promise/);
    expect(largestStep(a, b)).toBeGreaterThan(20);
  });

  it('a picture set holds each chosen view before and after, captioned, at one size and EV', async () => {
    const { page } = app;
    await page.getByRole('checkbox').nth(1).uncheck();
    const { name, bytes } = await downloadOf(page, () => page.getByRole('button', { name: 'Set of 2 pictures' }).click());
    expect(name).toMatch(/-pictures-1600x1000\.zip$/);
    const files = unzipSync(new Uint8Array(bytes));
    const pictures = Object.keys(files).filter((file) => file.endsWith('.png'));
    expect(pictures).toHaveLength(2);
    for (const file of pictures) {
      const png = Buffer.from(files[file]!);
      expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([1600, 1000]);
      expect(textOf(png).Description).toMatch(file.includes('before') ? /Before.*EV 3\.0 on both/ : /After.*EV 3\.0 on both/);
    }
    const list = files[Object.keys(files).find((file) => file.endsWith('.txt')) ?? ''];
    expect(new TextDecoder().decode(list).split('\n\n')).toHaveLength(2);
    await page.getByRole('button', { name: 'Set of 2 pictures' }).and(page.locator(':enabled')).waitFor();
  });

  it('a page to print shows before above after with what was assumed; A4 and Letter', async () => {
    const { page } = app;
    await page.getByRole('button', { name: 'Page to print' }).and(page.locator(':enabled')).click();
    const sheet = page.locator('.print-page');
    await sheet.locator('img').nth(1).waitFor({ timeout: 60_000 });
    expect((await sheet.locator('figcaption').allInnerTexts()).map((t) => /Before/.test(t))).toEqual([true, false]);
    expect(await words(sheet)).toMatch(/Paper cannot glow/);
    expect(await words(sheet)).toMatch(/check local code/);
    await page.getByLabel('Paper').selectOption('letter');
    const pdf = await page.pdf({ preferCSSPageSize: true });
    expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
    // 8.5 × 11 in at 72 points an inch (ISO 32000-1, 8.3.2.3).
    expect(/MediaBox\s*\[\s*0 0 612(\.\d+)? 792/.test(pdf.toString('latin1'))).toBe(true);
    // Both pictures are on the paper, the cautions on a second sheet, and no other.
    expect(pdf.toString('latin1').match(/\/Subtype\s*\/Image/g)?.length).toBeGreaterThanOrEqual(2);
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)?.length).toBe(2);
    await page.keyboard.press('Escape');
  });

  it('hands over the massing as a binary glTF file', async () => {
    const { page } = app;
    const { name, bytes } = await downloadOf(page, () => page.getByRole('button', { name: 'Massing model (GLB)' }).click());
    expect(name).toMatch(/-massing\.glb$/);
    expect(bytes.subarray(0, 4).toString()).toBe('glTF');
    expect(bytes.readUInt32LE(8)).toBe(bytes.length);
  });

  it('says nothing in the console and asks nothing of another origin', () => {
    expect(app.watch).toEqual({ errors: [], foreign: [] });
  });
});
