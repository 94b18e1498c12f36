import { moonAt } from './moon.ts';
import type { MoonPlace } from './sky.ts';
import { worldAzimuthDeg } from './sky.ts';
import { eveningSun, sunAt, sunNoonHours } from './sun.ts';

/** The part of the site record that says where and when. */
export interface SitePlace {
  latitudeDeg?: number | undefined;
  longitudeDeg?: number | undefined;
  /** Date of the evening, `YYYY-MM-DD`. */
  date?: string | undefined;
  /** Local clock minus UTC, hours; unless given, the zone of the longitude, whole hours, no summer time. */
  utcOffsetHours?: number | undefined;
  /** Compass bearing of the world's −Z axis, degrees. */
  northDeg: number;
}

/** Sun at which a property's pictures open where its site names none: the end of civil twilight, degrees. */
const CIVIL_DUSK_DEG = -6;

/** Sun's altitude at which the pictures of a property open, degrees: the site's own moment, else the end of civil twilight. */
export const openingSunDeg = (site: { sunAltitudeDeg?: number | undefined }): number => site.sunAltitudeDeg ?? CIVIL_DUSK_DEG;

/** Azimuth of the evening sun where place and date are not known: due west of a property that faces south. */
export const UNKNOWN_SUN_AZIMUTH_DEG = 270;

/**
 * World azimuth of the evening sun at an altitude. Where it never sinks (or rises) that far on that date, the azimuth of its
 * lowest (or highest) point; where place or date is unknown, `UNKNOWN_SUN_AZIMUTH_DEG`.
 */
export function sunAzimuthAt(site: SitePlace, sunAltitudeDeg: number): number {
  const { latitudeDeg, longitudeDeg, date } = site;
  if (latitudeDeg === undefined || longitudeDeg === undefined || !date) return UNKNOWN_SUN_AZIMUTH_DEG;
  const evening = eveningSun(latitudeDeg, longitudeDeg, date, sunAltitudeDeg);
  if (evening) return worldAzimuthDeg(evening.bearingDeg, site.northDeg);
  const midnight = Date.parse(`${date}T00:00:00Z`);
  const noon = sunNoonHours(longitudeDeg, midnight);
  const highest = sunAt(latitudeDeg, longitudeDeg, midnight + noon * 3_600_000);
  const hours = highest.altitudeDeg < sunAltitudeDeg ? noon : noon + 12;
  return worldAzimuthDeg(sunAt(latitudeDeg, longitudeDeg, midnight + hours * 3_600_000).bearingDeg, site.northDeg);
}

/** Sun of the conditions at an altitude on the evening of the site. */
export const eveningAt = (site: SitePlace, sunAltitudeDeg: number): { sunAltitudeDeg: number; sunAzimuthDeg: number } => ({
  sunAltitudeDeg,
  sunAzimuthDeg: sunAzimuthAt(site, sunAltitudeDeg),
});

/** Place and date, complete; undefined unless the site says all three. */
export interface KnownPlace {
  latitudeDeg: number;
  longitudeDeg: number;
  date: string;
  utcOffsetHours: number;
  /** True where the offset is the zone of the longitude, not one stated. */
  offsetAssumed: boolean;
  northDeg: number;
}

export function knownPlace(site: SitePlace): KnownPlace | undefined {
  const { latitudeDeg, longitudeDeg, date, northDeg } = site;
  if (latitudeDeg === undefined || longitudeDeg === undefined || !date || Number.isNaN(Date.parse(`${date}T00:00:00Z`)))
    return undefined;
  const utcOffsetHours = site.utcOffsetHours ?? Math.round(longitudeDeg / 15);
  return { latitudeDeg, longitudeDeg, date, northDeg, utcOffsetHours, offsetAssumed: site.utcOffsetHours === undefined };
}

/** Instant of a local clock time of the evening; hours may exceed 24. */
const instantOf = (place: KnownPlace, localHours: number): number =>
  Date.parse(`${place.date}T00:00:00Z`) + (localHours - place.utcOffsetHours) * 3_600_000;

/** Sun at a local clock time, in world azimuth. */
export function sunByClock(place: KnownPlace, localHours: number): { altitudeDeg: number; azimuthDeg: number } {
  const seen = sunAt(place.latitudeDeg, place.longitudeDeg, instantOf(place, localHours));
  return { altitudeDeg: seen.altitudeDeg, azimuthDeg: worldAzimuthDeg(seen.bearingDeg, place.northDeg) };
}

/** Moon at a local clock time, in world azimuth. */
export function moonByClock(place: KnownPlace, localHours: number): MoonPlace {
  const seen = moonAt(place.latitudeDeg, place.longitudeDeg, instantOf(place, localHours));
  return {
    altitudeDeg: seen.altitudeDeg,
    azimuthDeg: worldAzimuthDeg(seen.bearingDeg, place.northDeg),
    elongationDeg: seen.elongationDeg,
  };
}

/** Local clock time at which the evening sun has sunk to an altitude, hours; undefined where it does not. */
export function clockAtSun(place: KnownPlace, sunAltitudeDeg: number): number | undefined {
  const evening = eveningSun(place.latitudeDeg, place.longitudeDeg, place.date, sunAltitudeDeg);
  return evening && evening.utcHours + place.utcOffsetHours;
}

/** Sunset (upper rim, refracted: −0.833°) and the ends of civil, nautical and astronomical twilight, local hours. */
export function duskTimes(place: KnownPlace): Record<'sunset' | 'civil' | 'nautical' | 'astronomical', number | undefined> {
  return {
    sunset: clockAtSun(place, -0.833),
    civil: clockAtSun(place, -6),
    nautical: clockAtSun(place, -12),
    astronomical: clockAtSun(place, -18),
  };
}

/** Hours as `HH:MM`, the day wrapped. */
export function clockText(hours: number): string {
  const minutes = ((Math.round(hours * 60) % 1440) + 1440) % 1440;
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}
