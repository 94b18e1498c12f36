import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { changing, type Opened, onPage, open, picture, SIZES, settled, words } from './app.ts';
import { taskProperty, viewOf } from './properties.ts';

const STREET = viewOf(taskProperty(), 'street');
const LIFT_PX = 64;

describe('explain this place', () => {
  let app: Opened;
  beforeAll(async () => {
    app = await open({ property: taskProperty(), size: SIZES.tablet, touch: true });
  });
  afterAll(() => app.close());

  const panel = () => app.page.getByRole('region', { name: 'Explain this place' });
  const total = async () => Number.parseFloat(await words(panel().locator('strong')));
  const lines = async () => (await panel().locator('.share-figure').allInnerTexts()).map((t) => Number.parseFloat(t));

  it('task 20: parts sum to the total; the top light off as a trial takes its part away; leaving restores', async () => {
    const { page } = app;
    const wall = await onPage(page, STREET, [3, 5.4, 0]);
    const client = await page.context().newCDPSession(page);
    await client.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [{ x: wall.x, y: wall.y + LIFT_PX }] });
    await page.getByRole('region', { name: 'Reading' }).waitFor();
    await client.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    await page.getByRole('button', { name: 'Explain this place' }).tap();
    await panel().locator('.share').first().waitFor();
    const before = await total();
    const parts = await lines();
    expect(parts.reduce((sum, lx) => sum + lx, 0)).toBeCloseTo(before, 6);

    await changing(page, () => panel().locator('button.share').first().tap());
    await expect.poll(async () => before - (await total())).toBeGreaterThan((parts[0] ?? 0) * 0.99 - 0.01);
    expect(before - (await total())).toBeLessThan((parts[0] ?? 0) * 1.01 + 0.01);

    await changing(page, () => page.getByRole('button', { name: 'Take back' }).tap());
    await expect.poll(total).toBeCloseTo(before, 6);
  });

  it('a light pointed at is shown alone, and all come back', async () => {
    const { page } = app;
    const bar = panel().locator('button.share').first();
    await changing(page, () => bar.hover());
    await changing(page, () => picture(page).hover({ position: { x: 40, y: 120 } }));
    await settled(page);
    await page.keyboard.press('Escape');
    expect(await panel().count()).toBe(0);
  });

  it('says nothing in the console', () => {
    expect(app.watch.errors).toEqual([]);
    expect(app.watch.foreign).toEqual([]);
  });
});
