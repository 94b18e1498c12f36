import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aimReading, changing, field, type Opened, open, slipLines, strip, type, words } from './app.ts';
import { smallProperty } from './properties.ts';

async function audit(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).analyze();
  return violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(' ')}: ${n.failureSummary ?? ''}`));
}

const rows = (page: Page) => page.getByRole('listbox', { name: 'Lights', exact: true }).getByRole('option');

describe('the lists do it all (task 24)', () => {
  let app: Opened;
  beforeAll(async () => {
    app = await open({ property: smallProperty() });
  });
  afterAll(() => app.close());

  it('adds, aims and dims a light', async () => {
    const { page } = app;
    await page.getByRole('tab', { name: 'Lights' }).click();
    const before = await strip(page);
    await page.locator('.list-head').getByRole('button', { name: 'Add light' }).click();
    const form = page.getByRole('form', { name: 'Add light' });
    await form.getByLabel('Host').selectOption({ index: 1 });
    await changing(page, () => form.getByRole('button', { name: 'Add light' }).click());
    expect(await rows(page).count()).toBe(3);
    expect((await strip(page)).watts).toBeCloseTo(before.watts + 5.5, 1);
    await changing(page, () => type(field(page, 'Aims at, height'), '4 m'));
    const bright = (await aimReading(page)).own;
    const dim = page.getByRole('slider', { name: 'Dim' });
    await dim.focus();
    await changing(page, async () => {
      for (let i = 0; i < 5; i++) await page.keyboard.press('PageDown');
      await dim.blur();
    });
    const share = Number(await dim.inputValue()) / 100;
    expect(share).toBeLessThan(1);
    await expect.poll(async () => Math.abs((await aimReading(page)).own / bright - share)).toBeLessThan(0.03);
  });

  it('copies a light along the wall, undone in one step, and deletes one', async () => {
    const { page } = app;
    await page.getByText('Copy along the wall').click();
    const count = await rows(page).count();
    await changing(page, () => page.getByRole('button', { name: /^Copy to \d+ place/ }).click());
    expect(await rows(page).count()).toBeGreaterThan(count);
    await changing(page, () => page.getByRole('button', { name: /^Undo: / }).click());
    expect(await rows(page).count()).toBe(count);
    await rows(page).last().click();
    await changing(page, () => page.getByRole('button', { name: 'Delete' }).click());
    expect(await rows(page).count()).toBe(count - 1);
  });

  it('reads a place: the lines add up to the total', async () => {
    const { page } = app;
    const fold = page.locator('details.fold', { hasText: 'Read a place' });
    await fold.locator('summary').click();
    await type(fold.getByRole('spinbutton', { name: 'Along' }), '2.625 m');
    await fold.getByRole('button', { name: 'Read', exact: true }).click();
    await fold.locator('.slip-total').waitFor();
    const { total, lines } = await slipLines(fold);
    const sum = Object.values(lines).reduce((a, b) => a + b, 0);
    expect(total).toBeGreaterThan(1);
    expect(Math.abs(sum - total)).toBeLessThan(Math.max(0.2, total * 0.01));
  });

  it('walks all findings from Review, each with its place in words', async () => {
    const { page } = app;
    await page.getByRole('tab', { name: 'Review' }).click();
    const findings = page.locator('.findings > li');
    await findings.first().waitFor();
    const { stop, warn, note } = await strip(page);
    expect(await findings.count()).toBe(stop + warn + note);
    for (const row of await findings.all()) {
      expect((await words(row.locator('p').first())).length).toBeGreaterThan(20);
      await row.getByRole('button', { name: /^Show me/ }).click();
      expect(await row.getAttribute('data-selected')).toBe('true');
    }
    await settledAfterShowMe(page);
  });

  it.each(['Property', 'Lights', 'Wiring', 'Review', 'Compare', 'Sheets'])(
    'audit: 0 violations with the list %s',
    async (list) => {
      const { page } = app;
      await page.getByRole('tab', { name: list }).click();
      await page.getByRole('tabpanel').getByText('Opening the list').waitFor({ state: 'detached' });
      expect(await audit(page)).toEqual([]);
    },
  );

  it.each(['load', 'picture', 'time', 'exposure', 'scheme'])('audit: 0 violations with the cell %s open', async (cell) => {
    const { page } = app;
    await page.locator(`[data-cell="${cell}"].cell`).click();
    await page.locator('.cell-panel').waitFor();
    expect(await audit(page)).toEqual([]);
    await page.locator('.cell-panel').getByRole('button', { name: 'Close' }).click();
  });

  it.each(['Kit list', 'Aiming sheet', 'Pictures'])('audit: 0 violations in the sheet %s', async (sheet) => {
    const { page } = app;
    await page.getByRole('tab', { name: 'Sheets' }).click();
    await page.getByRole('button', { name: sheet }).click();
    await page.getByRole('dialog', { name: sheet }).waitFor();
    expect(await audit(page)).toEqual([]);
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
  });

  it('says nothing in the console and asks nothing of another origin', () => {
    expect(app.watch).toEqual({ errors: [], foreign: [] });
  });
});

async function settledAfterShowMe(page: Page): Promise<void> {
  const back = page.getByRole('button', { name: 'Return' });
  if (await back.isVisible()) await changing(page, () => back.click());
}
