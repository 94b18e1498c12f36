import { PNG } from 'pngjs';
import { expect, inject, it } from 'vitest';
import { theBrowser } from './app.ts';
import { smallProperty, type Vec3 } from './properties.ts';

/** Picture sizes that no power of two divides: the levels of the scatter are then wider than the picture. */
const SIZE = { width: 1003, height: 610 };
const LAMP: Vec3 = [9.5, 5.4, 2.4];
const EYE: Vec3 = [6, 1.6, 16];
const LOOK_AT: Vec3 = [6, 3, 0];
const FIELD_DEG = 50;
/** Reach of the halo that is measured, px, and how far its centre may lie from the lens. */
const REACH_PX = 70;
const OFF_PX = 1.5;

it('the halo of a bare lamp is centred on its lens (scatter in the eye depends on the angle alone, CIE 146:2002)', async () => {
  const property = smallProperty();
  // A lit window within the halo's reach would draw its centre away.
  const dark = JSON.stringify(property.buildings).replace(/"litCdM2":[\d.]+/g, '"litCdM2":0');
  property.buildings = JSON.parse(dark) as typeof property.buildings;
  property.viewpoints = [{ ...property.viewpoints[0]!, id: 'facing', eye: EYE, lookAt: LOOK_AT, fieldDeg: FIELD_DEG }];
  const scheme = property.schemes.find((s) => s.id === 'good')!;
  scheme.fixtures = [{ ...scheme.fixtures[0]!, at: LAMP, aim: EYE, dim: 1, shield: { kind: 'none', cutOffDeg: 45 } }];
  scheme.runs = [];
  const context = await (await theBrowser()).newContext({ viewport: SIZE });
  const page = await context.newPage();
  await context.route('**/asked.property.json', (route) => route.fulfill({ json: property }));
  await page.goto(`${inject('pageUrl')}?picture=only&file=asked.property.json&scheme=good&view=facing&sun=-18&ev=4`);
  await page.locator('html[data-settled]').waitFor({ state: 'attached', timeout: 110_000 });
  const shot = PNG.sync.read(await page.screenshot({ type: 'png' }));
  // The camera looks along −z, level; the picture's centre is the point looked at.
  const focalPx = SIZE.width / 2 / Math.tan((FIELD_DEG * Math.PI) / 360);
  const aheadM = EYE[2] - LAMP[2];
  const x = SIZE.width / 2 + (focalPx * (LAMP[0] - EYE[0])) / aheadM;
  const y = SIZE.height / 2 - focalPx * ((LAMP[1] - EYE[1]) / aheadM - (LOOK_AT[1] - EYE[1]) / EYE[2]);
  const [x0, y0] = [Math.floor(x), Math.floor(y)];
  let [sum, sumX, sumY] = [0, 0, 0];
  for (let dy = -REACH_PX; dy <= REACH_PX; dy++) {
    for (let dx = -REACH_PX; dx <= REACH_PX; dx++) {
      if (Math.hypot(dx, dy) > REACH_PX) continue;
      const green = shot.data[4 * ((y0 + dy) * SIZE.width + x0 + dx) + 1]!;
      sum += green;
      sumX += green * dx;
      sumY += green * dy;
    }
  }
  expect(sum).toBeGreaterThan(20 * Math.PI * REACH_PX ** 2);
  expect(Math.hypot(sumX / sum + x0 + 0.5 - x, sumY / sum + y0 + 0.5 - y)).toBeLessThan(OFF_PX);
  await context.close();
});
