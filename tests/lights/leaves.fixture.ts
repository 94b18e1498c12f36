import type { PlantModel, Vec3 } from '../../src/scene/index.ts';
import { seeded } from './testScene.ts';

/** Clumps as spheres, each with cards at random places in it. */
export function plant(
  id: string,
  clumps: [number, number, number, number][],
  lad: number,
  cardsPerClump = 0,
  seed = 5,
): PlantModel {
  const random = seeded(seed);
  const cards: number[] = [];
  clumps.forEach(([x, y, z, r], index) => {
    for (let k = 0; k < cardsPerClump; k++) {
      const d: Vec3 = [random() - 0.5, random() - 0.5, random() - 0.5];
      const n = Math.hypot(...d);
      const R = r * 0.8 * random();
      cards.push(x + (d[0] / n) * R, y + (d[1] / n) * R, z + (d[2] / n) * R, d[1] / n, d[2] / n, d[0] / n, 0.1, index);
    }
  });
  return {
    id,
    name: id,
    habit: 'round',
    centre: [0, 0, 0],
    radiusM: 10,
    clumps: Float32Array.from(clumps.flatMap(([x, y, z, r]) => [x, y, z, r, lad])),
    clumping: 0.7,
    cards: Float32Array.from(cards),
    cardLook: new Float32Array((cards.length / 8) * 3),
    leafReflectanceRgb: [0.075, 0.125, 0.035],
    leafTransmittanceRgb: [0.04, 0.06, 0.01],
    leafAreaM2: 1,
    crownVolumeM3: 1,
    leafSheet: 'broad',
    cardCover: 0.3,
    evergreen: false,
    bark: 'brown',
  };
}
