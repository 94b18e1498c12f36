import type { PlantRecord, Vec3 } from '../records/index.ts';
import { type LeafCard, type LeafMass, toneOf, UP } from './leaves.ts';
import type { Dice } from './random.ts';
import { mixed } from './vectors.ts';

/**
 * A tuft of blades that leave the ground together and arch over; tall ones carry plumes. Cards show a sheaf of blades (tiles 0 … 2)
 * or a plume (tile 3).
 */
export function growGrass(record: PlantRecord, cards: number, dice: Dice): { masses: LeafMass[]; volumeM3: number } {
  const half = record.spreadM / 2;
  const plumes = record.heightM > 0.7 ? Math.max(5, Math.round(cards * 0.06)) : 0;
  const bladeTopM = plumes > 0 ? 0.72 * record.heightM : record.heightM;
  const sideM = 0.5 * bladeTopM;
  const sheaves: LeafMass[] = [];
  const rings = Math.max(8, Math.round(cards / 9));
  for (let i = 0; i < rings; i++) {
    const phi = i * 2.39996 + dice.range(-0.3, 0.3);
    const share = Math.sqrt((i + 0.5) / rings);
    const out: Vec3 = [Math.cos(phi), 0, Math.sin(phi)];
    growSheaf(sheaves, out, share, { half, bladeTopM, sideM }, Math.max(2, Math.round((cards - plumes) / rings / 2)), dice);
  }
  for (let i = 0; i < plumes; i++) {
    const phi = i * 2.39996 + dice.range(-0.5, 0.5);
    const out: Vec3 = [Math.cos(phi), 0, Math.sin(phi)];
    const reach = half * 0.62 * Math.sqrt((i + 0.5) / plumes);
    const y = record.heightM * dice.range(0.78, 0.9);
    const up = mixed([UP, 1], [out, 0.15 + 0.45 * (reach / half)]);
    const at: Vec3 = [out[0] * reach, y, out[2] * reach];
    const plumeM = 0.34 * record.heightM;
    const card = (turn: number): LeafCard => ({
      at,
      normal: mixed([out, Math.cos(turn)], [[-out[2], 0, out[0]], Math.sin(turn)]),
      up,
      sideM: plumeM,
      tile: 3,
      brightness: toneOf(1.3, dice),
    });
    sheaves.push({ at, radiusM: plumeM * 0.45, cards: [card(0.4), card(2)] });
  }
  return { masses: sheaves, volumeM3: (1 / 3) * Math.PI * half * half * record.heightM };
}

function growSheaf(
  masses: LeafMass[],
  out: Vec3,
  share: number,
  size: { half: number; bladeTopM: number; sideM: number },
  count: number,
  dice: Dice,
): void {
  const { half, bladeTopM, sideM } = size;
  const lean = 0.1 + 0.55 * share;
  const tangent: Vec3 = [-out[2], 0, out[0]];
  const tone = dice.range(0.85, 1.15);
  const low = mixed([UP, 1], [out, lean * 0.7]);
  const foot: Vec3 = [out[0] * half * 0.16 * share, 0, out[2] * half * 0.16 * share];
  const knee: Vec3 = [foot[0] + low[0] * sideM * 0.95, low[1] * sideM * 0.95, foot[2] + low[2] * sideM * 0.95];
  const high = mixed([UP, 1 - 1.05 * share], [out, 0.35 + 0.75 * share]);
  const sheafCard = (from: Vec3, up: Vec3): LeafCard => {
    const spin = dice.range(-0.7, 0.7);
    return {
      at: [
        from[0] + up[0] * sideM * 0.48 + tangent[0] * dice.range(-0.1, 0.1) * sideM,
        Math.max(0.48 * sideM * Math.abs(up[1]), from[1] + up[1] * sideM * 0.48),
        from[2] + up[2] * sideM * 0.48 + tangent[2] * dice.range(-0.1, 0.1) * sideM,
      ],
      normal: mixed([out, Math.cos(spin) * 0.8], [tangent, Math.sin(spin)], [UP, 0.25]),
      up: mixed([up, 1], [tangent, dice.range(-0.18, 0.18)]),
      sideM: sideM * dice.range(0.9, 1.1),
      tile: Math.floor(dice.range(0, 3)),
      brightness: toneOf(tone, dice),
    };
  };
  const lowCards = Array.from({ length: count }, () => sheafCard(foot, low));
  const highCards = Array.from({ length: count }, () => sheafCard(knee, high));
  const centre = (from: Vec3, up: Vec3): Vec3 => [
    from[0] + up[0] * sideM * 0.5,
    from[1] + up[1] * sideM * 0.5,
    from[2] + up[2] * sideM * 0.5,
  ];
  masses.push({ at: centre(foot, low), radiusM: sideM * 0.5, cards: lowCards });
  const reachM = Math.min(bladeTopM, sideM * 0.5);
  masses.push({ at: centre(knee, high), radiusM: reachM, cards: highCards });
}
