import type { PlantRecord, Vec3 } from '../records/index.ts';
import { LEAF_SHARE } from './foliage.ts';
import { type LeafCard, type LeafMass, toneOf, UP } from './leaves.ts';
import type { Dice } from './random.ts';
import { along, mixed } from './vectors.ts';

/** Blade area over the ground that the tuft covers: a garden tuft thinner than tall meadow grasses (3 to 8), from memory. */
const LEAF_AREA_INDEX = 3.5;
/** Side of a card, share of the height to which blades stand. */
const CARD_SHARE = 0.5;
/** Cards of a sheaf: up from the ground, and over. */
const PIECES = [1, 2] as const;
const CARDS_A_SHEAF = 3;
/** Dry plumes are about twice as pale as blades (from memory). */
const PLUME_TONE = 1.9;

/**
 * A tuft of blades that leave the ground together and arch over; tall ones carry plumes. Cards show a fan of blades (tiles 0 … 2)
 * or a plume (tile 3). Leaf area is `LEAF_AREA_INDEX` times the ground covered, times `density`.
 */
export function growGrass(record: PlantRecord, density: number, dice: Dice): { masses: LeafMass[]; volumeM3: number } {
  const half = record.spreadM / 2;
  const tall = record.heightM > 0.7;
  const bladeTopM = tall ? 0.78 * record.heightM : record.heightM;
  const sideM = CARD_SHARE * bladeTopM;
  const areaM2 = LEAF_AREA_INDEX * density * Math.PI * half * half;
  const sheafs = Math.min(50, Math.max(18, Math.round(areaM2 / (CARDS_A_SHEAF * 0.85 * LEAF_SHARE * sideM * sideM))));
  const masses: LeafMass[] = [];
  for (let i = 0; i < sheafs; i++) {
    const phi = i * 2.39996 + dice.range(-0.3, 0.3);
    const out: Vec3 = [Math.cos(phi), 0, Math.sin(phi)];
    growSheaf(masses, out, ((i + 0.5) / sheafs) ** 0.7, { half, sideM }, dice);
  }
  if (tall) growPlumes(masses, record, Math.max(7, Math.round(0.4 * sheafs)), dice);
  return { masses, volumeM3: (1 / 3) * Math.PI * half * half * record.heightM };
}

/** A sheaf of one bearing in two pieces: up from the ground, then over; the outer the sheaf the sooner it falls. */
function growSheaf(masses: LeafMass[], out: Vec3, share: number, size: { half: number; sideM: number }, dice: Dice): void {
  /* No two sheaves alike: else the tuft folds over at one height. */
  const sideM = size.sideM * dice.range(0.7, 1.15);
  const tangent: Vec3 = [-out[2], 0, out[0]];
  const bow = share * dice.range(0.7, 1.2);
  const tone = dice.range(0.85, 1.15);
  const foot = size.half * 0.2 * share;
  let from: Vec3 = [out[0] * foot, 0, out[2] * foot];
  const pieces = [mixed([UP, 1], [out, 0.04 + 0.5 * bow]), mixed([UP, 1 - 0.75 * bow], [out, 0.08 + 0.85 * bow])];
  for (const [k, up] of pieces.entries()) {
    const start = from;
    const cards = Array.from({ length: PIECES[k]! }, (): LeafCard => {
      const spin = dice.range(-1.5, 1.5);
      return {
        at: along(along(start, sideM * 0.48, up), dice.range(-0.2, 0.2) * sideM, tangent),
        normal: mixed([out, Math.cos(spin)], [tangent, Math.sin(spin)], [UP, 0.25]),
        up: mixed([up, 1], [tangent, dice.range(-0.25, 0.25)]),
        sideM: sideM * dice.range(0.85, 1.1),
        tile: Math.floor(dice.range(0, 3)),
        brightness: toneOf(tone, dice),
      };
    });
    masses.push({ at: along(start, sideM * 0.5, up), radiusM: sideM * 0.5, cards });
    from = along(start, sideM * 0.72, up);
  }
}

/** Plumes on stalks among the blades and over them, each one card or two crossed. */
function growPlumes(masses: LeafMass[], record: PlantRecord, count: number, dice: Dice): void {
  const half = record.spreadM / 2;
  const plumeM = 0.42 * record.heightM;
  for (let i = 0; i < count; i++) {
    const phi = i * 2.39996 + dice.range(-0.5, 0.5);
    const out: Vec3 = [Math.cos(phi), 0, Math.sin(phi)];
    const reach = Math.sqrt((i + 0.5) / count);
    const up = mixed([UP, 1], [out, 0.06 + 0.5 * reach]);
    const at: Vec3 = [out[0] * half * 0.62 * reach, record.heightM * dice.range(0.58, 0.8), out[2] * half * 0.62 * reach];
    const card = (turn: number): LeafCard => ({
      at,
      normal: mixed([out, Math.cos(turn)], [[-out[2], 0, out[0]], Math.sin(turn)]),
      up,
      sideM: plumeM * dice.range(0.85, 1.1),
      tile: 3,
      brightness: PLUME_TONE * dice.range(0.85, 1.1),
    });
    masses.push({ at, radiusM: plumeM * 0.45, cards: [card(0.4), card(1.97)] });
  }
}
