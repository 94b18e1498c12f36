import { describe, expect, it } from 'vitest';
import type { SkyConditions, Surroundings } from '../../src/exposure/index.ts';
import {
  clearTwilightLx,
  directionOf,
  fullMoonLx,
  luminanceOf,
  MOON_ALTITUDE_DEG,
  moonDirection,
  moonNormalRgb,
  moonPhaseShare,
  SKY_BASIS_COUNT,
  SKY_BASIS_HORIZONTAL_LX,
  skyBasis,
  skyCoefficients,
  skyFromCoefficients,
  skyGlsl,
  skyHorizontalLx,
  skyRadianceRgb,
  sunTwilightLx,
  surroundingsFigures,
  worldAzimuthDeg,
} from '../../src/exposure/index.ts';

const dusk: SkyConditions = {
  sunAltitudeDeg: -6,
  sunAzimuthDeg: 250,
  moon: 'none',
  cloud: 'clear',
};

describe('twilight (USNO Circular 171; facts 5.1, case 11)', () => {
  it.each([
    [30, 51260],
    [5, 4085],
    [0, 756.6],
    [-0.8, 448.5],
    [-3, 66.4],
    [-6, 2.992],
    [-9, 0.1159],
    [-12, 0.004365],
    [-15, 0.0001666],
    [-18, 6.591e-6],
  ])('at %f° gives %f lx', (altitude, lx) => {
    expect(sunTwilightLx(altitude) / lx).toBeCloseTo(1, 3);
  });

  it('adds .0005 lx of airglow, so 3.0 lx at −6°', () => {
    expect(clearTwilightLx(-6)).toBeCloseTo(2.9925, 3);
    expect(clearTwilightLx(-18)).toBeCloseTo(0.000507, 6);
  });
});

describe('moon (Urban & Seidelmann; facts 5.2, case 12)', () => {
  it.each([
    [90, 0.2692],
    [60, 0.216],
    [45, 0.1641],
    [30, 0.0977],
    [20, 0.0575],
    [10, 0.0236],
    [5, 0.00995],
    [0, 0.00162],
  ])('at %f° gives %f lx', (altitude, lx) => {
    expect(fullMoonLx(altitude) / lx).toBeCloseTo(1, 2);
  });

  it('is nil when set; a quarter is a tenth of full (USNO 171: .0263 against .266)', () => {
    expect(fullMoonLx(-2)).toBe(0);
    expect(moonPhaseShare(90)).toBeCloseTo(0.0989, 3);
  });

  it('brings its horizontal figure to level ground as one far source', () => {
    const c = { ...dusk, moon: 'full' } as const;
    const direction = moonDirection(c);
    expect(Math.hypot(...direction)).toBeCloseTo(1, 12);
    expect(luminanceOf(moonNormalRgb(c)) * direction[1]).toBeCloseTo(fullMoonLx(MOON_ALTITUDE_DEG), 9);
    expect(luminanceOf(moonNormalRgb({ ...c, cloud: 'overcast' }))).toBe(0);
  });
});

/** Integrate f over the upper hemisphere, midpoints in sin(altitude) and azimuth. */
function integrate(f: (d: readonly [number, number, number]) => number, bands = 400, sectors = 72): number {
  let sum = 0;
  for (let i = 0; i < bands; i++) {
    const y = (i + 0.5) / bands;
    for (let j = 0; j < sectors; j++) {
      const a = ((j + 0.5) / sectors) * 2 * Math.PI;
      const r = Math.sqrt(1 - y * y);
      sum += f([Math.sin(a) * r, y, -Math.cos(a) * r]) * ((2 * Math.PI) / (bands * sectors));
    }
  }
  return sum;
}

