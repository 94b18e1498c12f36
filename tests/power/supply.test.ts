import { describe, expect, it } from 'vitest';
import { createLightModel, outputAtVolts, resolveSources } from '../../src/lights/index.ts';
import { resolvePoweredSources, solvedVolts } from '../../src/power/index.ts';
import { buildScene, type PropertyDocument, parseProperty } from '../../src/scene/index.ts';
import { textbookLamp } from '../lights/photometryLamp.ts';
import { TO_10_51_OHM, wiredUplight } from './halogen.ts';

const open = (text: string): PropertyDocument => {
  const parsed = parseProperty(text);
  if (!parsed.ok) throw new Error(parsed.errors[0]!.reason);
  return parsed.document;
};
const weightOf = (text: string): number => resolvePoweredSources(open(text), 'only', { after: true, dirt: 'asShown' })[0]!.weight;

describe('light at solved volts', () => {
  const halogen = { ...textbookLamp, electrical: 'resistive' as const, startV: 3, lowestV: 3 };

  // lm ∝ V^3.4 (facts.md 3.4, IES handbook, from memory): .865 at 11.5 V, .744, .699, .635, .538 at 11, 10.8, 10.5, 10 V.
  it.each([
    [12, 1],
    [11.5, 0.865],
    [11, 0.744],
    [10.8, 0.699],
    [10.5, 0.635],
    [10, 0.538],
    [12.6, 1.18],
  ])('halogen at %d V gives %d of its light', (volts, share) => {
    expect(outputAtVolts(halogen, volts)).toBeCloseTo(share, volts > 12 ? 2 : 3);
  });

  it('a driver holds its light; another law where the record says so; unwired lamps give all', () => {
    expect(outputAtVolts(textbookLamp, 10)).toBe(1);
    expect(outputAtVolts({ ...textbookLamp, outputFollowsVolts: { ratedV: 24, exponent: 2 } }, 12)).toBe(0.25);
    expect(outputAtVolts({ ...halogen, outputFollowsVolts: { ratedV: 12, exponent: 0 } }, 10)).toBe(1);
    expect(outputAtVolts(halogen, undefined)).toBe(1);
  });

  it('a driver below its start volts, and any lamp on a run with no operating point, is dark', () => {
    expect(outputAtVolts(textbookLamp, 8.99)).toBe(0);
    expect(outputAtVolts(textbookLamp, 9)).toBe(1);
    // A filament has no threshold: (8/12)^3.4 even where the record asks for 9 V.
    expect(outputAtVolts({ ...halogen, startV: 9 }, 8)).toBeCloseTo((8 / 12) ** 3.4, 12);
    expect(outputAtVolts(textbookLamp, null)).toBe(0);
    // 20 VA of constant power through 2 Ω: most is 12²/(4·2) = 18 VA (closed form), so no operating point.
    expect(weightOf(wiredUplight(2, { electrical: 'constantPower' }))).toBe(0);
    expect(weightOf(wiredUplight(1.7, { electrical: 'constantPower' }))).toBe(1);
    expect(weightOf(wiredUplight(1.7, { electrical: 'constantPower', startV: 9, lowestV: 3 }))).toBe(0);
  });

  it('halogen at 10.51 of 12 V: (10.51/12)^3.4 of the light on the wall, by exact rays and in the field', () => {
    const document = open(wiredUplight(TO_10_51_OHM));
    expect(solvedVolts(document, 'only').get('u')).toBeCloseTo(10.51, 9);
    const share = (10.51 / 12) ** 3.4;
    const model = createLightModel(buildScene(document));
    const night = { sunAltitudeDeg: -12, sunAzimuthDeg: 270, moon: 'none', cloud: 'clear', leaves: 'on' } as const;
    const read = (sources: Parameters<typeof model.setSources>[0]) => {
      model.setSources(sources, night);
      model.solveAll();
      const hit = model.cast([0, 3, 1], [0, 0, -1])!;
      return { exact: model.exactAt(hit.at, hit.normal).directLx, field: model.sampleLayer('u', hit.face, hit.s, hit.t) };
    };
    const full = read(resolveSources(document, 'only', { after: true, dirt: 'asShown' }));
    const lower = read(resolvePoweredSources(document, 'only', { after: true, dirt: 'asShown' }));
    expect(full.exact).toBeGreaterThan(1);
    expect(lower.exact / full.exact).toBeCloseTo(share, 9);
    expect(lower.field / full.field).toBeCloseTo(share, 6);
  });

  // CCT ∝ V^.42: .982 at 11.5 V (facts.md 3.4).
  it('halogen turns warmer with its volts, a driver does not', () => {
    const loopOhm = 7.2 * (12 / 11.5 - 1);
    const cct = (text: string) => resolvePoweredSources(open(text), 'only', { after: true, dirt: 'asShown' })[0]!.lamp.cctK;
    expect(cct(wiredUplight(loopOhm)) / 2700).toBeCloseTo(0.982, 3);
    expect(cct(wiredUplight(loopOhm, { electrical: 'constantPower' }))).toBe(2700);
  });
});
