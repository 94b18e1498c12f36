import { describe, expect, it } from 'vitest';
import { LEAF_SHARE, type PlantModel, type PlantRecord, type Strand } from '../../src/scene/index.ts';
import { growPlant, LEAF_REFLECTANCE_RGB, LEAF_TRANSMITTANCE_RGB } from '../../src/scene/plants/index.ts';
import { cardGap, clumpTransmittance, crownRays } from './plantsRays.ts';

const sizes: Record<string, Partial<PlantRecord>> = {
  round: { heightM: 7, spreadM: 5, crownBaseM: 2.2, trunkDiameterM: 0.22 },
  spreading: { heightM: 7, spreadM: 8, crownBaseM: 2.2, trunkDiameterM: 0.3 },
  columnar: { heightM: 8, spreadM: 2, crownBaseM: 0.6, trunkDiameterM: 0.18 },
  weeping: { heightM: 6, spreadM: 5, crownBaseM: 0.6, trunkDiameterM: 0.22 },
  conical: { heightM: 8, spreadM: 3.4, crownBaseM: 0.5, trunkDiameterM: 0.22 },
  multiStem: { heightM: 6, spreadM: 3.6, crownBaseM: 1.6, trunkDiameterM: 0.1, bark: 'pale' },
  palm: { heightM: 7, spreadM: 3.6, crownBaseM: 4.4, trunkDiameterM: 0.3 },
  clippedBall: { heightM: 0.6, spreadM: 0.6, crownBaseM: 0.02, trunkDiameterM: 0.03 },
  hedge: { heightM: 1, spreadM: 0.7, lengthM: 6, crownBaseM: 0.02, trunkDiameterM: 0.03 },
  shrub: { heightM: 1.2, spreadM: 1.6, crownBaseM: 0.05, trunkDiameterM: 0.04 },
  grass: { heightM: 0.9, spreadM: 0.9, crownBaseM: 0, trunkDiameterM: 0.02 },
  climber: { heightM: 3, spreadM: 2, crownBaseM: 0.1, trunkDiameterM: 0.03 },
};
const habits = Object.keys(sizes) as PlantRecord['habit'][];

function plant(habit: PlantRecord['habit'], more: Partial<PlantRecord> = {}): PlantRecord {
  return {
    kind: 'plant',
    id: 'tree-1',
    name: 'a plant',
    habit,
    at: [3, -2],
    baseM: 0.4,
    heightM: 7,
    spreadM: 5,
    bearingDeg: 90,
    crownBaseM: 2,
    trunkDiameterM: 0.2,
    density: 'medium',
    bark: 'brown',
    leanDeg: 0,
    leanBearingDeg: 0,
    growth: 'medium',
    evergreen: false,
    seed: 5,
    ...sizes[habit],
    ...more,
  };
}

/** Extent of the clumps, radius included. */
function extent(model: PlantModel): { low: number[]; high: number[] } {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < model.clumps.length; i += 5)
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k]!, model.clumps[i + k]! - model.clumps[i + 3]!);
      high[k] = Math.max(high[k]!, model.clumps[i + k]! + model.clumps[i + 3]!);
    }
  return { low, high };
}

