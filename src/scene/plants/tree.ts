import type { PlantRecord, Vec3 } from '../records/index.ts';
import { type Clump, fitToBox, scatterPoints } from './leaves.ts';
import type { Dice } from './random.ts';
import { addCurve, addNode, colonise, type Skeleton } from './skeleton.ts';

/** How a habit arranges its wood and masses; lengths as shares of the crown. */
export interface TreeHabit {
  /** Half width of the crown at relative height 0 (crown base) … 1 (top), as a share of half the spread. */
  profile: (h: number) => number;
  stems: number;
  /** Trunk runs on as a leader to this relative height of the crown. */
  leader: number;
  limbs: number;
  /** Upward share of twigs. */
  lift: number;
  /** Rise of limbs where they leave the trunk, per unit of reach. */
  limbRise: number;
  blobs: number;
  /** Least half width of a mass, as a share of the spread. */
  leastBlob: number;
  /** Share of darts near the axis that are kept. */
  inner: number;
  /** Hanging strings of leaves below each outer mass. */
  weep: boolean;
}

const dome = (belly: number, top: number) => (h: number) =>
  h < belly
    ? Math.sqrt(Math.max(0, 1 - ((belly - h) / (belly * 1.25)) ** 2))
    : Math.max(0, 1 - ((h - belly) / (1 - belly)) ** top) ** 0.6;

export const TREE_HABITS = {
  round: {
    profile: dome(0.42, 2.1),
    stems: 1,
    leader: 0.42,
    limbs: 6,
    lift: 0.12,
    limbRise: 0.75,
    blobs: 28,
    leastBlob: 0.12,
    inner: 0.15,
    weep: false,
  },
  spreading: {
    profile: dome(0.5, 2.6),
    stems: 1,
    leader: 0.2,
    limbs: 6,
    lift: 0.04,
    limbRise: 0.5,
    blobs: 30,
    leastBlob: 0.12,
    inner: 0.12,
    weep: false,
  },
  columnar: {
    profile: dome(0.35, 2.4),
    stems: 1,
    leader: 0.9,
    limbs: 9,
    lift: 0.5,
    limbRise: 1.8,
    blobs: 48,
    leastBlob: 0.12,
    inner: 0.8,
    weep: false,
  },
  weeping: {
    profile: dome(0.55, 2.2),
    stems: 1,
    leader: 0.5,
    limbs: 7,
    lift: -0.05,
    limbRise: 0.9,
    blobs: 26,
    leastBlob: 0.12,
    inner: 0.15,
    weep: true,
  },
  conical: {
    profile: (h: number) => Math.min(1, 0.7 + 3 * h) * (1 - h) ** 0.85 + 0.04,
    stems: 1,
    leader: 0.97,
    limbs: 16,
    lift: -0.02,
    limbRise: 0.12,
    blobs: 64,
    leastBlob: 0.045,
    inner: 0.6,
    weep: false,
  },
  multiStem: {
    profile: dome(0.45, 2),
    stems: 3,
    leader: 0.7,
    limbs: 4,
    lift: 0.22,
    limbRise: 1.1,
    blobs: 26,
    leastBlob: 0.12,
    inner: 0.3,
    weep: false,
  },
} satisfies Record<string, TreeHabit>;

export interface Crown {
  points: Vec3[];
  volumeM3: number;
  /** Centre of the masses. */
  middle: Vec3;
}

/** Volume of revolution under the profile, m³. */
export function profileVolumeM3(habit: TreeHabit, spreadM: number, depthM: number): number {
  let sum = 0;
  for (let i = 0; i < 40; i++) sum += habit.profile((i + 0.5) / 40) ** 2;
  return (Math.PI * (spreadM / 2) ** 2 * depthM * sum) / 40;
}

interface Blob {
  at: Vec3;
  radiusM: number;
}

/** Overlapping masses on a domed profile, uneven in size and reach, with the underside round the trunk left open. */
function layBlobs(habit: TreeHabit, spreadM: number, depthM: number, dice: Dice): Blob[] {
  const blobs: Blob[] = [];
  const turn = dice.range(0, 6.28);
  const lobe = dice.range(0, 6.28);
  for (let i = 0; i < habit.blobs; i++) {
    const h = Math.min(0.97, Math.max(0.06, 0.06 + 0.92 * ((i + dice.range(0.2, 0.8)) / habit.blobs) ** 0.9));
    const wide = habit.profile(h) * (spreadM / 2);
    const phi = turn + i * 2.39996 + dice.range(-0.35, 0.35);
    const radiusM = Math.min(depthM * 0.3, Math.max(habit.leastBlob * spreadM, wide * 0.36)) * dice.range(0.7, 1.2);
    const uneven = 1 + 0.13 * Math.cos(2 * phi + lobe) + dice.range(-0.14, 0.06);
    const inward = h > 0.75 && dice.next() < 0.35 ? dice.range(0, 0.6) : 1;
    const reach = Math.max(0, wide * uneven - radiusM * 0.75) * inward;
    blobs.push({ at: [reach * Math.cos(phi), h * depthM, reach * Math.sin(phi)], radiusM });
  }
  return blobs;
}

