import { describe, expect, it } from 'vitest';
import { changing, open, settled, strip, words } from './app.ts';

describe('the demo, Brick two-storey', () => {
  it('task 5: Flawed, Side wall dark, its remedy tried and kept; its count falls by one, one undo restores', async () => {
    const app = await open();
    const { page } = app;
    await page.locator('[data-cell="scheme"].cell').click();
    await changing(page, () => page.getByRole('button', { name: /^Flawed/ }).click());
    await page.locator('[data-cell="findings"].cell').click();
    const dark = page.locator('.findings > [data-finding="darkSide"]');
    await dark.first().waitFor();
    const [count, before, sentence] = [await dark.count(), await strip(page), await words(dark.first())];
    await changing(page, () =>
      dark
        .first()
        .getByRole('button', { name: /^Try the remedy/ })
        .click(),
    );
    // The picture has turned to the view that the sentence names.
    const chosen = await words(page.locator('#view-choice option:checked'));
    expect(sentence).toContain(chosen);
    await page.locator('.foot').getByRole('button', { name: 'Keep' }).click();
    await settled(page);
    await expect.poll(() => dark.count()).toBe(count - 1);
    expect((await strip(page)).watts).toBeGreaterThan(before.watts);
    await changing(page, () => page.getByRole('button', { name: /^Undo: / }).click());
    await expect.poll(() => dark.count()).toBe(count);
    const restored = await strip(page);
    expect([restored.watts, restored.stop, restored.warn, restored.note]).toEqual([
      before.watts,
      before.stop,
      before.warn,
      before.note,
    ]);
    expect(app.watch).toEqual({ errors: [], foreign: [] });
    await app.close();
  });
});