describe.each(habits)('a %s plant, seed 5', (habit) => {
  const record = plant(habit);
  const { model, limbs } = growPlant(record);

  it('grows the same again, and otherwise from another seed', () => {
    const again = growPlant(record);
    expect(again.model).toEqual(model);
    expect(again.limbs).toEqual(limbs);
    expect(growPlant(plant(habit, { seed: 6 })).model.cards).not.toEqual(model.cards);
  });

  it('keeps height, spread and crown base of its record within 5 %', () => {
    const { low, high } = extent(model);
    expect(Math.abs(high[1]! - record.baseM - record.heightM)).toBeLessThan(0.05 * record.heightM);
    expect(low[1]! - record.baseM).toBeGreaterThan(record.crownBaseM - 0.05 * record.heightM);
    expect(low[1]! - record.baseM).toBeLessThan(record.crownBaseM + 0.05 * record.heightM);
    const along = record.habit === 'hedge' ? record.lengthM! : record.spreadM;
    expect(Math.abs(high[0]! - low[0]! - along)).toBeLessThan(0.05 * along);
    if (record.habit !== 'climber') expect(Math.abs(high[2]! - low[2]! - record.spreadM)).toBeLessThan(0.05 * record.spreadM);
  });

  it('has the leaf area of its cards, 0.30 · side² each, in the plant and in its clumps', () => {
    let cards = 0;
    const perClump = new Float64Array(model.clumps.length / 5);
    for (let i = 0; i < model.cards.length; i += 8) {
      const area = LEAF_SHARE * model.cards[i + 6]! ** 2;
      cards += area;
      perClump[model.cards[i + 7]!]! += area;
    }
    expect(model.leafAreaM2 / cards).toBeCloseTo(1, 5);
    perClump.forEach((area, k) => {
      const r = model.clumps[k * 5 + 3]!;
      expect(model.clumps[k * 5 + 4]! * (4 / 3) * Math.PI * r ** 3).toBeCloseTo(area, 4);
    });
  });

  it('is finite everywhere, with unit normals and all of it inside its bounding sphere', () => {
    for (const list of [model.clumps, model.cards, model.cardLook, ...limbs.flatMap((l) => [l.ringsM, l.radiiM])])
      expect(list.every(Number.isFinite)).toBe(true);
    for (let i = 0; i < model.cards.length; i += 8)
      expect(Math.hypot(model.cards[i + 3]!, model.cards[i + 4]!, model.cards[i + 5]!)).toBeCloseTo(1, 4);
    for (let i = 0; i < model.clumps.length; i += 5) {
      const d = [0, 1, 2].map((k) => model.clumps[i + k]! - model.centre[k]!);
      expect(Math.hypot(...d) + model.clumps[i + 3]!).toBeLessThan(model.radiusM + 1e-4);
    }
  });
});

describe('wood', () => {
  const record = plant('round');
  const { limbs, barkMaterialId } = growPlant(record);
  const thickest = limbs.reduce((a, b) => (b.radiiM[0]! > a.radiiM[0]! ? b : a));

  it('stands on its foot with the trunk of the record, a little wider at the ground', () => {
    expect([...thickest.ringsM.slice(0, 3)]).toEqual([3, expect.closeTo(0.4, 5), -2]);
    expect(thickest.radiiM[0]).toBeGreaterThan(record.trunkDiameterM / 2);
    const breast = [...thickest.radiiM].find((_, i) => thickest.ringsM[i * 3 + 1]! > 0.4 + 0.8)!;
    expect(Math.abs(breast - record.trunkDiameterM / 2)).toBeLessThan(0.05 * record.trunkDiameterM);
  });

  it('never thickens outward along a limb', () => {
    for (const limb of limbs)
      for (let i = 1; i < limb.radiiM.length; i++) expect(limb.radiiM[i]).toBeLessThanOrEqual(limb.radiiM[i - 1]! + 1e-6);
  });

  it('throws hard shadows from 3 cm across on, and carries the bark asked for', () => {
    for (const limb of limbs) expect(limb.occludes).toBe(limb.radiiM[0]! >= 0.015 && limb.radiiM[1]! > 0);
    expect(barkMaterialId).toBe('barkBrown');
    expect(growPlant(plant('multiStem')).barkMaterialId).toBe('barkPale');
  });

  it('starts every limb on another one', () => {
    for (const limb of limbs) {
      if (limb === thickest) continue;
      const foot = [...limb.ringsM.slice(0, 3)];
      const gap = Math.min(...limbs.filter((l) => l !== limb).map((l) => distanceToAxis(l, foot)));
      expect(gap).toBeLessThan(0.05);
    }
  });
});

