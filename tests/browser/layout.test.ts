import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Opened, open, picture } from './app.ts';
import { smallProperty } from './properties.ts';

const WINDOWS: [number, number][] = [
  [1440, 900],
  [1024, 768],
  [768, 1024],
  [390, 844],
  [844, 390],
  [340, 700],
];

/** Names and figures of the strip whose letters are cut off; the second lines are hints and may be shortened. */
function cutTexts(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('.strip .cell span:not(.second-line)')]
      .filter((e) => e.offsetParent !== null && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 1)
      .map((e) => `${e.textContent}: ${e.scrollWidth} in ${e.clientWidth}`),
  );
}

describe('layout', () => {
  let app: Opened;
  beforeAll(async () => {
    app = await open({ property: smallProperty() });
  });
  afterAll(() => app.close());

  it.each(WINDOWS)('%i × %i: no sideways scroll, strip not cut, picture and its six figures in sight', async (width, height) => {
    const { page } = app;
    await page.setViewportSize({ width, height });
    await expect.poll(() => page.evaluate(() => window.innerWidth)).toBe(width);
    const box = await picture(page).boundingBox();
    expect(box?.width).toBeGreaterThan(width * 0.3);
    expect(box?.height).toBeGreaterThan(height * 0.2);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThanOrEqual(0);
    expect(await cutTexts(page)).toEqual([]);
    // On a narrow window the time joins the cell of the picture.
    const cells =
      width < 600 || height < 500
        ? ['load', 'findings', 'picture', 'exposure', 'scheme']
        : ['load', 'findings', 'picture', 'time', 'exposure', 'scheme'];
    for (const id of cells) {
      const cell = await page.locator(`[data-cell="${id}"].cell`).boundingBox();
      expect(cell, `${id} is shown`).not.toBeNull();
      if (!cell) continue;
      expect(cell.x).toBeGreaterThanOrEqual(-0.5);
      expect(cell.y).toBeGreaterThanOrEqual(-0.5);
      expect(cell.x + cell.width).toBeLessThanOrEqual(width + 0.5);
      expect(cell.y + cell.height).toBeLessThanOrEqual(height + 1);
    }
    expect(await page.getByRole('tab').count()).toBe(6);
    if (height > 500) for (const tab of await page.getByRole('tab').all()) expect(await tab.isVisible()).toBe(true);
  });

  it.each(['Property', 'Lights', 'Wiring', 'Review', 'Compare', 'Sheets'])(
    '390 × 844: list %s does not scroll the page sideways',
    async (list) => {
      const { page } = app;
      await page.setViewportSize({ width: 390, height: 844 });
      await page.getByRole('tab', { name: list }).click();
      await page.getByText('Opening the list').waitFor({ state: 'detached' });
      const wide = await page.evaluate(() => {
        const margin = document.querySelector('.margin-content');
        return [document.documentElement.scrollWidth - window.innerWidth, margin ? margin.scrollWidth - margin.clientWidth : 0];
      });
      expect(wide[0]).toBeLessThanOrEqual(0);
      expect(wide[1]).toBeLessThanOrEqual(0);
    },
  );

  it('focus order: skip link, top line, picture tools, picture, strip, tabs, list; Tab leaves the picture', async () => {
    const { page } = app;
    await page.setViewportSize({ width: 1440, height: 900 });
    await page.getByRole('tab', { name: 'Lights' }).click();
    await page.locator('.skip').focus();
    const seen: string[] = ['skip'];
    for (let i = 0; i < 60 && seen.at(-1) !== 'list'; i++) {
      await page.keyboard.press('Tab');
      const region = await page.evaluate(() => {
        const e = document.activeElement;
        const regions: [string, string][] = [
          ['.skip', 'skip'],
          ['.top', 'top'],
          ['.picture-tools', 'tools'],
          ['.stage', 'picture'],
          ['.seam', 'seam'],
          ['.strip', 'strip'],
          ['.lists-bar', 'tabs'],
          ['.margin', 'list'],
        ];
        return regions.find(([selector]) => e?.closest(selector))?.[1] ?? `elsewhere: ${e?.tagName} ${e?.className}`;
      });
      if (seen.at(-1) !== region) seen.push(region);
    }
    expect(seen.filter((r) => r !== 'seam')).toEqual(['skip', 'top', 'tools', 'picture', 'strip', 'tabs', 'list']);
  });

  it('says nothing in the console and asks nothing of another origin', () => {
    expect(app.watch).toEqual({ errors: [], foreign: [] });
  });
});
