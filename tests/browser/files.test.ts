import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  changing,
  downloadOf,
  field,
  mouseDrag,
  type Opened,
  open,
  openFile,
  picture,
  settled,
  type,
  visit,
  watchPage,
  words,
} from './app.ts';
import { smallProperty } from './properties.ts';

const rows = (page: Page) => page.getByRole('listbox', { name: 'Lights', exact: true }).getByRole('option');
const title = (page: Page) => page.getByRole('heading', { level: 1 });

describe('nothing is lost (task 25)', () => {
  let app: Opened;
  beforeAll(async () => {
    app = await open({ property: smallProperty() });
  });
  afterAll(() => app.close());

  it('a drag is saved within a second; a closed tab opens again on it', async () => {
    const { page, context } = app;
    await page.getByRole('tab', { name: 'Lights' }).click();
    await rows(page).first().click();
    const slider = picture(page).getByRole('slider', { name: 'Set-back' });
    const box = await slider.boundingBox();
    if (!box) throw new Error('the set-back has no handle');
    const from = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    await mouseDrag(page, from, { x: from.x, y: from.y + 12 });
    const dragged = await field(page, 'Set-back from wall').getAttribute('aria-valuenow');
    expect(dragged).not.toBe('0.55');
    await page
      .locator('.saved.saved')
      .getByText(/^Saved \d\d:\d\d$/)
      .waitFor({ timeout: 20_000 });
    await page.close();
    const again = await context.newPage();
    app.page = again;
    app.watch = watchPage(again);
    await visit(again);
    expect(await again.getByRole('region', { name: 'Tour' }).count()).toBe(0);
    await rows(again).first().click();
    expect(await field(again, 'Set-back from wall').getAttribute('aria-valuenow')).toBe(dragged);
  });

  it('a tab closed in the very moment after a change keeps it too', async () => {
    const { page, context } = app;
    await type(field(page, 'Set-back from wall'), '0.47 m');
    // `close` only asks; the next tab opens once this one is gone, as by hand.
    const gone = page.waitForEvent('close');
    await page.close({ runBeforeUnload: true });
    await gone;
    const again = await context.newPage();
    app.page = again;
    app.watch = watchPage(again);
    await visit(again);
    await rows(again).first().click();
    expect(await field(again, 'Set-back from wall').inputValue()).toBe('0.47 m');
  });

  it.each([
    ['half.property.json', JSON.stringify(smallProperty()).slice(0, 4000), /damaged/],
    ['newer.property.json', JSON.stringify({ ...smallProperty(), version: 999 }), /newer version/],
    [
      'beam.property.json',
      JSON.stringify(smallProperty()).replace('"beamAngleFullDeg":24', '"beamAngleFullDeg":400'),
      /does not accept[\s\S]*beamAngleFullDeg/,
    ],
  ])('%s is refused with the reason; the property stays, the bytes come back', async (name, text, reason) => {
    const { page } = app;
    await page.getByRole('tab', { name: 'Lights' }).focus();
    await openFile(page, name, text);
    const plate = page.getByRole('dialog', { name: 'File not opened' });
    await plate.waitFor();
    expect(await words(plate)).toMatch(reason);
    expect(await words(plate)).toContain(name);
    const { bytes } = await downloadOf(page, () => plate.getByRole('button', { name: /bytes again/ }).click());
    expect(bytes.toString('utf8')).toBe(text);
    await plate.getByRole('button', { name: 'Close' }).click();
    expect(await words(title(page))).toBe('Front wall');
    expect(await field(page, 'Set-back from wall').inputValue()).toBe('0.47 m');
  });

  it('a script in a name is text and nothing else', async () => {
    const { page } = app;
    const evil = '<img src=x onerror="window.hit=1"><script>window.hit=1</script>';
    const property = smallProperty();
    property.name = evil;
    for (const scheme of property.schemes) {
      scheme.name = evil;
      for (const fixture of scheme.fixtures) fixture.name = evil;
    }
    await changing(page, () => openFile(page, 'evil.property.json', JSON.stringify(property)));
    expect(await words(title(page))).toBe(evil);
    for (const list of ['Lights', 'Wiring', 'Review', 'Compare', 'Property', 'Sheets'])
      await page.getByRole('tab', { name: list }).click();
    await page.getByRole('button', { name: 'Kit list' }).click();
    await page.getByRole('dialog').getByText(evil).first().waitFor();
    expect(await page.evaluate(() => 'hit' in window)).toBe(false);
    expect(await page.locator('img[src="x"]').count()).toBe(0);
    await page.keyboard.press('Escape');
  });

  it('a saved file opens again as the same property', async () => {
    const { page } = app;
    await changing(page, () => openFile(page, 'wall.property.json', JSON.stringify(smallProperty())));
    const save = async () => (await downloadOf(page, () => page.keyboard.press('Control+s'))).bytes.toString('utf8');
    const first = await save();
    await changing(page, () => openFile(page, 'again.property.json', first));
    expect(await save()).toBe(first);
  });

  it('says nothing in the console and asks nothing of another origin', () => {
    expect(app.watch).toEqual({ errors: [], foreign: [] });
  });
});

describe('mixed units (task 4)', () => {
  it('takes 6\' 8", 80 in and 2.032 m as 2.032 m and refuses 6" 8\' with three examples', async () => {
    const { page, close } = await open({ property: smallProperty(), settle: false });
    await page.getByRole('tab', { name: 'Property' }).click();
    for (const name of ['front', 'door']) {
      await page
        .locator('details.fold > summary')
        .filter({ has: page.getByText(name, { exact: true }) })
        .first()
        .click();
    }
    const height = page
      .locator('details.fold details.fold details.fold[open]')
      .getByRole('spinbutton', { name: 'Height', exact: true });
    // The page takes a value when it comes to it: a busy machine needs a moment.
    const shownM = async () => Number(await height.getAttribute('aria-valuenow'));
    const shows = (metres: number) => expect.poll(shownM, { timeout: 10_000 }).toBe(metres);
    for (const text of [`6' 8"`, '80 in', '2.032 m']) {
      await type(height, '2.1');
      await shows(2.1);
      await type(height, text);
      await shows(2.032);
    }
    await type(height, `6" 8'`);
    const refusal = await words(page.getByRole('tabpanel').getByRole('alert'));
    for (const example of [`6' 8"`, '80 in', '2.03 m']) expect(refusal).toContain(example);
    expect(await shownM()).toBe(2.032);
    await settled(page);
    await close();
  });
});

describe('storage full', () => {
  it('says so beside the name, and saving a file still works', async () => {
    const { page, close } = await open({
      property: smallProperty(),
      settle: false,
      init: () => {
        IDBObjectStore.prototype.put = () => {
          throw new DOMException('no room', 'QuotaExceededError');
        };
      },
    });
    await page.getByRole('tab', { name: 'Lights' }).click();
    await rows(page).first().click();
    await type(field(page, 'Set-back from wall'), '0.47 m');
    const told = page.getByRole('button', { name: 'Not saved: storage is full' });
    await told.waitFor();
    expect(await page.getByRole('alert').allInnerTexts()).toContain('Not saved: storage is full');
    const { bytes } = await downloadOf(page, () => told.click());
    expect(bytes.toString('utf8')).toContain('0.47');
    await close();
  });
});