describe('leaves and light', () => {
  it('reflect .10 and transmit .05 (broadleaf, land-model tables; facts 8.2)', () => {
    const luminous = (c: readonly number[]) => 0.2126 * c[0]! + 0.7152 * c[1]! + 0.0722 * c[2]!;
    expect(luminous(LEAF_REFLECTANCE_RGB)).toBeCloseTo(0.1, 6);
    expect(luminous(LEAF_TRANSMITTANCE_RGB)).toBeCloseTo(0.05, 6);
  });

  it.each(['round', 'spreading', 'multiStem', 'shrub', 'hedge'] as const)(
    'a medium %s lets 5 to 25 % through its crown (gap fraction of summer crowns; facts 8.2)',
    (habit) => {
      const mean = meanThrough(growPlant(plant(habit)).model);
      expect(mean).toBeGreaterThan(0.05);
      expect(mean).toBeLessThan(0.25);
    },
  );

  const ownCards: Through = (plantModel, from, dir) => cardGap(plantModel, from, dir, LEAF_SHARE);

  it.each(['round', 'spreading', 'multiStem'] as const)(
    'Beer–Lambert through the clumps of a %s tree agrees with rays through its own cards: seeds 31 to 33, mean within 10 per cent',
    (habit) => {
      let clumps = 0;
      let cards = 0;
      for (const seed of [31, 32, 33]) {
        const { model } = growPlant(plant(habit, { seed }));
        clumps += meanThrough(model, 16);
        cards += meanThrough(model, 16, ownCards);
      }
      expect(Math.abs(clumps / cards - 1)).toBeLessThan(0.1);
    },
  );

  it('lets as much through a hedge across its thickness by its clumps as by its cards, within 15 per cent, seed 21', () => {
    const { model } = growPlant(plant('hedge', { seed: 21 }));
    const across =
      (through: Through): Through =>
      (m, from, dir) =>
        dir[2] === 0 ? 0 : through(m, from, dir);
    const ratio = meanThrough(model, 24, across(clumpTransmittance)) / meanThrough(model, 24, across(ownCards));
    expect(ratio).toBeGreaterThan(0.85);
    expect(ratio).toBeLessThan(1.15);
  });

  it('thins and thickens with density by the number of cards alone', () => {
    const [thin, medium, dense] = (['thin', 'medium', 'dense'] as const).map(
      (density) => growPlant(plant('round', { density })).model,
    );
    expect(thin!.clumps.length).toBe(medium!.clumps.length);
    expect(thin!.leafAreaM2 / medium!.leafAreaM2).toBeCloseTo(0.5, 2);
    expect(dense!.leafAreaM2 / medium!.leafAreaM2).toBeCloseTo(1.45, 2);
    expect(meanThrough(thin!)).toBeGreaterThan(meanThrough(medium!));
    expect(meanThrough(medium!)).toBeGreaterThan(meanThrough(dense!));
  });

  it('has a leaf area density within the tables: shrubs and hedges 2 to 5, street trees 1 to 2 m²/m³ (facts 8.2)', () => {
    const lad = (habit: PlantRecord['habit']) => {
      const { leafAreaM2, crownVolumeM3 } = growPlant(plant(habit)).model;
      return leafAreaM2 / crownVolumeM3;
    };
    for (const habit of ['shrub', 'hedge'] as const) {
      expect(lad(habit)).toBeGreaterThan(2);
      expect(lad(habit)).toBeLessThan(5);
    }
    expect(lad('round')).toBeGreaterThan(1);
    expect(lad('round')).toBeLessThan(2);
  });

  it('keeps the underside open round the trunk of a round crown', () => {
    const { model } = growPlant(plant('round'));
    for (let i = 0; i < model.clumps.length; i += 5) {
      const low = model.clumps[i + 1]! - 0.4 < 2.2 + 0.2 * 4.8;
      if (low) expect(Math.hypot(model.clumps[i]! - 3, model.clumps[i + 2]! + 2)).toBeGreaterThan(0.7);
    }
  });
});

