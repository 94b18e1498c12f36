import { luminanceOfRgb, reflectanceOfHue } from '../library.ts';
import type { MaterialSheet } from '../types.ts';

type Rgb = readonly [number, number, number];

/** What lies between the units of a relief: its hue, and its reflectance as a share of the whole face's. */
interface Joint {
  /** Share of the relief's spread between units: paint covers it. */
  spread?: number;
  hue?: Rgb;
  share: number;
}

const joints: Record<string, Joint> = {
  brickBuffWeathered: { hue: [0.5, 0.42, 0.31], share: 1.45 },
  brickRed: { hue: [0.5, 0.43, 0.34], share: 2.1 },
  brickEnglish: { hue: [0.5, 0.44, 0.35], share: 2 },
  brickOld: { hue: [0.46, 0.4, 0.32], share: 1.8 },
  paving: { hue: [0.3, 0.28, 0.24], share: 0.4 },
  slate: { share: 0.4 },
  gravel: { hue: [0.26, 0.2, 0.14], share: 0.5 },
  lawn: { hue: [0.05, 0.05, 0.022], share: 0.32 },
  mulch: { share: 0.45 },
  soil: { share: 0.55 },
  asphalt: { share: 0.5 },
  concrete: { share: 0.5 },
  limestone: { share: 0.86 },
  copingStone: { share: 0.5 },
  renderPale: { share: 0.96 },
  renderGrey: { share: 0.92 },
  stuccoWhite: { share: 0.95 },
  brickPainted: { share: 0.97, spread: 0.08 },
  ashlar: { share: 0.85 },
  rubbleStone: { hue: [0.42, 0.39, 0.34], share: 1.4 },
  sidingPale: { share: 0.32 },
  sidingGrey: { share: 0.32 },
  claddingBrown: { share: 0.35 },
  claddingCedar: { share: 0.35 },
  shingleWall: { share: 0.5 },
  poolTile: { hue: [0.5, 0.5, 0.48], share: 1.2 },
  roofTileClay: { share: 0.5 },
  roofTileConcrete: { share: 0.5 },
  shingleRoof: { share: 0.5 },
  shingleCedar: { share: 0.5 },
  gravelPale: { hue: [0.36, 0.29, 0.2], share: 0.5 },
  pavingConcrete: { share: 0.42 },
  brickPaving: { hue: [0.3, 0.26, 0.19], share: 0.55 },
  setts: { share: 0.5 },
  decking: { share: 0.25 },
  sand: { share: 0.8, spread: 0 },
};

const MOST_REFLECTANCE = 0.95;

/**
 * Colours of unit and joint whose mean over the relief is the material's own reflectance:
 * ρ = m·ρ_unit + (1 − m)·ρ_joint per channel, m the mean share of units. The joint gives way where a channel would go
 * below a tenth of the mean, or that of the units above what paint can reach.
 */
export function unitAndJoint(sheet: MaterialSheet, meanUnitShare: number): { unit: Rgb; joint: Rgb; spread: number } {
  const joint: Joint = joints[sheet.id] ?? { share: 1 };
  const wanted = reflectanceOfHue(joint.hue ?? sheet.reflectanceRgb, luminanceOfRgb(sheet.reflectanceRgb) * joint.share);
  const m = Math.min(1, Math.max(0.01, meanUnitShare));
  const channel = (k: 0 | 1 | 2): [number, number] => {
    const mean = sheet.reflectanceRgb[k];
    const most = (mean * (1 - 0.1 * m)) / Math.max(1e-9, 1 - m);
    const least = (mean - m * MOST_REFLECTANCE) / Math.max(1e-9, 1 - m);
    const j = Math.min(Math.max(wanted[k], least), most);
    return [(mean - (1 - m) * j) / m, j];
  };
  const [r, g, b] = [channel(0), channel(1), channel(2)];
  return { unit: [r[0], g[0], b[0]], joint: [r[1], g[1], b[1]], spread: joint.spread ?? 1 };
}

/** Brightness of single fired units: share of units and factor; from 0.95 to 1.05 in between. */
export const UNIT_TONES = {
  darkest: 0.7,
  dark: 0.86,
  light: 1.14,
  darkestBelow: 0.06,
  darkBelow: 0.2,
  lightAbove: 0.82,
} as const;

/** Mean of the unit tones; the shader divides by it, so that a wall keeps its reflectance. */
export const UNIT_TONE_MEAN =
  UNIT_TONES.darkestBelow * UNIT_TONES.darkest +
  (UNIT_TONES.darkBelow - UNIT_TONES.darkestBelow) * UNIT_TONES.dark +
  (UNIT_TONES.lightAbove - UNIT_TONES.darkBelow) +
  (1 - UNIT_TONES.lightAbove) * UNIT_TONES.light;