/** Places of leaf masses, in plant axes (foot at the origin). */
export function layCrown(habit: TreeHabit, record: PlantRecord, count: number, clumpRadiusM: number, dice: Dice): Crown {
  const depthM = record.heightM - record.crownBaseM;
  const blobs = layBlobs(habit, record.spreadM, depthM, dice);
  const weights = blobs.map((b) => b.radiusM ** 2);
  const total = weights.reduce((a, b) => a + b, 0);
  const half = record.spreadM / 2;
  const throwDart = (): Vec3 | undefined => {
    let pick = dice.next() * total;
    let index = 0;
    while (index < blobs.length - 1 && pick > weights[index]!) pick -= weights[index++]!;
    const blob = blobs[index]!;
    const d = dice.direction();
    const r = blob.radiusM * dice.next() ** 0.4;
    if (d[1] < -0.25 && dice.next() < 0.55) return undefined;
    const p: Vec3 = [blob.at[0] + d[0] * r, blob.at[1] + d[1] * r * 0.66, blob.at[2] + d[2] * r];
    const out = Math.hypot(p[0], p[2]) / half;
    const h = p[1] / depthM;
    const middle = Math.hypot(out, (h - 0.45) * 1.6);
    if (middle < 0.5 && dice.next() > habit.inner) return undefined;
    if (h < 0.55 && out < 0.62 - 0.8 * h && habit.leader < 0.8 && !habit.weep) return undefined;
    return p;
  };
  const points = scatterPoints(habit.weep ? Math.round(count * 0.45) : count, clumpRadiusM * 1.55, throwDart);
  if (habit.weep) hangStrings(points, count, depthM, clumpRadiusM, half, dice);
  const halfFit = record.spreadM / 2;
  fitToBox(points, clumpRadiusM, [-halfFit, record.crownBaseM, -halfFit], [halfFit, record.heightM, halfFit]);
  const middle: Vec3 = [0, record.crownBaseM + 0.45 * depthM, 0];
  return { points, volumeM3: profileVolumeM3(habit, record.spreadM, depthM), middle };
}

/** Strings of leaves under the outer masses of a weeping crown, until `count` places are filled. */
function hangStrings(points: Vec3[], count: number, depthM: number, clumpRadiusM: number, half: number, dice: Dice): void {
  const outer = points.filter((p) => Math.hypot(p[0], p[2]) > 0.45 * half && p[1] > 0.4 * depthM);
  for (let k = 0; points.length < count && k < 400 && outer.length > 0; k++) {
    const top = outer[Math.floor(dice.next() * outer.length)]!;
    const low = depthM * dice.range(0, 0.3);
    const sway = dice.range(0, 0.1);
    const turn = dice.range(-0.12, 0.12);
    for (let y = top[1] - clumpRadiusM * 1.2; y > low && points.length < count; y -= clumpRadiusM * 1.25) {
      const wide = 1 + sway * (top[1] - y) * 0.3;
      points.push([(top[0] - turn * top[2]) * wide, y, (top[2] + turn * top[0]) * wide]);
    }
  }
}