describe('sky', () => {
  it('has basis functions with the stated horizontal illuminance', () => {
    const b = new Float64Array(SKY_BASIS_COUNT);
    for (let k = 0; k < SKY_BASIS_COUNT; k++) {
      expect(integrate((d) => skyBasis(...d, b)[k]! * d[1])).toBeCloseTo(SKY_BASIS_HORIZONTAL_LX[k]!, 4);
    }
    expect([...skyBasis(0.6, -0.8, 0, b)]).toEqual([0, 0, 0, 0, 0, 0, 0]);
  });

  const cases: [number, SkyConditions['cloud'], Surroundings][] = [
    [-6, 'clear', 'suburb'],
    [-9, 'clear', 'town'],
    [-12, 'clear', 'darkRural'],
    [-6, 'overcast', 'village'],
    [-14, 'overcast', 'brightSuburb'],
  ];
  it.each(cases)('brings its figure to level ground: %f°, %s, %s', (altitude, cloud, place) => {
    const c: SkyConditions = { ...dusk, sunAltitudeDeg: altitude, cloud };
    const coefficients = skyCoefficients(c, place);
    const E = integrate((d) => luminanceOf(skyFromCoefficients(coefficients, ...d)) * d[1]);
    expect(E / skyHorizontalLx(c, place)).toBeCloseTo(1, 3);
  });

  it('is 3.0 lx at −6° in a suburb, and the figure of the place late at night (design table)', () => {
    expect(skyHorizontalLx(dusk, 'suburb')).toBeCloseTo(3.0, 1);
    for (const place of Object.keys(surroundingsFigures) as Surroundings[]) {
      const late = skyHorizontalLx({ ...dusk, sunAltitudeDeg: -18 }, place);
      expect(late).toBeCloseTo(surroundingsFigures[place].skyLx, 4);
    }
    expect(surroundingsFigures.suburb).toMatchObject({
      zone: 'E3',
      skyLx: 0.01,
    });
    expect(surroundingsFigures.town).toMatchObject({ zone: 'E4', skyLx: 0.06 });
  });

  it('is never negative, blue overhead, 3 to 10 times the mean at the sun’s horizon and darkest away from it', () => {
    const at = (azimuth: number, altitude: number) => skyRadianceRgb(dusk, 'suburb', directionOf(azimuth, altitude));
    for (let azimuth = 0; azimuth < 360; azimuth += 15)
      for (const altitude of [0, 5, 20, 45, 80]) for (const c of at(azimuth, altitude)) expect(c).toBeGreaterThan(0);
    const mean = skyHorizontalLx(dusk, 'suburb') / Math.PI;
    const zenith = at(0, 90);
    expect(zenith[2]).toBeGreaterThan(1.3 * zenith[0]);
    expect(luminanceOf(zenith)).toBeLessThan(mean);
    const toSun = luminanceOf(at(250, 1));
    expect(toSun / mean).toBeGreaterThan(3);
    expect(toSun / mean).toBeLessThan(10);
    expect(luminanceOf(at(70, 1))).toBeLessThan(toSun / 3);
    expect(at(250, 2)[0]).toBeGreaterThan(at(250, 2)[2]);
  });

  it('has lobes that vanish opposite the sun and fall as stated between', () => {
    const at = (azimuth: number, altitude: number) => luminanceOf(skyRadianceRgb(dusk, 'suburb', directionOf(azimuth, altitude)));
    // Shape: dome .55 + horizon 1 against dome .55 + zenith .1; lobes (1 + cos)/2 · 2 + ((1 + cos)/2)² · 3.
    expect(at(70, 0) / at(70, 90)).toBeCloseTo(1.55 / 0.65, 1);
    expect((at(160, 0) - at(70, 0)) / (at(250, 0) - at(70, 0))).toBeCloseTo((1 + 0.75) / 5, 3);
  });

  it('puts the overcast zenith at three times the horizon (CIE standard overcast sky)', () => {
    const c: SkyConditions = { ...dusk, cloud: 'overcast', sunAltitudeDeg: -4 };
    const zenith = luminanceOf(skyRadianceRgb(c, 'darkRural', [0, 1, 0]));
    const horizon = luminanceOf(skyRadianceRgb(c, 'darkRural', [1, 0, 0]));
    expect(zenith / horizon).toBeCloseTo(3, 2);
  });

  it('has a shader twin that gives the same numbers', () => {
    // The shader text itself, its few operations rewritten as JavaScript; it is linear, so one channel will do.
    const body = skyGlsl
      .slice(skyGlsl.indexOf('{') + 1, skyGlsl.lastIndexOf('}'))
      .replace(/float /g, 'const ')
      .replace('length(dir.xz)', 'Math.hypot(dir.x, dir.z)')
      .replace('clamp(dir.y, 0.0, 1.0)', 'Math.min(1, Math.max(0, dir.y))');
    const shader = new Function('dir', 'sky', body) as (dir: { x: number; y: number; z: number }, sky: number[]) => number;
    const sky = skyCoefficients(dusk, 'suburb');
    const green = Array.from({ length: SKY_BASIS_COUNT }, (_, k) => sky[k * 3 + 1] ?? 0);
    for (const [x, y, z] of [[0, 1, 0], [0.6, 0.64, -0.48], [-0.8, 0, 0.6], directionOf(250, 12)] as const) {
      expect(shader({ x, y, z }, green)).toBeCloseTo(skyRadianceRgb(dusk, 'suburb', [x, y, z])[1], 12);
    }
  });

  it('turns compass bearings into world azimuths', () => {
    expect(worldAzimuthDeg(250, 30)).toBe(220);
    expect(worldAzimuthDeg(10, 30)).toBe(340);
    const east = directionOf(90, 0);
    expect(east[0]).toBeCloseTo(1, 12);
    expect(directionOf(0, 0)[2]).toBeCloseTo(-1, 12);
  });
});
