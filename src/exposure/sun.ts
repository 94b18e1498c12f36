/** Where the evening sun stands when it has sunk to a given altitude. */
export interface EveningSun {
  /** Compass bearing, degrees clockwise from north. */
  bearingDeg: number;
  /** Hours after 0:00 UTC of the date; may exceed 24 west of Greenwich. */
  utcHours: number;
}

/**
 * Bearing and time of the sun at an altitude on the evening of a date, by the low-precision formulas of the Astronomical
 * Almanac: mean longitude and anomaly → ecliptic longitude → right ascension and declination, then
 * cos H = (sin a − sin φ·sin δ)/(cos φ·cos δ). Two rounds, as δ changes within the day.
 *
 * Validity: 1950 to 2050, 0.01° in the sun's place; no refraction (altitudes below the horizon need none).
 * @param dateIso `YYYY-MM-DD`, the local evening
 * @returns undefined where the sun does not reach that altitude on that day
 * @throws {RangeError} for a date that cannot be read
 * @source Astronomical Almanac, page C5 (low precision formulas), from memory.
 * @see tests/exposure/sun.test.ts
 */
export function eveningSun(
  latitudeDeg: number,
  longitudeDeg: number,
  dateIso: string,
  altitudeDeg: number,
): EveningSun | undefined {
  const midnight = Date.parse(`${dateIso}T00:00:00Z`);
  if (Number.isNaN(midnight)) throw new RangeError(`date ${dateIso}: a date like 2026-10-15 is accepted`);
  const rad = Math.PI / 180;
  const daysAtMidnight = midnight / 86_400_000 + 2440587.5 - 2451545;
  const [phi, a] = [latitudeDeg * rad, altitudeDeg * rad];
  let utcHours = 18 - longitudeDeg / 15;
  for (let round = 0; round < 4; round++) {
    const days = daysAtMidnight + utcHours / 24;
    const { declination, noonShiftHours } = sunPlace(days);
    const cosH = (Math.sin(a) - Math.sin(phi) * Math.sin(declination)) / (Math.cos(phi) * Math.cos(declination));
    if (!(Math.abs(cosH) <= 1)) return undefined;
    const H = Math.acos(cosH);
    utcHours = 12 - longitudeDeg / 15 + noonShiftHours + H / rad / 15;
    if (round < 3) continue;
    const north = Math.sin(declination) * Math.cos(phi) - Math.cos(declination) * Math.sin(phi) * Math.cos(H);
    const east = -Math.cos(declination) * Math.sin(H);
    return { bearingDeg: (Math.atan2(east, north) / rad + 360) % 360, utcHours };
  }
  return undefined;
}

/** Declination, and how much later than 12:00 mean time the sun crosses the meridian, hours. `days` from J2000.0. */
function sunPlace(days: number): { declination: number; noonShiftHours: number } {
  const rad = Math.PI / 180;
  const meanLongitude = 280.46 + 0.9856474 * days;
  const g = (357.528 + 0.9856003 * days) * rad;
  const lambda = (meanLongitude + 1.915 * Math.sin(g) + 0.02 * Math.sin(2 * g)) * rad;
  const epsilon = (23.439 - 4e-7 * days) * rad;
  const rightAscension = Math.atan2(Math.cos(epsilon) * Math.sin(lambda), Math.cos(lambda)) / rad;
  const late = ((((rightAscension - meanLongitude) % 360) + 540) % 360) - 180;
  return { declination: Math.asin(Math.sin(epsilon) * Math.sin(lambda)), noonShiftHours: late / 15 };
}
