import type { PlantRecord, Vec3 } from '../records/index.ts';
import type { Dice } from './random.ts';
import { addCurve, addNode, type Skeleton } from './skeleton.ts';

/** Leaves strung along bowed ribs (palm fronds, grass blades), in plant axes. */
export interface Tuft {
  points: Vec3[];
  skeleton: Skeleton;
  volumeM3: number;
  outward: (at: Vec3) => Vec3;
}

/** A bare trunk with fronds that rise, bow and hang; leaf clumps follow each rib. */
export function layPalm(record: PlantRecord, radiusM: number, dice: Dice): Tuft {
  const half = record.spreadM / 2 - radiusM;
  const headM = record.crownBaseM + 0.55 * (record.heightM - record.crownBaseM);
  const skeleton: Skeleton = { at: [], parent: [] };
  const root = addNode(skeleton, [0, 0, 0], -1);
  const bow = dice.range(-0.03, 0.03) * headM;
  const head = addCurve(skeleton, root, [bow, headM * 0.5, -bow], [0, headM, 0], headM / 14, 0.02, dice);
  const points: Vec3[] = [];
  const fronds = 18;
  for (let i = 0; i < fronds; i++) {
    const phi = i * 2.39996;
    const rise = 1 - (i + 0.5) / fronds;
    const c = Math.cos(phi);
    const s = Math.sin(phi);
    const top: Vec3 = [0.45 * half * c, headM + (record.heightM - headM) * (0.2 + 1.4 * rise), 0.45 * half * s];
    const tipM = record.crownBaseM + radiusM + (headM - record.crownBaseM) * (0.15 + 1.1 * rise);
    const first = skeleton.at.length;
    addCurve(skeleton, head, top, [half * c, tipM, half * s], half / 9, 0.02, dice);
    for (let k = first + 2; k < skeleton.at.length; k++) points.push([...skeleton.at[k]!]);
  }
  return {
    points,
    skeleton,
    volumeM3: (2 / 3) * Math.PI * half * half * (record.heightM - record.crownBaseM),
    outward: (p) => [p[0] / (half * 2), 0.9, p[2] / (half * 2)],
  };
}

/** A tuft of blades that leave the ground together and arch over. */
export function layGrass(record: PlantRecord, radiusM: number, dice: Dice): Tuft {
  const half = record.spreadM / 2 - radiusM;
  const points: Vec3[] = [];
  const blades = 26;
  for (let i = 0; i < blades; i++) {
    const phi = i * 2.39996;
    const reach = half * Math.sqrt((i + 0.5) / blades);
    const top = record.heightM * (1.25 - 0.35 * (reach / half)) - radiusM;
    for (let k = 1; k <= 5; k++) {
      const t = k / 5;
      points.push([
        reach * t * t * Math.cos(phi),
        2 * t * (1 - t) * top + t * t * top * 0.75,
        reach * t * t * Math.sin(phi) + dice.range(-0.02, 0.02),
      ]);
    }
  }
  return {
    points,
    skeleton: { at: [], parent: [] },
    volumeM3: (1 / 3) * Math.PI * half * half * record.heightM,
    outward: (p) => [p[0] / half, 0.4, p[2] / half],
  };
}
