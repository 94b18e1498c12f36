import type { LeafSheet } from '../massing/types.ts';
import type { PlantRecord, Season } from '../records/index.ts';
import { mixSeed } from './random.ts';

type Rgb = readonly [number, number, number];

/** Leaf colour `rgb` in proportion, scaled to a luminous value (weights .2126, .7152, .0722). */
const scaled = (rgb: Rgb, luminous: number): [number, number, number] => {
  const k = luminous / (0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]);
  return [rgb[0] * k, rgb[1] * k, rgb[2] * k];
};

/** Broadleaf in summer: ρ .10, τ .05, visible values of the land-model tables. */
export const LEAF_REFLECTANCE_RGB = scaled([0.075, 0.125, 0.035], 0.1);
export const LEAF_TRANSMITTANCE_RGB = scaled([0.075, 0.125, 0.016], 0.05);

/** Share of a card that is leaf: one-sided leaf area = 0.30 · side². */
export const LEAF_SHARE = 0.3;
/** Share of a card that is twig in a bare crown. */
export const TWIG_SHARE = 0.1;

interface Optics {
  reflectanceRgb: Rgb;
  transmittanceRgb: Rgb;
}
const optics = (rho: Rgb, rhoLuminous: number, tau: Rgb, tauLuminous: number): Optics => ({
  reflectanceRgb: scaled(rho, rhoLuminous),
  transmittanceRgb: scaled(tau, tauLuminous),
});

/** Green, needle and grass after the land-model tables (facts 8.2: .10/.05, .07/.05, .11/.05); the others from memory. */
const COLOURS: Record<NonNullable<PlantRecord['foliage']>, Optics> = {
  green: { reflectanceRgb: LEAF_REFLECTANCE_RGB, transmittanceRgb: LEAF_TRANSMITTANCE_RGB },
  deepGreen: optics([0.055, 0.105, 0.042], 0.07, [0.06, 0.11, 0.018], 0.04),
  greyGreen: optics([0.118, 0.142, 0.098], 0.15, [0.08, 0.12, 0.04], 0.035),
  copper: optics([0.15, 0.06, 0.05], 0.07, [0.2, 0.04, 0.02], 0.035),
  golden: optics([0.16, 0.17, 0.03], 0.16, [0.15, 0.16, 0.02], 0.08),
};
const NEEDLE = optics([0.056, 0.096, 0.066], 0.07, [0.056, 0.096, 0.034], 0.05);
const GRASS = optics([0.08, 0.124, 0.04], 0.11, [0.078, 0.125, 0.02], 0.05);
const SPRING = optics([0.095, 0.14, 0.028], 0.12, [0.1, 0.15, 0.012], 0.085);
const STRAW = optics([0.3, 0.235, 0.125], 0.24, [0.2, 0.15, 0.07], 0.07);
/** Leaves that turn, from memory: less green taken up, more light through. */
const AUTUMN: Record<NonNullable<PlantRecord['autumn']>, Optics> = {
  yellow: optics([0.34, 0.23, 0.03], 0.24, [0.34, 0.22, 0.012], 0.13),
  orange: optics([0.36, 0.15, 0.024], 0.17, [0.38, 0.13, 0.008], 0.09),
  red: optics([0.27, 0.06, 0.032], 0.09, [0.3, 0.04, 0.012], 0.05),
  russet: optics([0.2, 0.105, 0.045], 0.12, [0.2, 0.085, 0.02], 0.045),
};
/** Twigs in proportion to their bark, young birch twigs dark: ρ .11 to .15, bark .05 to .20 from memory. */
export const TWIG_REFLECTANCE_RGB: Record<PlantRecord['bark'], Rgb> = {
  brown: scaled([0.14, 0.105, 0.08], 0.11),
  pale: scaled([0.15, 0.105, 0.09], 0.11),
  grey: scaled([0.17, 0.155, 0.13], 0.15),
};

/** What hangs on a plant in a season: which leaves, of what colour, and how many of the summer's. */
export interface Foliage extends Optics {
  sheet: LeafSheet;
  /** Leaf area of a card ÷ side². */
  cover: number;
  /** Share of the summer's cards. */
  keep: number;
}

/** Sheets whose plants stand through the winter as they are, dry. */
const DRIES = new Set<LeafSheet>(['blade']);

export function foliageOf(record: PlantRecord, season: Season, cardSideM: number): Foliage {
  const sheet = sheetOf(record, cardSideM);
  const summer: Foliage = { ...summerColour(record, sheet), sheet, cover: LEAF_SHARE, keep: 1 };
  if (record.evergreen || season === 'summer') return summer;
  if (DRIES.has(sheet)) return season === 'spring' ? { ...summer, keep: 0.7 } : { ...summer, ...STRAW };
  switch (season) {
    case 'spring':
      return { ...summer, ...(record.foliage === 'copper' ? COLOURS.copper : SPRING), keep: 0.5 };
    case 'autumn':
      return { ...summer, ...AUTUMN[record.autumn ?? autumnBySeed(record)], keep: 0.85 };
    case 'winter':
      return {
        reflectanceRgb: TWIG_REFLECTANCE_RGB[record.bark],
        transmittanceRgb: [0, 0, 0],
        sheet: 'twig',
        cover: TWIG_SHARE,
        keep: 0.6,
      };
  }
}

function summerColour(record: PlantRecord, sheet: LeafSheet): Optics {
  if (record.foliage) return COLOURS[record.foliage];
  if (sheet === 'needle') return NEEDLE;
  if (sheet === 'blade') return GRASS;
  return sheet === 'box' || sheet === 'ivy' ? COLOURS.deepGreen : COLOURS.green;
}

function autumnBySeed(record: PlantRecord): NonNullable<PlantRecord['autumn']> {
  const all = ['yellow', 'orange', 'russet', 'yellow', 'red'] as const;
  return all[mixSeed(record.seed, 'autumn') % all.length]!;
}

/** Cards wider than this show many small leaves instead of a few huge ones, metres. */
const FINE_FROM_M = 0.3;

function sheetOf(record: PlantRecord, cardSideM: number): LeafSheet {
  switch (record.habit) {
    case 'palm':
      return 'frond';
    case 'grass':
      return 'blade';
    case 'conical':
      return 'needle';
    case 'clippedBall':
    case 'hedge':
      return record.leaf === 'needle' ? 'needle' : 'box';
    case 'climber':
      return record.leaf === undefined && record.evergreen ? 'ivy' : 'broad';
    default: {
      const leaf = record.leaf ?? usualLeaf(record);
      if (leaf === 'narrow' || leaf === 'needle') return leaf;
      return leaf === 'small' || cardSideM > FINE_FROM_M ? 'fine' : 'broad';
    }
  }
}

function usualLeaf(record: PlantRecord): NonNullable<PlantRecord['leaf']> {
  if (record.habit === 'weeping') return 'narrow';
  if (record.habit === 'multiStem') return 'small';
  if (record.habit === 'columnar' && record.evergreen) return 'needle';
  return record.foliage === 'greyGreen' ? 'narrow' : 'broad';
}
