import { horizontalOf, julianCenturies, type SeenAt, sunEcliptic } from './sun.ts';

/** Where the moon stands, and how much of it is lit. */
export interface SeenMoon extends SeenAt {
  /** Angle between moon and sun as seen from the ground, degrees: 0 new, 90 quarter, 180 full. */
  elongationDeg: number;
  /** Lit share of the disc, 0…1: (1 − cos elongation)/2. */
  litShare: number;
}

/** Amplitude in 10⁻⁶ degrees (longitude, latitude) or metres (distance), then multiples of D, M, M′ and F. */
type Term = readonly [amplitude: number, D: number, M: number, moon: number, F: number];

const LONGITUDE: readonly Term[] = [
  [6288774, 0, 0, 1, 0],
  [1274027, 2, 0, -1, 0],
  [658314, 2, 0, 0, 0],
  [213618, 0, 0, 2, 0],
  [-185116, 0, 1, 0, 0],
  [-114332, 0, 0, 0, 2],
  [58793, 2, 0, -2, 0],
  [57066, 2, -1, -1, 0],
  [53322, 2, 0, 1, 0],
  [45758, 2, -1, 0, 0],
  [-40923, 0, 1, -1, 0],
  [-34720, 1, 0, 0, 0],
  [-30383, 0, 1, 1, 0],
  [15327, 2, 0, 0, -2],
  [-12528, 0, 0, 1, 2],
  [10980, 0, 0, 1, -2],
  [10675, 4, 0, -1, 0],
  [10034, 0, 0, 3, 0],
];
const LATITUDE: readonly Term[] = [
  [5128122, 0, 0, 0, 1],
  [280602, 0, 0, 1, 1],
  [277693, 0, 0, 1, -1],
  [173237, 2, 0, 0, -1],
  [55413, 2, 0, -1, 1],
  [46271, 2, 0, -1, -1],
  [32573, 2, 0, 0, 1],
  [17198, 0, 0, 2, 1],
];
const DISTANCE: readonly Term[] = [
  [-20905355, 0, 0, 1, 0],
  [-3699111, 2, 0, -1, 0],
  [-2955968, 2, 0, 0, 0],
  [-569925, 0, 0, 2, 0],
];
const MEAN_DISTANCE_M = 385_000_560;
const EARTH_RADIUS_M = 6_378_140;

/**
 * Moon as seen from a place, by the largest terms of the lunar theory ELP-2000/82; its altitude is lowered by the parallax,
 * asin(earth's radius / distance)·cos altitude. No refraction.
 *
 * Validity: 1950 to 2050, 0.1° against astronomy-engine.
 * @param utcMs milliseconds since 1970, UTC
 * @source J. Meeus, Astronomical Algorithms, ch. 47, largest terms, from memory.
 * @see tests/exposure/moon.test.ts
 */
export function moonAt(latitudeDeg: number, longitudeDeg: number, utcMs: number): SeenMoon {
  const rad = Math.PI / 180;
  const T = julianCenturies(utcMs);
  const D = 297.8501921 + 445267.1114034 * T;
  const M = 357.5291092 + 35999.0502909 * T;
  const moon = 134.9633964 + 477198.8675055 * T;
  const F = 93.272095 + 483202.0175233 * T;
  const sum = (terms: readonly Term[], wave: (x: number) => number): number =>
    terms.reduce((s, [a, d, m, p, f]) => s + a * wave((d * D + m * M + p * moon + f * F) * rad), 0);
  const longitude = 218.3164477 + 481267.88123421 * T + sum(LONGITUDE, Math.sin) / 1e6;
  const latitude = sum(LATITUDE, Math.sin) / 1e6;
  const parallaxDeg = Math.asin(EARTH_RADIUS_M / (MEAN_DISTANCE_M + sum(DISTANCE, Math.cos))) / rad;
  const seen = horizontalOf(longitude, latitude, latitudeDeg, longitudeDeg, utcMs);
  const elongation = Math.acos(Math.cos(latitude * rad) * Math.cos((longitude - sunEcliptic(utcMs).longitudeDeg) * rad));
  return {
    altitudeDeg: seen.altitudeDeg - parallaxDeg * Math.cos(seen.altitudeDeg * rad),
    bearingDeg: seen.bearingDeg,
    elongationDeg: elongation / rad,
    litShare: (1 - Math.cos(elongation)) / 2,
  };
}
