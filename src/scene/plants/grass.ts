import type { PlantRecord, Vec3 } from '../records/index.ts';
import { type LeafCard, type LeafMass, toneOf, UP } from './leaves.ts';
import type { Dice } from './random.ts';
import { along, mixed } from './vectors.ts';

/**
 * A tuft of blades that leave the ground together and arch over; tall ones carry plumes. Cards show a sheaf of blades (tiles 0 … 2)
 * or a plume (tile 3).
 */
export function growGrass(record: PlantRecord, cards: number, dice: Dice): { masses: LeafMass[]; volumeM3: number } {
  const half = record.spreadM / 2;
  const plumes = record.heightM > 0.7 ? Math.max(5, Math.round(cards * 0.08)) : 0;
  const bladeTopM = plumes > 0 ? 0.72 * record.heightM : record.heightM;
  const sideM = 0.37 * bladeTopM;
  const sheaves: LeafMass[] = [];
  const rings = Math.max(8, Math.round(cards / 9));
  for (let i = 0; i < rings; i++) {
    const phi = i * 2.39996 + dice.range(-0.3, 0.3);
    const share = ((i + 0.5) / rings) ** 0.8;
    const out: Vec3 = [Math.cos(phi), 0, Math.sin(phi)];
    growSheaf(sheaves, out, share, { half, bladeTopM, sideM }, Math.max(2, Math.round((cards - plumes) / rings / 3)), dice);
  }
  for (let i = 0; i < plumes; i++) {
    const phi = i * 2.39996 + dice.range(-0.5, 0.5);
    const out: Vec3 = [Math.cos(phi), 0, Math.sin(phi)];
    const reach = half * 0.5 * Math.sqrt((i + 0.5) / plumes);
    const y = record.heightM * dice.range(0.56, 0.78);
    const up = mixed([UP, 1], [out, 0.08 + 0.4 * (reach / half)]);
    const at: Vec3 = [out[0] * reach, y, out[2] * reach];
    const plumeM = 0.46 * record.heightM;
    const card = (turn: number): LeafCard => ({
      at,
      normal: mixed([out, Math.cos(turn)], [[-out[2], 0, out[0]], Math.sin(turn)]),
      up,
      sideM: plumeM,
      tile: 3,
      brightness: toneOf(1.15, dice),
    });
    sheaves.push({ at, radiusM: plumeM * 0.45, cards: [card(0.4), card(1.97)] });
  }
  return { masses: sheaves, volumeM3: (1 / 3) * Math.PI * half * half * record.heightM };
}

/** A sheaf of one bearing in three pieces: up from the ground, over, and down; the outer the sheaf the sooner it falls. */
function growSheaf(
  masses: LeafMass[],
  out: Vec3,
  share: number,
  size: { half: number; bladeTopM: number; sideM: number },
  count: number,
  dice: Dice,
): void {
  const { half } = size;
  /* No two sheaves alike: else the tuft folds over at one height. */
  const sideM = size.sideM * dice.range(0.62, 1.12);
  const tangent: Vec3 = [-out[2], 0, out[0]];
  const bow = share * dice.range(0.6, 1.15);
  const tone = dice.range(0.85, 1.15);
  const pieces = [
    mixed([UP, 1], [out, 0.03 + 0.2 * bow]),
    mixed([UP, 1 - 0.2 * bow], [out, 0.05 + 0.42 * bow]),
    mixed([UP, 0.9 - 1.05 * bow], [out, 0.15 + 0.65 * bow]),
  ];
  let from: Vec3 = [out[0] * half * 0.14 * share, 0, out[2] * half * 0.14 * share];
  for (const up of pieces) {
    const start = from;
    const cards = Array.from({ length: count }, (): LeafCard => {
      const spin = dice.range(-1.2, 1.2);
      const aside = dice.range(-0.22, 0.22) * sideM;
      return {
        at: along(along(start, sideM * 0.48, up), aside, tangent),
        normal: mixed([out, Math.cos(spin)], [tangent, Math.sin(spin)], [UP, 0.2]),
        up: mixed([up, 1], [tangent, dice.range(-0.22, 0.22)]),
        sideM: sideM * dice.range(0.9, 1.1),
        tile: Math.floor(dice.range(0, 3)),
        brightness: toneOf(tone, dice),
      };
    });
    masses.push({ at: along(start, sideM * 0.5, up), radiusM: sideM * 0.5, cards });
    from = along(start, sideM * 0.8, up);
  }
}
