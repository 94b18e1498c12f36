import { Body, Equator, Horizon, MakeTime, Observer, AngleFromSun } from 'astronomy-engine';
import { describe, expect, it } from 'vitest';
import { moonAt, moonByClock, moonPhaseShare, knownPlace } from '../../src/exposure/index.ts';

const CASES: [number, number, string][] = [
  [52, 0, '2026-10-15T18:05:00Z'],
  [40.7, -74, '2026-03-03T00:30:00Z'],
  [-33.9, 151.2, '2027-01-22T11:00:00Z'],
  [60, 25, '2030-12-09T20:00:00Z'],
  [0, 30, '2024-06-21T17:00:00Z'],
  [34, -118.2, '1999-08-28T05:00:00Z'],
];

describe('moon against astronomy-engine', () => {
  it.each(CASES)('%f°, %f° at %s', (latitude, longitude, utc) => {
    const when = new Date(utc);
    const place = new Observer(latitude, longitude, 0);
    const equator = Equator(Body.Moon, when, place, true, true);
    const seen = Horizon(when, place, equator.ra, equator.dec);
    const own = moonAt(latitude, longitude, when.getTime());
    expect(Math.abs(own.altitudeDeg - seen.altitude)).toBeLessThan(0.1);
    const off = ((own.bearingDeg - seen.azimuth + 540) % 360) - 180;
    expect(Math.abs(off * Math.cos((seen.altitude * Math.PI) / 180))).toBeLessThan(0.1);
    expect(Math.abs(own.elongationDeg - AngleFromSun(Body.Moon, MakeTime(when)))).toBeLessThan(0.1);
  });

  it('stays within 0.15° over 200 evenings of twenty years', () => {
    let worst = 0;
    for (let k = 0; k < 200; k++) {
      const when = new Date(Date.UTC(2016, 0, 1, 18) + k * 36.7 * 86_400_000);
      const place = new Observer(48, 11, 0);
      const equator = Equator(Body.Moon, when, place, true, true);
      const seen = Horizon(when, place, equator.ra, equator.dec);
      worst = Math.max(worst, Math.abs(moonAt(48, 11, when.getTime()).altitudeDeg - seen.altitude));
    }
    expect(worst).toBeLessThan(0.15);
  });
});

describe('phase of the moon (USNO Circular 171 as in facts 5.2, moon in the zenith)', () => {
  it.each([
    [175, 0.266],
    [150, 0.1205],
    [120, 0.0596],
    [90, 0.0263],
    [60, 0.00786],
  ])('at elongation %f° it brings %f lx', (elongation, lx) => {
    expect((moonPhaseShare(elongation) * 0.266) / lx).toBeCloseTo(1, 1.9);
  });

  it('is nil when new and does not surge', () => {
    expect(moonPhaseShare(0)).toBeLessThan(1e-5);
    expect(moonPhaseShare(180)).toBe(1);
  });

  it('comes by the clock of the place', () => {
    const place = knownPlace({ latitudeDeg: 52, longitudeDeg: 0, date: '2026-10-15', northDeg: 30, utcOffsetHours: 1 })!;
    const own = moonAt(52, 0, Date.UTC(2026, 9, 15, 18, 30));
    const byClock = moonByClock(place, 19.5);
    expect(byClock.altitudeDeg).toBeCloseTo(own.altitudeDeg, 9);
    expect(byClock.azimuthDeg).toBeCloseTo((own.bearingDeg - 30 + 360) % 360, 9);
  });
});
