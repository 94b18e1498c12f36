import { Body, Equator, Horizon, Observer, SearchAltitude } from 'astronomy-engine';
import { describe, expect, it } from 'vitest';
import { clockText, duskTimes, eveningSun, knownPlace, sunAt, sunAzimuthAt, sunByClock } from '../../src/exposure/index.ts';

function reference(latitude: number, longitude: number, when: Date): { altitude: number; azimuth: number } {
  const place = new Observer(latitude, longitude, 0);
  const equator = Equator(Body.Sun, when, place, true, true);
  return Horizon(when, place, equator.ra, equator.dec);
}

const EVENINGS: [number, number, string, number][] = [
  [51.5, 0, '2026-10-15', -6],
  [40.7, -74, '2026-06-21', -6],
  [-33.9, 151.2, '2026-01-05', -12],
  [34, -118.2, '2027-03-20', -0.8],
  [0, 30, '2026-11-25', -9],
];

describe('evening sun against astronomy-engine', () => {
  it.each(EVENINGS)('%f°, %f° on %s at %f°', (latitude, longitude, date, altitude) => {
    const sun = eveningSun(latitude, longitude, date, altitude)!;
    const seen = reference(latitude, longitude, new Date(Date.parse(`${date}T00:00:00Z`) + sun.utcHours * 3_600_000));
    expect(Math.abs(seen.altitude - altitude)).toBeLessThan(0.05);
    expect(Math.abs(seen.azimuth - sun.bearingDeg)).toBeLessThan(0.05);
    expect(sun.bearingDeg).toBeGreaterThan(180);
  });

  it('says so when the sun does not sink that far', () => {
    expect(eveningSun(65, 20, '2026-06-21', -6)).toBeUndefined();
    expect(() => eveningSun(50, 0, 'today', -6)).toThrow(/2026-10-15/);
  });

  it('stands right at any instant of the day', () => {
    for (let k = 0; k < 100; k++) {
      const when = new Date(Date.UTC(2020, 1, 3) + k * 41.3 * 3_600_000);
      const [own, seen] = [sunAt(-37, 145, when.getTime()), reference(-37, 145, when)];
      expect(Math.abs(own.altitudeDeg - seen.altitude)).toBeLessThan(0.05);
      const off = ((own.bearingDeg - seen.azimuth + 540) % 360) - 180;
      expect(Math.abs(off) * Math.cos((seen.altitude * Math.PI) / 180)).toBeLessThan(0.05);
    }
  });
});

const HERE = { latitudeDeg: 52, longitudeDeg: 0, date: '2026-10-15', northDeg: 0, utcOffsetHours: 1 };

describe('evening of a place', () => {
  it('ends civil and nautical twilight when astronomy-engine does, to the minute', () => {
    const times = duskTimes(knownPlace(HERE)!);
    const observer = new Observer(52, 0, 0);
    for (const [altitude, hours] of [
      [-6, times.civil],
      [-12, times.nautical],
      [-18, times.astronomical],
    ] as const) {
      const found = SearchAltitude(Body.Sun, observer, -1, new Date('2026-10-15T12:00:00Z'), 1, altitude)!;
      const local = (found.date.getTime() - Date.parse('2026-10-15T00:00:00Z')) / 3_600_000 + 1;
      expect(Math.abs(hours! - local)).toBeLessThan(1 / 60);
    }
    // Sunset of 15 October at 52° north on the prime meridian: 17:07 UTC, 18:07 by summer time (astronomy-engine's own search).
    expect(times.sunset).toBeCloseTo(18 + 7 / 60, 1);
  });

  it('reads altitude and azimuth from the clock, turned to the axes of the property', () => {
    const place = knownPlace({ ...HERE, northDeg: 40 })!;
    const seen = reference(52, 0, new Date('2026-10-15T17:40:00Z'));
    const sun = sunByClock(place, 18 + 40 / 60);
    expect(Math.abs(sun.altitudeDeg - seen.altitude)).toBeLessThan(0.05);
    expect(Math.abs(sun.azimuthDeg - (seen.azimuth - 40))).toBeLessThan(0.05);
  });

  it('knows no place without latitude, longitude and date; assumes the zone of the longitude without an offset', () => {
    expect(knownPlace({ northDeg: 0, latitudeDeg: 52, longitudeDeg: 0 })).toBeUndefined();
    const assumed = knownPlace({ ...HERE, longitudeDeg: -74, utcOffsetHours: undefined })!;
    expect(assumed).toMatchObject({ utcOffsetHours: -5, offsetAssumed: true });
  });

  it('gives the sun an azimuth at every altitude, also where it never gets there', () => {
    expect(sunAzimuthAt({ northDeg: 0 }, -6)).toBe(270);
    expect(sunAzimuthAt(HERE, -6)).toBeCloseTo(eveningSun(52, 0, '2026-10-15', -6)!.bearingDeg, 9);
    // Midsummer at 65° north: the sun is lowest due north, highest due south.
    const north = sunAzimuthAt({ ...HERE, latitudeDeg: 65, date: '2026-06-21' }, -12);
    expect(Math.min(north, 360 - north)).toBeLessThan(0.5);
    expect(sunAzimuthAt({ ...HERE, latitudeDeg: 65, date: '2026-12-21' }, 2)).toBeCloseTo(180, 0);
  });

  it('writes hours as a clock does', () => {
    expect(clockText(18.999)).toBe('19:00');
    expect(clockText(25.5)).toBe('01:30');
  });
});
