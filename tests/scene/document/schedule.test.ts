import { describe, expect, it } from 'vitest';
import { parseProperty, schemeAtHour, zoneIsOn } from '../../../src/scene/index.ts';
import { demoProperty } from '../../browser/properties.ts';

// Arithmetic of the clock; sunset 17:30.
const SUNSET = 17.5;

describe('zones by the hour', () => {
  it('come on so many minutes after sunset and go off by the clock', () => {
    const zone = { onAfterSunsetMin: 15, offAt: '23:00' };
    expect(zoneIsOn(zone, SUNSET, 17.74)).toBe(false);
    expect(zoneIsOn(zone, SUNSET, 17.75)).toBe(true);
    expect(zoneIsOn(zone, SUNSET, 22.99)).toBe(true);
    expect(zoneIsOn(zone, SUNSET, 23)).toBe(false);
  });

  it('may come on before sunset, go off after midnight, or not at all', () => {
    expect(zoneIsOn({ onAfterSunsetMin: -30, offAt: '00:30' }, SUNSET, 17)).toBe(true);
    expect(zoneIsOn({ onAfterSunsetMin: -30, offAt: '00:30' }, SUNSET, 24.49)).toBe(true);
    expect(zoneIsOn({ onAfterSunsetMin: -30, offAt: '00:30' }, SUNSET, 24.5)).toBe(false);
    expect(zoneIsOn({ onAfterSunsetMin: 0 }, SUNSET, 29)).toBe(true);
  });

  it('switch the lights of the demo: none at 17:40, all at 18:00, the late zone alone after 23:00', () => {
    const parsed = parseProperty(JSON.stringify(demoProperty()));
    if (!parsed.ok) throw new Error('the demo does not parse');
    const good = parsed.document.schemes.find((s) => s.id === 'good')!;
    const on = (hours: number) =>
      schemeAtHour(good, SUNSET, hours)
        .fixtures.filter((f) => f.on)
        .map((f) => f.id);
    expect(on(17.67)).toEqual([]);
    expect(on(18)).toEqual(good.fixtures.map((f) => f.id));
    expect(on(23.5)).toEqual(good.fixtures.filter((f) => f.zoneId === 'late').map((f) => f.id));
  });
});
