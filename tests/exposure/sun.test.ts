import { Body, Equator, Horizon, Observer } from 'astronomy-engine';
import { describe, expect, it } from 'vitest';
import { eveningSun } from '../../src/exposure/index.ts';

describe('evening sun against astronomy-engine', () => {
  it.each([
    [51.5, 0, '2026-10-15', -6],
    [40.7, -74, '2026-06-21', -6],
    [-33.9, 151.2, '2026-01-05', -12],
    [34, -118.2, '2027-03-20', -0.8],
    [0, 30, '2026-11-25', -9],
  ])('%f°, %f° on %s at %f°', (latitude, longitude, date, altitude) => {
    const sun = eveningSun(latitude, longitude, date, altitude)!;
    const when = new Date(Date.parse(`${date}T00:00:00Z`) + sun.utcHours * 3_600_000);
    const place = new Observer(latitude, longitude, 0);
    const equator = Equator(Body.Sun, when, place, true, true);
    const seen = Horizon(when, place, equator.ra, equator.dec);
    expect(Math.abs(seen.altitude - altitude)).toBeLessThan(0.05);
    expect(Math.abs(seen.azimuth - sun.bearingDeg)).toBeLessThan(0.05);
    expect(sun.bearingDeg).toBeGreaterThan(180);
  });

  it('says so when the sun does not sink that far', () => {
    expect(eveningSun(65, 20, '2026-06-21', -6)).toBeUndefined();
    expect(() => eveningSun(50, 0, 'today', -6)).toThrow(/2026-10-15/);
  });
});
