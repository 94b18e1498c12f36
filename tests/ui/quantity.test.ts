import { describe, expect, it } from 'vitest';
import { showQuantity, takeQuantity } from '../../src/ui/parts/quantity.ts';
import { energyPerYearKwh } from '../../src/ui/strip/load.ts';

describe('number fields', () => {
  it.each(['6\' 8"', '80 in', '2.032 m'])('takes %s as 2.032 m (1 in = 25.4 mm exactly)', (text) => {
    const read = takeQuantity(text, 'm', 'metric', 1, 0.1, 15);
    expect(read.ok && read.value).toBeCloseTo(2.032, 9);
  });

  it('refuses inches before feet and names what would be taken', () => {
    const read = takeQuantity('6" 8\'', 'm', 'metric', 2.032, 0.1, 15);
    expect(read.ok).toBe(false);
    expect(!read.ok && read.reason).toContain('80 in');
  });

  it('refuses what lies outside the range and names the range', () => {
    expect(takeQuantity('70 m', 'm', 'metric', 1, 0.1, 60)).toEqual({
      ok: false,
      reason: 'Accepted: 0.10 m to 60.00 m. The old value stays.',
    });
    expect(takeQuantity('400', 'deg', 'metric', 24, 5, 120)).toMatchObject({ ok: false });
    expect(takeQuantity('NaN', 'W', 'metric', 5, 0.5, 60)).toMatchObject({ ok: false });
  });

  it('reads figures with or without their unit and with a decimal comma', () => {
    expect(takeQuantity('5,5 W', 'W', 'metric', 3, 0.5, 60)).toMatchObject({ ok: true, value: 5.5 });
    expect(takeQuantity('12', 'V', 'metric', 12, 11, 15)).toMatchObject({ ok: true, value: 12 });
    expect(showQuantity(5.5, 'W', 'metric')).toBe('5.5 W');
  });
});

describe('energy a year', () => {
  it('gives 118 kWh for 55 W, 5 h a night, 85 % (55·5·365/850)', () => {
    expect(energyPerYearKwh(55, 5, 0.85)).toBeCloseTo(118.09, 2);
  });
});
