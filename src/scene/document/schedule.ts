import type { FixtureRecord, SchemeRecord, ZoneRecord } from '../records/index.ts';

const HOURS_A_DAY = 24;

/**
 * True while a zone is on at a clock time: from sunset + `onAfterSunsetMin` until `offAt` (absent: till morning). A time to
 * go off that lies before the time to come on is of the next day.
 *
 * @param sunsetHours clock time of sunset, hours; @param clockHours clock time asked for, hours, of the same evening (may exceed 24)
 */
export function zoneIsOn(zone: Pick<ZoneRecord, 'onAfterSunsetMin' | 'offAt'>, sunsetHours: number, clockHours: number): boolean {
  const on = sunsetHours + zone.onAfterSunsetMin / 60;
  if (clockHours < on) return false;
  if (zone.offAt === undefined) return true;
  const [hours = 0, minutes = 0] = zone.offAt.split(':').map(Number);
  const off = hours + minutes / 60;
  return clockHours < (off <= on ? off + HOURS_A_DAY : off);
}

/** The scheme as it is lit at a clock time: fixtures whose zone is off are off. Fixtures without a zone stay as they are. */
export function schemeAtHour(scheme: SchemeRecord, sunsetHours: number, clockHours: number): SchemeRecord {
  const zones = new Map(scheme.zones.map((zone) => [zone.id, zone]));
  const fixtures = scheme.fixtures.map((fixture): FixtureRecord => {
    const zone = fixture.zoneId === undefined ? undefined : zones.get(fixture.zoneId);
    return !zone || zoneIsOn(zone, sunsetHours, clockHours) ? fixture : { ...fixture, on: false };
  });
  return { ...scheme, fixtures };
}
