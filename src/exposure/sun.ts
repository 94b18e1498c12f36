/** Where a body of the sky is seen, without refraction. */
export interface SeenAt {
  altitudeDeg: number;
  /** Compass bearing, degrees clockwise from north. */
  bearingDeg: number;
}

/** Where the evening sun stands when it has sunk to a given altitude. */
export interface EveningSun {
  /** Compass bearing, degrees clockwise from north. */
  bearingDeg: number;
  /** Hours after 0:00 UTC of the date; may exceed 24 west of Greenwich. */
  utcHours: number;
}

const RAD = Math.PI / 180;
const DAY_MS = 86_400_000;
const J2000_MS = Date.UTC(2000, 0, 1, 12);
const turn = (deg: number): number => ((deg % 360) + 360) % 360;

const daysFromJ2000 = (utcMs: number): number => (utcMs - J2000_MS) / DAY_MS;

/** Centuries from J2000.0. */
export const julianCenturies = (utcMs: number): number => daysFromJ2000(utcMs) / 36525;

/** Ecliptic longitude of the sun, obliquity and mean longitude, degrees. */
export function sunEcliptic(utcMs: number): { longitudeDeg: number; obliquityDeg: number; meanLongitudeDeg: number } {
  const days = daysFromJ2000(utcMs);
  const meanLongitudeDeg = 280.46 + 0.9856474 * days;
  const g = (357.528 + 0.9856003 * days) * RAD;
  return {
    longitudeDeg: meanLongitudeDeg + 1.915 * Math.sin(g) + 0.02 * Math.sin(2 * g),
    obliquityDeg: 23.439 - 4e-7 * days,
    meanLongitudeDeg,
  };
}

/**
 * Altitude and bearing of a place of the ecliptic: to right ascension and declination, to the hour angle
 * H = θ − α with θ = 280.46062° + 360.98564737°·days + longitude, to sin a = sin φ·sin δ + cos φ·cos δ·cos H.
 */
export function horizontalOf(
  eclipticLongitudeDeg: number,
  eclipticLatitudeDeg: number,
  latitudeDeg: number,
  longitudeDeg: number,
  utcMs: number,
): SeenAt {
  const [l, b, e] = [eclipticLongitudeDeg * RAD, eclipticLatitudeDeg * RAD, sunEcliptic(utcMs).obliquityDeg * RAD];
  const x = Math.cos(b) * Math.cos(l);
  const y = Math.cos(e) * Math.cos(b) * Math.sin(l) - Math.sin(e) * Math.sin(b);
  const z = Math.sin(e) * Math.cos(b) * Math.sin(l) + Math.cos(e) * Math.sin(b);
  const H = (280.46062 + 360.98564737 * daysFromJ2000(utcMs) + longitudeDeg) * RAD - Math.atan2(y, x);
  const [phi, r] = [latitudeDeg * RAD, Math.hypot(x, y)];
  const altitude = Math.asin(Math.sin(phi) * z + Math.cos(phi) * r * Math.cos(H));
  const bearing = Math.atan2(-r * Math.sin(H), z * Math.cos(phi) - r * Math.sin(phi) * Math.cos(H));
  return { altitudeDeg: altitude / RAD, bearingDeg: turn(bearing / RAD) };
}

/**
 * Sun as seen from a place at an instant, by the low-precision formulas of the Astronomical Almanac.
 *
 * Validity: 1950 to 2050, 0.01°; no refraction (altitudes below the horizon need none).
 * @param utcMs milliseconds since 1970, UTC
 * @source Astronomical Almanac, page C5 (low precision formulas), from memory.
 * @see tests/exposure/sun.test.ts
 */
export const sunAt = (latitudeDeg: number, longitudeDeg: number, utcMs: number): SeenAt =>
  horizontalOf(sunEcliptic(utcMs).longitudeDeg, 0, latitudeDeg, longitudeDeg, utcMs);

/**
 * Bearing and time of the sun at an altitude on the evening of a date: halving the way from its highest to its lowest point,
 * between which its altitude only falls.
 *
 * @param dateIso `YYYY-MM-DD`, the local evening
 * @returns undefined where the sun does not reach that altitude on that day
 * @throws {RangeError} for a date that cannot be read
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
  const at = (hours: number): SeenAt => sunAt(latitudeDeg, longitudeDeg, midnight + hours * 3_600_000);
  let [high, low] = [sunNoonHours(longitudeDeg, midnight), sunNoonHours(longitudeDeg, midnight) + 12];
  if (at(high).altitudeDeg < altitudeDeg || at(low).altitudeDeg > altitudeDeg) return undefined;
  for (let round = 0; round < 24; round++) {
    const middle = (high + low) / 2;
    if (at(middle).altitudeDeg > altitudeDeg) high = middle;
    else low = middle;
  }
  return { bearingDeg: at(high).bearingDeg, utcHours: high };
}

/** Hours after 0:00 UTC of the date at which the sun crosses the meridian. */
export function sunNoonHours(longitudeDeg: number, midnightUtcMs: number): number {
  const { longitudeDeg: l, obliquityDeg, meanLongitudeDeg } = sunEcliptic(midnightUtcMs + (12 - longitudeDeg / 15) * 3_600_000);
  const rightAscension = Math.atan2(Math.cos(obliquityDeg * RAD) * Math.sin(l * RAD), Math.cos(l * RAD)) / RAD;
  const late = turn(rightAscension - meanLongitudeDeg + 180) - 180;
  return 12 - longitudeDeg / 15 + late / 15;
}
