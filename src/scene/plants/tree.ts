import type { PlantRecord, Vec3 } from '../records/index.ts';
import { fitOf, fitPoint } from './placing.ts';
import type { Dice } from './random.ts';
import { scatterPoints } from './scatter.ts';
import { along, mixed, sub, unit } from './vectors.ts';

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
  boughs: number;
  /** Half width of a bough as a share of the crown's half width there, and at least this share of the spread. */
  boughWide: number;
  boughLeast: number;
  /** Height of a bough ÷ its width. */
  flat: number;
  /** Share of masses near the axis that are kept. */
  inner: number;
  /** Underside open round the trunk. */
  open: boolean;
  /** Sprigs hang by so much. */
  droop: number;
}

const dome = (belly: number, top: number) => (h: number) =>
  h < belly
    ? Math.sqrt(Math.max(0, 1 - ((belly - h) / (belly * 1.25)) ** 2))
    : Math.max(0, 1 - ((h - belly) / (1 - belly)) ** top) ** 0.6;

const ROUND: TreeHabit = {
  profile: dome(0.4, 2.0),
  stems: 1,
  leader: 0.5,
  limbs: 7,
  lift: 0.14,
  limbRise: 0.85,
  boughs: 25,
  boughWide: 0.33,
  boughLeast: 0.1,
  flat: 0.78,
  inner: 0.12,
  open: true,
  droop: 0.15,
};

export const TREE_HABITS = {
  round: ROUND,
  spreading: {
    ...ROUND,
    profile: dome(0.46, 2.4),
    leader: 0.16,
    limbs: 7,
    lift: 0.03,
    limbRise: 0.5,
    boughs: 25,
    boughWide: 0.28,
    flat: 0.55,
    inner: 0.1,
    droop: 0.25,
  },
  columnar: {
    ...ROUND,
    profile: (h: number) => Math.min(1, 0.72 + 1.6 * h) * Math.max(0, 1 - h ** 2.6) ** 0.75 + 0.02,
    leader: 0.93,
    limbs: 12,
    lift: 0.55,
    limbRise: 2.2,
    boughs: 70,
    boughWide: 0.55,
    boughLeast: 0.13,
    flat: 1.9,
    inner: 0.75,
    open: false,
    droop: -0.9,
  },
  weeping: {
    ...ROUND,
    profile: dome(0.5, 2.2),
    leader: 0.55,
    limbs: 8,
    lift: 0.02,
    limbRise: 1.0,
    boughs: 26,
    boughWide: 0.34,
    droop: 0.9,
  },
  multiStem: {
    ...ROUND,
    profile: dome(0.36, 1.7),
    stems: 3,
    leader: 0.82,
    limbs: 5,
    lift: 0.2,
    limbRise: 1.0,
    boughs: 30,
    boughWide: 0.36,
    flat: 0.85,
    inner: 0.35,
    droop: 0.6,
  },
} satisfies Record<string, TreeHabit>;

/** A main branch with its leaves: a flattened ball. */
export interface Bough {
  at: Vec3;
  radiusM: number;
}

export interface Crown {
  /** Centres of the leaf masses. */
  points: Vec3[];
  /** Away from wood at each mass. */
  outward: Vec3[];
  boughs: Bough[];
  volumeM3: number;
}

/** Volume of revolution under the profile, m³. */
export function profileVolumeM3(habit: TreeHabit, spreadM: number, depthM: number): number {
  let sum = 0;
  for (let i = 0; i < 40; i++) sum += habit.profile((i + 0.5) / 40) ** 2;
  return (Math.PI * (spreadM / 2) ** 2 * depthM * sum) / 40;
}

/** Overlapping boughs on the profile, uneven in size and reach, a few of them inside the top; y from the crown base up. */
function layBoughs(habit: TreeHabit, spreadM: number, depthM: number, dice: Dice): Bough[] {
  const boughs: Bough[] = [];
  const turn = dice.range(0, 6.28);
  const lobe = dice.range(0, 6.28);
  for (let i = 0; i < habit.boughs; i++) {
    const h = Math.min(0.97, Math.max(0.05, 0.05 + 0.93 * ((i + dice.range(0.1, 0.9)) / habit.boughs) ** 0.88));
    const wide = habit.profile(h) * (spreadM / 2);
    const phi = turn + i * 2.39996 + dice.range(-0.4, 0.4);
    const size = Math.max(habit.boughLeast * spreadM, wide * habit.boughWide) * dice.range(0.72, 1.28);
    const radiusM = Math.min((depthM * 0.3) / habit.flat, size);
    const uneven = 1 + 0.12 * Math.cos(2 * phi + lobe) + dice.range(-0.2, 0.08);
    const inward = h > 0.7 && dice.next() < 0.4 ? dice.range(0, 0.6) : 1;
    const reach = Math.max(0, wide * uneven - radiusM * 0.8) * inward;
    boughs.push({ at: [reach * Math.cos(phi), h * depthM, reach * Math.sin(phi)], radiusM });
  }
  return boughs;
}

/** A mass whose third neighbour's middle is farther than this many of its radii stands alone in the sky. */
const LONE_FROM = 1.4;
/** It moves in to this share of its way out from its bough's middle. */
const GATHERED = 0.72;

