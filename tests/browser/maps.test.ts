import { PNG } from 'pngjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BAND_RAMP, bandOf, luxBands } from '../../src/exposure/index.ts';
import { type Opened, onPage, open, picture, slipLines, strip, words } from './app.ts';
import { smallProperty, viewOf } from './properties.ts';

const STREET = viewOf(smallProperty(), 'street');

describe('the numbers seen, and the eye', () => {
  let app: Opened;
  beforeAll(async () => {
    const property = smallProperty();
    // Low enough that part of the wall clips, and the mark has something to mark.
    property.site.ev100 = 2;
    app = await open({ property });
  });
  afterAll(() => app.close());

  /** The averaged picture of this look is on the canvas. */
  const shows = (look: string, act: () => Promise<unknown>) =>
    act().then(() => app.page.locator(`[data-picture][data-shows="${look}"][data-stage="refined"]`).waitFor());
  const legend = () => app.page.getByRole('figure', { name: /map/ });
  const band = (k: number) =>
    legend()
      .getByRole('button', { name: / lx/ })
      .nth(11 - k);
  const slip = () => app.page.getByRole('region', { name: 'Reading' });

  async function pixels(at: { x: number; y: number }, width = 3, height = 3): Promise<PNG> {
    const clip = { x: Math.round(at.x - width / 2), y: Math.round(at.y - height / 2), width, height };
    return PNG.sync.read(await app.page.screenshot({ clip }));
  }
  const hex = (png: PNG) => `#${png.data.subarray(16, 19).toString('hex')}`.toUpperCase();
  /** Largest step between a band's colour and a pixel; the picture is dithered by one. */
  const off = (a: string, b: string) =>
    Math.max(...[1, 3, 5].map((i) => Math.abs(Number.parseInt(a.slice(i, i + 2), 16) - Number.parseInt(b.slice(i, i + 2), 16))));
  /** Mean saturation: largest less smallest channel, over the largest. */
  const colour = ({ data }: PNG) => {
    let sum = 0;
    for (let i = 0; i < data.length; i += 4) {
      const rgb = [data[i] ?? 0, data[i + 1] ?? 0, data[i + 2] ?? 0];
      sum += (Math.max(...rgb) - Math.min(...rgb)) / Math.max(1, ...rgb);
    }
    return (4 * sum) / data.length;
  };

  it('a place has the colour of the band its reading falls in; the reading is marked on the scale', async () => {
    const { page } = app;
    await picture(page).focus();
    await shows('lux', () => page.keyboard.press('l'));
    const wall = await onPage(page, STREET, [2.7, 3.3, 0]);
    await page.mouse.move(wall.x, wall.y);
    await slip().waitFor();
    const { total } = await slipLines(slip());
    expect(Number.parseFloat(await words(page.locator('.map-value')))).toBeCloseTo(total, 6);
    const k = bandOf(total, luxBands);
    expect(off(hex(await pixels(wall)), BAND_RAMP[k]!)).toBeLessThanOrEqual(2);
    await band(k).click();
    expect(await band(k).getAttribute('aria-pressed')).toBe('true');
    await shows('lux', async () => undefined);
    expect(off(hex(await pixels(wall)), BAND_RAMP[k]!)).toBeLessThanOrEqual(2);
    // Another band alone: this place turns grey.
    await shows('lux', () => band(k === 11 ? 0 : 11).click());
    const grey = await pixels(wall);
    expect(off(hex(grey), BAND_RAMP[k]!)).toBeGreaterThan(40);
    expect(colour(grey)).toBeLessThan(0.1);
    await shows('lux', () => band(k === 11 ? 0 : 11).click());
    expect(await legend().locator('[aria-pressed="true"]').count()).toBe(0);
    expect(off(hex(await pixels(wall)), BAND_RAMP[k]!)).toBeLessThanOrEqual(2);
  });

  it('the figures along the lines are edges of bands, and limits of findings stand at the scale', async () => {
    const { page } = app;
    const figures = page.locator('.map-figures text');
    await figures.first().waitFor({ state: 'attached' });
    for (const text of await figures.allTextContents()) expect(luxBands.edges).toContain(Number(text));
    expect(await legend().locator('.limit').allTextContents()).toContain('5step, seat');
  });

  it('[ and ], buttons and slider move the range by a band; keys only while the picture has focus', async () => {
    const { page } = app;
    const lowest = () => band(0).getAttribute('aria-label');
    await picture(page).focus();
    await page.keyboard.press(']');
    await expect.poll(lowest).toBe('below 0.2 lx');
    await page.keyboard.press('[');
    await page.keyboard.press('[');
    await expect.poll(lowest).toBe('below 0.05 lx');
    await page.getByRole('tab', { name: 'Lights' }).focus();
    await page.keyboard.press(']');
    expect(await lowest()).toBe('below 0.05 lx');
    await legend().getByRole('button', { name: 'Range one band up' }).click();
    await expect.poll(lowest).toBe('below 0.1 lx');
    await legend().getByRole('slider', { name: 'Range of the map' }).focus();
    await page.keyboard.press('ArrowRight');
    await expect.poll(lowest).toBe('below 0.2 lx');
    await legend().getByRole('button', { name: 'Range one band down' }).click();
    await expect.poll(lowest).toBe('below 0.1 lx');
  });

  it('the eye changes the look and nothing else', async () => {
    const { page } = app;
    const wall = await onPage(page, STREET, [2.7, 3.3, 0]);
    const read = async () => {
      await page.mouse.move(wall.x + 60, wall.y - 90);
      await slip()
        .waitFor({ state: 'detached' })
        .catch(() => undefined);
      await page.mouse.move(wall.x, wall.y);
      await slip().waitFor();
      return slipLines(slip());
    };
    await picture(page).focus();
    await shows('picture', () => page.keyboard.press('l'));
    await page.keyboard.press('k');
    const note = () => words(page.locator('.clipped-note'));
    const before = { read: await read(), note: await note(), strip: await strip(page) };
    expect(Number.parseFloat(before.note)).toBeGreaterThan(0);
    const camera = await pixels({ x: 500, y: 300 }, 640, 200);

    await page.locator('[data-cell="picture"].cell').click();
    const panel = page.getByRole('region', { name: 'Picture', exact: true });
    await shows('eye', () => panel.getByRole('button', { name: 'As an eye' }).click());
    expect(await words(panel)).toMatch(/As an eye used to 0?[\d.]+ cd\/m².*Look only: readings, maps, findings/s);
    expect(await words(page.locator('[data-cell="picture"].cell'))).toMatch(/eye at [\d.]+ cd\/m²/);
    await panel.getByRole('button', { name: 'Close' }).click();
    const eye = await pixels({ x: 500, y: 300 }, 640, 200);
    expect(colour(eye)).toBeLessThan(0.95 * colour(camera));
    expect({ read: await read(), note: await note(), strip: await strip(page) }).toEqual(before);
    await picture(page).focus();
    await shows('lux', () => page.keyboard.press('l'));
    const { total } = before.read;
    expect(off(hex(await pixels(wall)), BAND_RAMP[bandOf(total, luxBands)]!)).toBeLessThanOrEqual(2);
    await shows('eye', () => page.keyboard.press('l'));

    await page.locator('[data-cell="picture"].cell').click();
    await shows('picture', () => panel.getByRole('button', { name: 'As a camera' }).click());
    await panel.getByRole('button', { name: 'Close' }).click();
  });

  it('says nothing in the console', () => {
    expect(app.watch).toEqual({ errors: [], foreign: [] });
  });
});
