import { describe, expect, it } from 'vitest';
import {
  COURSE_M,
  createReliefMaps,
  englishUnit,
  FLEMISH_PITCH_M,
  findMaterial,
  findRelief,
  materialSheets,
  meanResponse,
  RESPONSE_RANGE,
  RESPONSE_SINES,
  type ReliefRecipe,
  reliefRecipes,
  UNIT_TONE_MEAN,
  UNIT_TONES,
  unitAndJoint,
} from '../../src/materials/index.ts';

const relief = (name: string): ReliefRecipe => findRelief(name)!;
const brickMaps = createReliefMaps(relief('brick'));

describe('relief heights', () => {
  it.each(reliefRecipes.map((recipe) => recipe.name))('%s has a mean height of zero and repeats in whole units', (name) => {
    const recipe = relief(name);
    const { heightM, unitShare } = recipe.shape(128);
    const mean = heightM.reduce((sum, h) => sum + h, 0) / heightM.length;
    expect(Math.abs(mean)).toBeLessThan(1e-7);
    expect(Math.min(...unitShare)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...unitShare)).toBeLessThanOrEqual(1);
    if (recipe.bond === 'none') return;
    const columns = recipe.widthM / recipe.pitchSM;
    const courses = recipe.heightM / recipe.pitchTM;
    // Boards may be longer than the repeat: their ends are no part of the relief.
    if (columns >= 1) expect(Math.abs(columns - Math.round(columns))).toBeLessThan(1e-9);
    if (recipe.bond === 'stack' || recipe.bond === 'boards') {
      if (courses >= 1) expect(Math.abs(courses - Math.round(courses))).toBeLessThan(1e-9);
      return;
    }
    // Courses shift by half a unit, so the repeat holds an even number of them.
    expect(Math.abs(courses / 2 - Math.round(courses / 2))).toBeLessThan(1e-9);
  });

  it('lays metric brick: 27 courses are 2.025 m, a stretcher and a header with their joints 337.5 mm', () => {
    // Metric brick course 75 mm, 27 courses = 2.025 m: trade practice for scaling from photos.
    expect(27 * COURSE_M).toBeCloseTo(2.025, 12);
    expect(FLEMISH_PITCH_M).toBeCloseTo(0.3375, 12);
  });

  it('keeps joints at their share of a Flemish bond', () => {
    // Closed form: faces (0.215 + 0.1025)·0.065 over the cell 0.3375·0.075.
    const share = ((0.215 + 0.1025) * 0.065) / (0.3375 * 0.075);
    expect(Math.abs(brickMaps.meanUnitShare - share)).toBeLessThan(0.02);
  });
});

describe('English bond', () => {
  // Bricklayers' rule (handbook): courses of stretchers and of headers in turn, perpends a quarter of a brick apart.
  const perpends = (t: number): number[] => {
    const out: number[] = [];
    for (let mm = 0; mm < 675; mm++) {
      const [here, next] = [englishUnit(mm / 1000, t), englishUnit((mm + 1) / 1000, t)];
      if (here.column !== next.column) out.push(mm + 1);
    }
    return out;
  };

  it('lays 3 stretchers a course and 6 headers in the next, their perpends 56 mm from those above and below', () => {
    const stretchers = perpends(0.5 * COURSE_M);
    const headers = perpends(1.5 * COURSE_M);
    expect(stretchers).toHaveLength(3);
    expect(headers).toHaveLength(6);
    for (const s of stretchers) {
      const lap = Math.min(...headers.map((h) => Math.abs(h - s)));
      expect(Math.abs(lap - 56.25)).toBeLessThanOrEqual(1);
    }
    expect(perpends(2.5 * COURSE_M)).toEqual(stretchers);
  });

  it('keeps joints at their share', () => {
    // Closed form over two courses: (2·0.215 + 4·0.1025)·0.065 over 2·(0.45·0.075).
    const share = ((2 * 0.215 + 4 * 0.1025) * 0.065) / (2 * 0.45 * 0.075);
    expect(Math.abs(createReliefMaps(relief('brickEnglish')).meanUnitShare - share)).toBeLessThan(0.02);
  });
});