/** Leaf masses of a crown of boughs, in plant axes (foot at the origin), fitted to the record. */
export function layCrown(habit: TreeHabit, record: PlantRecord, count: number, clumpRadiusM: number, dice: Dice): Crown {
  const depthM = record.heightM - record.crownBaseM;
  const half = record.spreadM / 2;
  const boughs = layBoughs(habit, record.spreadM, depthM, dice);
  const weights = boughs.map((b) => b.radiusM ** 2.2);
  const total = weights.reduce((a, b) => a + b, 0);
  const boughOf = new Map<Vec3, Bough>();
  const throwDart = (): Vec3 | undefined => {
    let pick = dice.next() * total;
    let index = 0;
    while (index < boughs.length - 1 && pick > weights[index]!) pick -= weights[index++]!;
    const bough = boughs[index]!;
    const d = dice.direction();
    /* A few shoots stand out of the mass, so that no bough is a ball. */
    const shoot = dice.next() < 0.1 ? dice.range(1, 1.15) : dice.next() ** 0.45;
    const r = bough.radiusM * shoot;
    if (habit.open && d[1] < -0.2 && dice.next() < 0.5) return undefined;
    const p: Vec3 = [bough.at[0] + d[0] * r, bough.at[1] + d[1] * r * habit.flat, bough.at[2] + d[2] * r];
    const out = Math.hypot(p[0], p[2]) / half;
    const h = p[1] / depthM;
    if (h < -0.02 || h > 1.02) return undefined;
    if (Math.hypot(out, (h - 0.45) * 1.6) < 0.5 && dice.next() > habit.inner) return undefined;
    if (habit.open && h < 0.55 && out < 0.58 - 0.8 * h) return undefined;
    boughOf.set(p, bough);
    return p;
  };
  const points = gathered(scatterPoints(count, clumpRadiusM * 0.95, throwDart), clumpRadiusM, boughOf);
  const outward = points.map((p) => {
    const bough = boughOf.get(p)!;
    return mixed([unit(sub(p, bough.at)), 0.8], [unit([p[0], (p[1] - 0.4 * depthM) * 0.8, p[2]]), 0.7]);
  });
  const fit = fitOf(points, clumpRadiusM, [-half, record.crownBaseM, -half], [half, record.heightM, half]);
  return {
    points: points.map((p) => fitPoint(p, fit)),
    outward,
    boughs: boughs.map((b) => ({ at: fitPoint(b.at, fit), radiusM: b.radiusM })),
    volumeM3: profileVolumeM3(habit, record.spreadM, depthM),
  };
}

/** Masses that would hang in the air by themselves move in to their bough. */
function gathered(points: Vec3[], clumpRadiusM: number, boughOf: Map<Vec3, Bough>): Vec3[] {
  return points.map((p) => {
    const near = [Infinity, Infinity, Infinity];
    for (const q of points) {
      const apartM = Math.hypot(...sub(p, q));
      if (q === p || apartM >= near[2]!) continue;
      near[2] = apartM;
      near.sort((a, b) => a - b);
    }
    if (near[2]! < LONE_FROM * clumpRadiusM) return p;
    const bough = boughOf.get(p)!;
    const moved = along(bough.at, GATHERED, sub(p, bough.at));
    boughOf.set(moved, bough);
    return moved;
  });
}

/** A hanging twig with its leaves: where it starts, how low it comes, and how far out it swings before it hangs. */
export interface HangingString {
  top: Vec3;
  lowM: number;
  swing: Vec3;
  /** Side of its lowest leaves ÷ of its highest. */
  taper: number;
}

/** Strings to a bundle. */
const BUNDLE = 5;

/** Strings of leaves that hang from the outer masses of a weeping crown in bundles: some long, most short, none as long as the next. */
export function hangStrings(crown: Crown, record: PlantRecord, count: number, dice: Dice): HangingString[] {
  const half = record.spreadM / 2;
  const depthM = record.heightM - record.crownBaseM;
  const outer = crown.points.filter((p) => Math.hypot(p[0], p[2]) > 0.3 * half && p[1] > record.crownBaseM + 0.42 * depthM);
  const from = outer.length > 0 ? outer : crown.points;
  return Array.from({ length: Math.ceil(count / BUNDLE) }, () => {
    const top = from[Math.floor(dice.next() * from.length)]!;
    const out = unit([top[0], 0, top[2]]);
    const longest = dice.next() ** 1.1;
    return Array.from({ length: BUNDLE }, (): HangingString => {
      const [side, ahead] = [dice.range(-0.09, 0.09) * half, dice.range(-0.06, 0.06) * half];
      const start = along(along(top, side, [out[2], 0, -out[0]]), ahead, out);
      const fall = Math.min(1, longest + (1 - longest) * dice.next() ** 0.8);
      const swing = dice.range(0.02, 0.16) * half;
      const drift = dice.range(-0.06, 0.06) * half;
      return {
        top: start,
        lowM: record.crownBaseM + (top[1] - record.crownBaseM) * 0.9 * fall,
        swing: [swing * out[0] + drift * out[2], 0, swing * out[2] - drift * out[0]],
        taper: dice.range(0.55, 0.85),
      };
    });
  }).flat();
}
