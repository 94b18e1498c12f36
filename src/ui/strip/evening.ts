import {
  clockAtSun,
  eveningAt,
  type KnownPlace,
  knownPlace,
  type MoonPlace,
  moonByClock,
  sunByClock,
} from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import type { SiteRecord } from '../../scene/index.ts';

/** How the moon was chosen. */
export type MoonChoice = Conditions['moon'] | 'dated';

export const moonChoice = (c: Conditions): MoonChoice => (c.moonPlace?.dated ? 'dated' : c.moon);

/** The conditions with the sun at another altitude, its azimuth and a dated moon brought along. */
export function atSun(c: Conditions, site: SiteRecord, sunAltitudeDeg: number): Conditions {
  const place = knownPlace(site);
  const hours = place && clockAtSun(place, sunAltitudeDeg);
  return withMoon({ ...c, ...eveningAt(site, sunAltitudeDeg) }, place, hours);
}

/** The conditions at a clock time of the place; before noon is the morning after. */
export function atClock(c: Conditions, place: KnownPlace, clockHours: number): Conditions {
  const hours = clockHours < 12 ? clockHours + 24 : clockHours;
  const sun = sunByClock(place, hours);
  return withMoon({ ...c, sunAltitudeDeg: sun.altitudeDeg, sunAzimuthDeg: sun.azimuthDeg }, place, hours);
}

/** A moon by phase stands opposite the sun (full) or a right angle from it, 40° high, until it is moved. */
export function atMoon(c: Conditions, site: SiteRecord, choice: MoonChoice): Conditions {
  const place = knownPlace(site);
  if (choice === 'dated' && place) return dated(c, place, clockAtSun(place, c.sunAltitudeDeg) ?? 21);
  if (choice === 'none' || choice === 'dated') return { ...c, moon: 'none', moonPlace: undefined };
  const quarter = choice === 'quarter';
  return {
    ...c,
    moon: choice,
    moonPlace: { altitudeDeg: 40, azimuthDeg: (c.sunAzimuthDeg + (quarter ? 90 : 180)) % 360, elongationDeg: quarter ? 90 : 175 },
  };
}

function withMoon(c: Conditions, place: KnownPlace | undefined, hours: number | undefined): Conditions {
  return c.moonPlace?.dated && place && hours !== undefined ? dated(c, place, hours) : c;
}

function dated(c: Conditions, place: KnownPlace, hours: number): Conditions {
  const moonPlace: MoonPlace = { ...moonByClock(place, hours), dated: true };
  return { ...c, moon: moonPlace.elongationDeg > 120 ? 'full' : 'quarter', moonPlace };
}
