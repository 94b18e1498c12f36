import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aimReading, changing, field, mouseDrag, type Opened, onPage, open, picture, pressKeys, strip, type } from './app.ts';
import { smallProperty, taskProperty, viewOf, wallUplightLx } from './properties.ts';

const STREET = viewOf(smallProperty(), 'street');
/** Pier right of the door, between windows 2 and 3 of the demo's front. */
const PIER_X = 9.375;
/** Just under the eaves of 5.80 m, so that the ray meets the wall and not its edge. */
const READ_AT_M = 5.79;

async function setDirtToOne(page: Page): Promise<void> {
  await page.getByText('Lens, shield, roll').click();
  await changing(page, () => type(field(page, 'Dirt factor'), '1'));
}

describe('a light is placed by hand', () => {
  let app: Opened;
  beforeAll(async () => {
    app = await open({ property: taskProperty() });
  });
  afterAll(() => app.close());

  it('task 1: by mouse; own direct share 4.5 lx ±2 %, load +5.5 W, at most 6 actions', async () => {
    const { page } = app;
    const before = await strip(page);
    let actions = 0;
    await page.locator('.picture-tools').getByRole('button', { name: 'Add light' }).click();
    actions++;
    await changing(page, async () => {
      await mouseDrag(page, await onPage(page, STREET, [PIER_X, 0, 0.38]), await onPage(page, STREET, [PIER_X, READ_AT_M, 0]));
    });
    actions++;
    await page.getByRole('heading', { name: 'Light 3' }).waitFor();
    for (const [label, text] of [
      ['Set-back from wall', '0.38 m'],
      ['Aims at, height', '5.79 m'],
      // A lens of 22 mm flush with the ground would lie half under it.
      ['Lens height above ground', '0.01 m'],
    ] as const) {
      if ((await field(page, label).inputValue()) === text) continue;
      await changing(page, () => type(field(page, label), text));
      actions++;
    }
    expect(actions).toBeLessThanOrEqual(6);
    await setDirtToOne(page);
    const { own, total } = await aimReading(page);
    const exact = wallUplightLx(450, 24, 0.38, READ_AT_M - 0.01);
    expect(exact).toBeCloseTo(4.5, 1);
    expect(own).toBeGreaterThan(exact * 0.98);
    expect(own).toBeLessThan(exact * 1.02);
    expect(total).toBeGreaterThan(own);
    expect((await strip(page)).watts - before.watts).toBeCloseTo(5.5, 1);
  });

  it('undo takes the light away again, redo brings it back', async () => {
    const { page } = app;
    await picture(page).focus();
    for (let i = 0; i < 6 && (await page.getByRole('heading', { name: 'Light 3' }).count()) > 0; i++) {
      await page.keyboard.press('Control+z');
    }
    await expect.poll(() => page.getByRole('listbox', { name: 'Lights', exact: true }).getByRole('option').count()).toBe(2);
    await page.keyboard.press('Control+Shift+z');
    await expect.poll(() => page.getByRole('listbox', { name: 'Lights', exact: true }).getByRole('option').count()).toBe(3);
    await changing(page, () => page.keyboard.press('Control+z'));
  });

  it('task 2: by keys alone; at most 30 presses besides digits, focus never lost', async () => {
    const { page } = app;
    const before = await strip(page);
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
    let presses = 0;
    const press = async (...keys: string[]) => {
      presses += await pressKeys(page, keys);
      expect(await page.evaluate(() => document.activeElement !== document.body)).toBe(true);
    };
    await press('F6', 'F6');
    expect(await picture(page).evaluate((e) => e === document.activeElement)).toBe(true);
    await press('a');
    const host = page.getByLabel('Host');
    await expect.poll(() => host.evaluate((e) => e === document.activeElement)).toBe(true);
    const names = await host.locator('option').allInnerTexts();
    const wanted = names.findIndex((n) => /^front/.test(n) && /window 4.*window 5|4 and|bays 4/.test(n));
    const downs = wanted >= 0 ? wanted : names.length - 2;
    await press(...Array<string>(downs).fill('ArrowDown'), 'Tab', 'Tab');
    await page.keyboard.type('5.79');
    await press('Tab');
    await changing(page, () => press('Enter'));
    await press('Enter');
    expect(presses).toBeLessThanOrEqual(30);
    await page.getByRole('heading', { name: 'Light 3' }).waitFor();
    expect(await field(page, 'Set-back from wall').inputValue()).toBe('0.38 m');
    expect((await strip(page)).watts - before.watts).toBeCloseTo(5.5, 1);
    await changing(page, () => type(field(page, 'Lens height above ground'), '0.01 m'));
    await setDirtToOne(page);
    expect((await aimReading(page)).own).toBeGreaterThan(4.5 * 0.98);
    expect((await aimReading(page)).own).toBeLessThan(4.5 * 1.02);
  });

  it('says nothing in the console and asks nothing of another origin', () => {
    expect(app.watch).toEqual({ errors: [], foreign: [] });
  });
});