describe('response by direction of light', () => {
  it('shows brick lit from below a little darker, as measured before on a front of the same relief', () => {
    // From a prototype's table: .80 at 2.6°, .89 at 5.7°, .91 at 12.7°, .94 at 30°.
    const wanted = [0.8, 0.89, 0.91, 0.94];
    wanted.forEach((value, elevation) => {
      expect(Math.abs(meanResponse(brickMaps, elevation, 6) - value)).toBeLessThan(0.035);
    });
  });

  it.each([
    ['brick', 1, 6],
    ['brick', 2, 1],
    ['slate', 2, 2],
    ['flags', 1, 3],
  ] as const)('%s at elevation %i, azimuth %i agrees with a march of single steps', (name, elevation, azimuth) => {
    const maps = name === 'brick' ? brickMaps : createReliefMaps(relief(name), 256);
    const n = name === 'brick' ? 512 : 256;
    const expected = marchedMean(relief(name), n, RESPONSE_SINES[elevation]!, (azimuth * Math.PI) / 4);
    expect(Math.abs(meanResponse(maps, elevation, azimuth) - expected)).toBeLessThan(0.03);
  });

  it('keeps its mean through every mip', () => {
    const side = 256;
    const layer = side * side * 4;
    for (const [elevation, azimuth] of [
      [0, 6],
      [2, 1],
    ] as const) {
      const base = (elevation * 2 + (azimuth >> 2)) * layer + (azimuth & 3);
      let level = Float64Array.from(
        { length: side * side },
        (_, i) => (brickMaps.response[base + 4 * i]! * RESPONSE_RANGE) / 255,
      );
      for (let n = side; n > 1; n /= 2) level = halved(level, n);
      expect(level[0]).toBeCloseTo(meanResponse(brickMaps, elevation, azimuth), 9);
    }
  });

  it('keeps loose surfaces at their reflectance: mean response 1 over the azimuths', () => {
    for (const name of ['lawn', 'gravel', 'mulch', 'asphalt']) {
      const maps = createReliefMaps(relief(name), 128);
      for (let elevation = 0; elevation < 4; elevation++) {
        let sum = 0;
        for (let a = 0; a < 8; a++) sum += meanResponse(maps, elevation, a) / 8;
        expect(Math.abs(sum - 1)).toBeLessThan(0.02);
      }
    }
  });

  it('turns a ramp the right way: rising toward +s it faces −s (closed form)', () => {
    // Heights h = a·s: n = (−a, 0, 1)/√(1+a²), and for light from −s the ratio is 1 + a·cot(elevation).
    const a = 0.04;
    const ramp = (n: number) => ({
      heightM: Float32Array.from({ length: n * n }, (_, i) => a * ((i % n) / n)),
      unitShare: new Float32Array(n * n).fill(1),
    });
    const maps = createReliefMaps({ ...relief('render'), widthM: 1, heightM: 1, ratioLimit: 5, shape: ramp }, 64);
    const middle = 4 * (64 * 20 + 30);
    expect(maps.shape[middle]).toBeCloseTo(-a / Math.sqrt(1 + a * a), 5);
    expect(maps.shape[middle + 1]).toBeCloseTo(0, 6);
    const sine = RESPONSE_SINES[2]!;
    const expected = (1 + (a * Math.sqrt(1 - sine * sine)) / sine) / Math.sqrt(1 + a * a);
    const layer = maps.response.length / 8;
    const stored = (maps.response[2 * 2 * layer + layer + 4 * (32 * 10 + 15)]! * RESPONSE_RANGE) / 255;
    expect(Math.abs(stored - expected)).toBeLessThan(0.02);
    expect(meanResponse(maps, 2, 4)).toBeGreaterThan(meanResponse(maps, 2, 0));
  });

  it('is nearly flat under a wash', () => {
    for (let a = 0; a < 8; a++) expect(meanResponse(brickMaps, 3, a)).toBeGreaterThan(0.93);
  });
});

