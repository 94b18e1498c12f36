import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Locator, Page } from 'playwright-core';
import { cosine, eulumdat, lm63 } from '../lights/photometryFiles.ts';
import { changing, type Opened, open, strip, words } from './app.ts';
import { smallProperty } from './properties.ts';

/** Drops a file where a locator stands: the browser's own DataTransfer, the events a real drop brings. */
async function drop(page: Page, target: Locator, name: string, text: string, offset = { x: 0, y: 0 }): Promise<void> {
  const dataTransfer = await page.evaluateHandle(
    ([file, content]) => {
      const data = new DataTransfer();
      data.items.add(new File([content!], file!));
      return data;
    },
    [name, text],
  );
  const box = (await target.boundingBox())!;
  const at = { clientX: box.x + box.width / 2 + offset.x, clientY: box.y + box.height / 2 + offset.y };
  for (const type of ['dragenter', 'dragover', 'drop']) await target.dispatchEvent(type, { dataTransfer, ...at });
}

const undoName = (page: Page) => page.getByRole('button', { name: /^Undo/ }).getAttribute('aria-label');
const note = (page: Page, name: string) => page.getByRole('region', { name: `Photometric file ${name}` });

describe('a photometric file onto a light', () => {
  let app: Opened;
  beforeAll(async () => {
    app = await open({ property: smallProperty() });
  });
  afterAll(() => app.close());

  it('dropped on its number in the picture: new lamp, both fluxes said, one undo step', async () => {
    const { page } = app;
    const before = await strip(page);
    // 1000·cos γ in 5° steps holds 3139.597 lm (facts.md 1.9, computed); the header says 1,000.
    const file = lm63(cosine, { lumens: 1000, tail: [1, 1, 20] });
    await changing(page, () => drop(page, page.locator('.balloon[data-light="f2"]'), 'cosine.ies', file));
    const said = await words(note(page, 'cosine.ies'));
    expect(said).toContain('3,140 lm by its candela, header 1,000 lm; peak 1,000 cd, beam 120°');
    expect(said).toContain('Header says 1,000 lm, its candela add up to 3,140 lm. Using the candela.');
    expect(await undoName(page)).toMatch(/photometric file on light 1/);
    expect((await strip(page)).watts).toBeCloseTo(before.watts - 5.5 + 20, 1);
    await changing(page, () => page.getByRole('button', { name: /^Undo/ }).click());
    expect(await undoName(page)).toBe('Undo');
    expect((await strip(page)).watts).toBe(before.watts);
  });

  it('a damaged file dropped on its panel: a sentence with line and token, nothing changed', async () => {
    const { page } = app;
    const before = await strip(page);
    const bad = lm63(cosine).replace('1000 996', '1000 many');
    await drop(page, page.getByRole('region', { name: 'Light 1', exact: true }), 'bad.ies', bad);
    const said = await words(note(page, 'bad.ies'));
    expect(said).toMatch(/bad\.ies was not read/);
    expect(said).toMatch(/Line \d+, "many[\d.]*": candela at horizontal 0, vertical 5: expected a number\./);
    expect(said).toContain('Nothing was changed.');
    expect(await undoName(page)).toBe('Undo');
    expect(await strip(page)).toEqual(before);
    await note(page, 'bad.ies').getByRole('button', { name: 'Close' }).click();
  });

  it('by the button: a EULUMDAT file through the file dialog', async () => {
    const { page } = app;
    const [chooser] = await Promise.all([
      page.waitForEvent('filechooser'),
      page.getByRole('button', { name: 'Photometric file…' }).click(),
    ]);
    const text = eulumdat((g) => cosine(g, 0) / Math.PI);
    await changing(page, () => chooser.setFiles({ name: 'lamp.ldt', mimeType: '', buffer: Buffer.from(text) }));
    expect(await words(note(page, 'lamp.ldt'))).toMatch(/999 lm by its candela, header 1,000 lm/);
    expect(await undoName(page)).toMatch(/photometric file on light 1/);
    await note(page, 'lamp.ldt').getByRole('button', { name: 'Keep' }).click();
    expect(await note(page, 'lamp.ldt').count()).toBe(0);
    expect(app.watch.errors).toEqual([]);
    expect(app.watch.foreign).toEqual([]);
  });

  it('dropped beside all lights: only said', async () => {
    const { page } = app;
    const undo = await undoName(page);
    const stage = page.locator('.stage');
    const box = (await stage.boundingBox())!;
    await drop(page, stage, 'cosine.ies', lm63(cosine), { x: 0, y: -box.height / 2 + 30 });
    await expect
      .poll(() => page.locator('[aria-live="polite"]').allInnerTexts(), { timeout: 15_000 })
      .toEqual(expect.arrayContaining([expect.stringMatching(/Drop a photometric file on a light/)]));
    expect(await undoName(page)).toBe(undo);
  });
});