describe('bearing, lean and bad records', () => {
  it('turns a hedge: bearing 0 runs along z', () => {
    const { low, high } = extent(growPlant(plant('hedge', { bearingDeg: 0 })).model);
    expect(high[2]! - low[2]!).toBeCloseTo(6, 3);
    expect(high[0]! - low[0]!).toBeCloseTo(0.7, 3);
  });

  it('leans toward its bearing: 10° east moves the top by tan 10° of its height', () => {
    const upright = growPlant(plant('round')).model;
    const leaning = growPlant(plant('round', { leanDeg: 10, leanBearingDeg: 90 })).model;
    const shift = leaning.clumps[0]! - upright.clumps[0]!;
    expect(shift).toBeCloseTo(Math.tan((10 * Math.PI) / 180) * (upright.clumps[1]! - 0.4), 3);
  });

  it('refuses a crown base above the top, naming the plant', () => {
    expect(() => growPlant(plant('round', { crownBaseM: 7 }))).toThrow(/tree-1.*crownBaseM/);
  });
});

/** Distance of a point from a limb's centre line. */
function distanceToAxis(limb: Strand, p: readonly number[]): number {
  let least = Infinity;
  for (let i = 0; i + 1 < limb.radiiM.length; i++) {
    const a = [0, 1, 2].map((k) => limb.ringsM[i * 3 + k]!);
    const ab = [0, 1, 2].map((k) => limb.ringsM[i * 3 + 3 + k]! - a[k]!);
    const ap = a.map((v, k) => p[k]! - v);
    const t = Math.min(
      1,
      Math.max(0, (ap[0]! * ab[0]! + ap[1]! * ab[1]! + ap[2]! * ab[2]!) / (ab[0]! ** 2 + ab[1]! ** 2 + ab[2]! ** 2)),
    );
    least = Math.min(least, Math.hypot(...ap.map((v, k) => v - t * ab[k]!)));
  }
  return least;
}

type Through = (model: PlantModel, from: readonly number[], dir: readonly number[]) => number;

/** Mean transmittance of level rays through the middle of a crown. */
function meanThrough(model: PlantModel, steps = 14, through: Through = clumpTransmittance): number {
  let sum = 0;
  let n = 0;
  for (const { from, dir } of crownRays(model, steps)) {
    sum += through(model, from, dir);
    n++;
  }
  return sum / n;
}

describe('wood that shows', () => {
  it('a standard keeps the stem of its record up to its head, seed 5', () => {
    const { limbs } = growPlant(
      plant('clippedBall', { heightM: 3.7, spreadM: 1.5, crownBaseM: 2.2, trunkDiameterM: 0.08, density: 'dense' }),
    );
    const stem = limbs.find((l) => l.ringsM[1]! < 0.4 + 0.01)!;
    const below = [...stem.radiiM].filter((_, i) => stem.ringsM[i * 3 + 1]! < 0.4 + 2.2);
    expect(below.length).toBeGreaterThan(1);
    for (const r of below) expect(r).toBeGreaterThan(0.8 * 0.04);
  });

  it.each([1, 2, 3, 4])('wood in the top third of a thin birch has leaves outside it, seed %d', (seed) => {
    const { limbs, model } = growPlant(
      plant('multiStem', { at: [0, 0], heightM: 7, spreadM: 4.2, crownBaseM: 2, trunkDiameterM: 0.16, density: 'thin', seed }),
    );
    let worst = 0;
    for (const { ringsM } of limbs)
      for (let k = 0; k < ringsM.length; k += 3) {
        const [x, y, z] = ringsM.subarray(k, k + 3) as unknown as [number, number, number];
        const out = Math.hypot(x, z);
        if (y < 0.4 + 0.67 * 7 || out < 0.3) continue;
        let farthest = 0;
        for (let i = 0; i < model.cards.length; i += 8) {
          const [cx, cy, cz] = model.cards.subarray(i, i + 3) as unknown as [number, number, number];
          if (Math.abs(cy - y) < 0.5 && Math.abs(cx * z - cz * x) / out < 0.5)
            farthest = Math.max(farthest, (cx * x + cz * z) / out + model.cards[i + 6]! / 2);
        }
        worst = Math.max(worst, out - farthest);
      }
    expect(worst).toBeLessThan(0.05);
  });
});