describe('colours of units and joints', () => {
  it('average to the reflectance of the material, channel by channel', () => {
    for (const sheet of materialSheets) {
      const recipe = sheet.relief && findRelief(sheet.relief);
      if (!recipe) continue;
      for (const m of [0.35, 0.815, 0.98]) {
        const { unit, joint } = unitAndJoint(sheet, m);
        for (const k of [0, 1, 2] as const) {
          expect(m * unit[k] + (1 - m) * joint[k]).toBeCloseTo(sheet.reflectanceRgb[k], 12);
          expect(unit[k]).toBeGreaterThan(0);
          expect(unit[k]).toBeLessThan(1);
        }
      }
    }
  });

  it('tones of single bricks average to the stated mean', () => {
    // Midpoint rule over the share of bricks.
    let sum = 0;
    const n = 10000;
    for (let i = 0; i < n; i++) {
      const pick = (i + 0.5) / n;
      const { darkestBelow, darkBelow, lightAbove } = UNIT_TONES;
      sum +=
        pick < darkestBelow ? UNIT_TONES.darkest : pick < darkBelow ? UNIT_TONES.dark : pick > lightAbove ? UNIT_TONES.light : 1;
    }
    expect(sum / n).toBeCloseTo(UNIT_TONE_MEAN, 4);
  });

  it('has a recipe for every relief a material names', () => {
    for (const sheet of materialSheets) if (sheet.relief) expect(findRelief(sheet.relief), sheet.id).toBeDefined();
    expect(findMaterial('brickRed')!.relief).toBe('brickRunning');
  });
});

/** Mean of visible · max(0, n′·l)/(n·l) by an own march of single texel steps along the light, hard shadows. */
function marchedMean(recipe: ReliefRecipe, n: number, sine: number, azimuthRad: number): number {
  const h = recipe.shape(n).heightM;
  const ds = recipe.widthM / n;
  const dt = recipe.heightM / n;
  const cosine = Math.sqrt(1 - sine * sine);
  const l = [cosine * Math.cos(azimuthRad), cosine * Math.sin(azimuthRad), sine] as const;
  const at = (x: number, y: number): number => h[((y + 4 * n) % n) * n + ((x + 4 * n) % n)]!;
  let sum = 0;
  let count = 0;
  for (let y = 0; y < n; y += 3) {
    for (let x = 0; x < n; x += 3) {
      const hs = (at(x + 1, y) - at(x - 1, y)) / (2 * ds);
      const ht = (at(x, y + 1) - at(x, y - 1)) / (2 * dt);
      const ratio = Math.max(0, (-hs * l[0] - ht * l[1] + l[2]) / Math.hypot(hs, ht, 1) / l[2]);
      let clear = true;
      for (let k = 1; k <= 60 && clear; k++) {
        const d = k * Math.min(ds, dt);
        const height = at(Math.round(x + (d * Math.cos(azimuthRad)) / ds), Math.round(y + (d * Math.sin(azimuthRad)) / dt));
        clear = height - at(x, y) < (d * sine) / cosine;
      }
      sum += clear ? Math.min(recipe.ratioLimit, ratio) : 0;
      count++;
    }
  }
  return sum / count;
}

function halved(level: Float64Array, n: number): Float64Array<ArrayBuffer> {
  const m = n / 2;
  return Float64Array.from({ length: m * m }, (_, i) => {
    const o = 2 * Math.floor(i / m) * n + 2 * (i % m);
    return (level[o]! + level[o + 1]! + level[o + n]! + level[o + n + 1]!) / 4;
  });
}
