import { mkdirSync, writeFileSync } from 'node:fs';
import { beforeAll, expect, it } from 'vitest';
import { TO_10_51_OHM, wiredUplight } from '../power/halogen.ts';
import { jsonOf, textbook } from './runCli.ts';

const path = 'tests/.output/halogen.property.json';
beforeAll(() => {
  mkdirSync('tests/.output', { recursive: true });
  writeFileSync(path, wiredUplight(TO_10_51_OHM));
});

// lm ∝ V^3.4 (facts.md 3.4, IES handbook, from memory).
it('gloaming light: a halogen lamp at 10.51 of 12 V gives (10.51/12)^3.4 of its light', async () => {
  const power = await jsonOf('power', path);
  expect(power.fixtures[0].volts).toBeCloseTo(10.51, 6);
  const asked = ['--at', '0,5.8,0', '--normal', '0,0,1'];
  const full = await jsonOf('light', textbook('wall-uplight'), ...asked);
  const lower = await jsonOf('light', path, ...asked);
  expect(lower.byFixture[0].directLx / full.byFixture[0].directLx).toBeCloseTo((10.51 / 12) ** 3.4, 6);
});