/** Trunks, main limbs toward the masses of each quarter, then twigs to every clump. */
export function growWood(habit: TreeHabit, record: PlantRecord, crown: Crown, stepM: number, dice: Dice): Skeleton {
  const skeleton: Skeleton = { at: [], parent: [] };
  const depthM = record.heightM - record.crownBaseM;
  const forkM = Math.max(0.12 * record.heightM, record.crownBaseM + 0.06 * depthM);
  for (let s = 0; s < habit.stems; s++) {
    const phi = dice.range(0, 0.8) + (s / habit.stems) * 2 * Math.PI;
    const apart = habit.stems > 1 ? 1 : 0;
    const foot: Vec3 = [
      apart * record.trunkDiameterM * 0.8 * Math.cos(phi),
      0,
      apart * record.trunkDiameterM * 0.8 * Math.sin(phi),
    ];
    const reach = apart * 0.17 * record.spreadM;
    const sway = (habit.leader > 0.8 ? 0.008 : 0.035) * record.heightM;
    const fork: Vec3 = [
      foot[0] + reach * 0.55 * Math.cos(phi) + dice.range(-sway, sway),
      forkM,
      foot[2] + reach * 0.55 * Math.sin(phi) + dice.range(-sway, sway),
    ];
    const root = addNode(skeleton, foot, -1);
    const low = addNode(skeleton, [foot[0], Math.min(0.08, forkM * 0.2), foot[2]], root);
    const bow = dice.range(-0.6, 0.6) * sway;
    const tip = addCurve(
      skeleton,
      low,
      [(foot[0] + fork[0]) / 2 + bow, forkM * 0.5, (foot[2] + fork[2]) / 2 - bow],
      fork,
      stepM,
      0.1,
      dice,
    );
    const topM = record.crownBaseM + habit.leader * depthM;
    const top: Vec3 = [
      fork[0] + reach * Math.cos(phi) + dice.range(-sway, sway),
      Math.max(forkM + stepM, topM),
      fork[2] + reach * Math.sin(phi) + dice.range(-sway, sway),
    ];
    addCurve(
      skeleton,
      tip,
      [fork[0] + dice.range(-sway, sway), (forkM + top[1]) / 2, fork[2] + dice.range(-sway, sway)],
      top,
      stepM,
      0.12,
      dice,
    );
    growLimbs(skeleton, habit, record, crown, [tip, skeleton.at.length - 1], phi, stepM, dice);
  }
  colonise(skeleton, crown.points, stepM, stepM * 1.8, habit.lift, 2000);
  return skeleton;
}

/** Main limbs leave the trunk one above the other and bow up into the masses of their own sector. */
function growLimbs(
  skeleton: Skeleton,
  habit: TreeHabit,
  record: PlantRecord,
  crown: Crown,
  span: readonly [number, number],
  turn: number,
  stepM: number,
  dice: Dice,
): void {
  const [from, to] = span;
  for (let i = 0; i < habit.limbs; i++) {
    const along = habit.limbs > 1 ? i / (habit.limbs - 1) : 0;
    const node = Math.round(from + (to - from) * Math.min(0.95, along * 0.95));
    const start = skeleton.at[node]!;
    // One trunk feeds all round, one of several only its own side.
    const round = habit.stems > 1 ? (along - 0.5) * 2.6 : i * 2.39996;
    const phi = turn + round + dice.range(-0.3, 0.3);
    const levels = sectorMean(crown, phi, start[1], record, habit.leader > 0.8);
    if (!levels) continue;
    const reach = Math.hypot(levels[0] - start[0], levels[2] - start[2]);
    const share = dice.range(0.7, 0.9);
    const goal: Vec3 = [
      start[0] + (levels[0] - start[0]) * share,
      start[1] + (levels[1] - start[1]) * share,
      start[2] + (levels[2] - start[2]) * share,
    ];
    const bend = habit.leader > 0.8 ? 0.5 : 0.62;
    const via: Vec3 = [
      start[0] + (goal[0] - start[0]) * bend,
      start[1] + Math.min(goal[1] - start[1], reach * habit.limbRise * 0.45),
      start[2] + (goal[2] - start[2]) * bend,
    ];
    addCurve(skeleton, node, via, goal, stepM, 0.16, dice);
  }
}

/** Middle of the masses a limb at this bearing should feed; near its own height where the trunk is a leader. */
function sectorMean(crown: Crown, phi: number, fromM: number, record: PlantRecord, level: boolean): Vec3 | undefined {
  const sum: Vec3 = [0, 0, 0];
  let weight = 0;
  const depthM = record.heightM - record.crownBaseM;
  for (const p of crown.points) {
    const turn = Math.cos(Math.atan2(p[2], p[0]) - phi);
    if (turn < 0.6 || p[1] < fromM - 0.1 * depthM) continue;
    if (level && p[1] > fromM + 0.3 * depthM) continue;
    const w = turn * Math.hypot(p[0], p[2]);
    sum[0] += w * p[0];
    sum[1] += w * p[1];
    sum[2] += w * p[2];
    weight += w;
  }
  return weight > 0 ? [sum[0] / weight, sum[1] / weight, sum[2] / weight] : undefined;
}

export function toClumps(points: Vec3[], radiusM: number): Clump[] {
  return points.map((at) => ({ at, radiusM }));
}
