import { chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findChromium } from '../../src/cli/checkout.mjs';
import { aimReading, changing, type Opened, open, picture, strip, words } from './app.ts';
import { smallProperty } from './properties.ts';

describe('no 3D drawing in this browser', () => {
  it('says so in a sentence; lists, figures and findings stay', async () => {
    const browser = await chromium.launch({
      executablePath: findChromium(),
      args: ['--no-sandbox', '--disable-dev-shm-usage', '--disable-gpu', '--disable-software-rasterizer', '--disable-3d-apis'],
    });
    const { page } = await open({ browser, property: smallProperty() });
    await page.locator('.trouble').waitFor();
    expect(await words(page.locator('.trouble'))).toMatch(/picture cannot be drawn.*WebGL 2/);
    const { watts, stop, warn, note } = await strip(page);
    expect(watts).toBeGreaterThan(5);
    expect(stop + warn + note).toBeGreaterThanOrEqual(0);
    await page.getByRole('tab', { name: 'Lights' }).click();
    await page.getByRole('listbox', { name: 'Lights', exact: true }).getByRole('option').first().click();
    expect((await aimReading(page)).own).toBeGreaterThan(1);
    await changing(page, () => page.getByRole('switch', { name: 'On', exact: true }).click());
    await expect.poll(async () => (await aimReading(page)).own).toBe(0);
    await browser.close();
  });
});

describe('the drawing or the worker fails in mid-session', () => {
  let app: Opened;
  beforeAll(async () => {
    app = await open({
      property: smallProperty(),
      expected: /^$|^(THREE\.WebGLRenderer: Context Lost|Error: killed by the test|Uncaught Error: killed)/,
    });
  });
  afterAll(() => app.close());

  it('a lost drawing context comes back by itself', async () => {
    const { page } = app;
    const drawn = (await picture(page).locator('canvas').screenshot()).length;
    const kept = await page.evaluateHandle(() => {
      const canvas = document.querySelector<HTMLCanvasElement>('.stage canvas');
      const lose = canvas?.getContext('webgl2')?.getExtension('WEBGL_lose_context');
      lose?.loseContext();
      return lose;
    });
    await page.locator('.trouble').waitFor();
    expect(await words(page.locator('.trouble'))).not.toBe('');
    await kept.evaluate((lose) => lose?.restoreContext());
    await page.locator('.trouble').waitFor({ state: 'detached' });
    await changing(page, () =>
      page
        .getByRole('button', { name: 'Next view' })
        .click()
        .then(() => picture(page).press('b')),
    );
    await changing(page, () =>
      picture(page)
        .press('b')
        .then(() => page.getByRole('button', { name: 'Next view' }).click()),
    );
    await expect
      .poll(async () => (await picture(page).locator('canvas').screenshot()).length / drawn, { timeout: 60_000 })
      .toBeGreaterThan(0.8);
  });

  it('a worker that dies is replaced; a sentence says what happened, the property stays', async () => {
    const { page } = app;
    const before = await strip(page);
    const worker = page.workers().find((w) => w.url().includes('propertyWorker'));
    if (!worker) throw new Error('no property worker');
    const came = page.waitForEvent('worker');
    await worker.evaluate(() => {
      setTimeout(() => {
        throw new Error('killed by the test');
      });
    });
    await came;
    await expect
      .poll(() => page.getByRole('alert').allInnerTexts())
      .toContainEqual(expect.stringMatching(/could not be worked out/));
    await changing(page, () => picture(page).press('b'));
    await changing(page, () => picture(page).press('b'));
    expect(await strip(page)).toEqual(before);
    expect(await page.locator('.foot').getByText('could not be worked out').count()).toBe(0);
  });

  it('says nothing else in the console and asks nothing of another origin', () => {
    expect(app.watch).toEqual({ errors: [], foreign: [] });
  });
});
