import type { Strand } from '../massing/types.ts';
import type { PlantRecord, Vec3 } from '../records/index.ts';
import type { Dice } from './random.ts';
import { addCurve, addNode, colonise, type Skeleton } from './skeleton.ts';
import type { Crown, TreeHabit } from './tree.ts';
import { limbRadii, skeletonStrands } from './wood.ts';

const MOST_NODES = 2400;

/** Trunk, limbs and twigs of a crown of boughs. */
export function growTreeWood(
  habit: TreeHabit,
  record: PlantRecord,
  crown: Crown,
  stepM: number,
  twigM: number,
  dice: Dice,
): Strand[] {
  const skeleton: Skeleton = { at: [], parent: [] };
  for (let s = 0; s < habit.stems; s++) growStem(skeleton, habit, record, crown, s, stepM, dice);
  colonise(
    skeleton,
    crown.boughs.map((b) => b.at),
    stepM * 1.4,
    stepM * 2,
    habit.lift,
    MOST_NODES / 2,
  );
  colonise(skeleton, crown.points, stepM, stepM * 1.8, habit.lift, MOST_NODES);
  reachLeaves(skeleton, crown.points, stepM);
  return toLimbs(record, withoutStrays(skeleton, crown.points, 2 * stepM), 'tree', twigM, habit.stems > 1 ? 0.35 : 0.55);
}

/** Every mass of leaves hangs on wood: a last twig runs from the nearest node into what is still without. */
function reachLeaves(skeleton: Skeleton, leaves: readonly Vec3[], stepM: number): void {
  const nodes = skeleton.at.length;
  for (const p of leaves) {
    let [near, nearSq] = [0, Infinity];
    for (let i = 0; i < nodes; i++) {
      const q = skeleton.at[i]!;
      const sq = (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 + (p[2] - q[2]) ** 2;
      if (sq < nearSq) [near, nearSq] = [i, sq];
    }
    if (nearSq > (0.5 * stepM) ** 2) addNode(skeleton, p, near);
  }
}

/** Wood that ends farther than this from every mass of leaves is cut back to where it does not, or to its fork. */
function withoutStrays(skeleton: Skeleton, leaves: readonly Vec3[], farM: number): Skeleton {
  const { at, parent } = skeleton;
  const kept = new Uint8Array(at.length);
  for (let i = at.length - 1; i >= 0; i--) {
    const p = at[i]!;
    kept[i] ||= Number(leaves.some((q) => (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 + (p[2] - q[2]) ** 2 < farM * farM));
    if (kept[i] && parent[i]! >= 0) kept[parent[i]!] = 1;
  }
  const now = new Int32Array(at.length).fill(-1);
  const out: Skeleton = { at: [], parent: [] };
  for (let i = 0; i < at.length; i++) if (kept[i]) now[i] = addNode(out, at[i]!, parent[i]! < 0 ? -1 : now[parent[i]!]!);
  return out;
}

/** Rounds in which a node goes part of the way to the middle of its neighbours. */
const EASINGS = 4;

/** Wood bends where twigs sought their leaves at a sharp turn: each node eases toward the middle between its parent and its thickest child. */
function withoutKinks({ at, parent }: Skeleton, radiiM: Float64Array): Skeleton {
  const heir = new Int32Array(at.length).fill(-1);
  parent.forEach((up, i) => {
    if (up >= 0 && (heir[up]! < 0 || radiiM[i]! > radiiM[heir[up]!]!)) heir[up] = i;
  });
  let now = at;
  for (let round = 0; round < EASINGS; round++) {
    const was = now;
    now = was.map((p, i): Vec3 => {
      const [up, on] = [parent[i]!, heir[i]!];
      if (up < 0 || on < 0) return p;
      const [a, b] = [was[up]!, was[on]!];
      return [0, 1, 2].map((k) => 0.5 * p[k as 0] + 0.25 * (a[k as 0] + b[k as 0])) as unknown as Vec3;
    });
  }
  return { at: now, parent };
}

/** Radius of the last wood. */
const TIP_M = { tree: 0.0024, low: 0.0042 } as const;
/** Trees taper all the way; low stems keep their width up to the leaves. */
const STOUT = { tree: 1.6, low: 3 } as const;

export function toLimbs(
  record: PlantRecord,
  skeleton: Skeleton,
  kind: 'tree' | 'low',
  leastRadiusM: number,
  flare: number,
): Strand[] {
  const footM = record.trunkDiameterM / 2;
  const radii = limbRadii(skeleton, footM, Math.min(TIP_M[kind], footM * 0.6), STOUT[kind]);
  return skeletonStrands(withoutKinks(skeleton, radii), radii, {
    plantId: record.id,
    leastRadiusM: Math.min(leastRadiusM, footM * 0.7),
    flare,
  });
}

/** Stout short trunks are gnarled: they wander more. */
const gnarl = (record: PlantRecord): number => Math.min(3, Math.max(1, 1 + 80 * (record.trunkDiameterM / record.heightM - 0.06)));

function growStem(
  skeleton: Skeleton,
  habit: TreeHabit,
  record: PlantRecord,
  crown: Crown,
  stem: number,
  stepM: number,
  dice: Dice,
): void {
  const depthM = record.heightM - record.crownBaseM;
  const forkM = Math.max(0.12 * record.heightM, record.crownBaseM + (habit.leader < 0.3 ? 0 : 0.05) * depthM);
  const many = habit.stems > 1;
  const phi = dice.range(0, 0.8) + (stem / habit.stems) * 2 * Math.PI;
  const side = (x: number): Vec3 => [x * Math.cos(phi), 0, x * Math.sin(phi)];
  const foot = side(many ? record.trunkDiameterM * 0.75 : 0);
  const reach = many ? 0.2 * record.spreadM * dice.range(0.8, 1.15) : 0;
  const twist = gnarl(record);
  const sway = (habit.leader > 0.8 && !many ? 0.006 : 0.022) * record.heightM * twist;
  const out = side(reach);
  const fork: Vec3 = [foot[0] + out[0] * 0.5 + dice.range(-sway, sway), forkM, foot[2] + out[2] * 0.5 + dice.range(-sway, sway)];
  const root = addNode(skeleton, foot, -1);
  const bow = dice.range(0.4, 1) * sway * (dice.next() < 0.5 ? -1 : 1);
  const via: Vec3 = [foot[0] + out[0] * 0.12 + bow, forkM * 0.5, foot[2] + out[2] * 0.12 - bow];
  const tip = addCurve(skeleton, root, via, fork, Math.min(stepM, forkM / 7), 0.06 * twist, dice);
  /* Stems that stand beside each other end within the crown, which is narrow there, and at heights of their own. */
  const highest = many ? habit.leader * dice.range(0.84, 1) : habit.leader;
  const topM = Math.max(forkM + stepM, record.crownBaseM + highest * depthM);
  const room = 0.58 * habit.profile(highest) * (record.spreadM / 2);
  const on = many ? Math.max(0, Math.min(1, (room - 0.5 * reach) / reach)) : 1;
  const top: Vec3 = [fork[0] + out[0] * on + dice.range(-sway, sway), topM, fork[2] + out[2] * on + dice.range(-sway, sway)];
  const lean = many ? Math.min(0.5, 0.65 * on) : 0.35;
  const middle: Vec3 = [fork[0] + out[0] * lean + dice.range(-sway, sway), (forkM + topM) / 2, fork[2] + out[2] * lean];
  addCurve(skeleton, tip, middle, top, stepM, 0.12 * twist, dice);
  growLimbs(skeleton, habit, record, crown, [tip, skeleton.at.length - 1], phi, stepM, dice);
}

/** Main limbs leave the trunk one above the other and bow up into the boughs of their own sector. */
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
  const level = habit.leader > 0.8;
  for (let i = 0; i < habit.limbs; i++) {
    const share = habit.limbs > 1 ? i / (habit.limbs - 1) : 0;
    const node = Math.round(from + (to - from) * Math.min(0.95, share * 0.95)) - (i === 0 && habit.stems === 1 ? 1 : 0);
    const start = skeleton.at[Math.max(0, node)]!;
    // One trunk feeds all round, one of several only its own side.
    const round = habit.stems > 1 ? (share - 0.5) * 2.6 : i * 2.39996;
    const phi = turn + round + dice.range(-0.3, 0.3);
    const middle = sectorMean(crown, phi, start[1], record, level);
    if (!middle) continue;
    const reach = Math.hypot(middle[0] - start[0], middle[2] - start[2]);
    const far = dice.range(0.72, 0.95);
    const goal: Vec3 = [
      start[0] + (middle[0] - start[0]) * far,
      start[1] + (middle[1] - start[1]) * far,
      start[2] + (middle[2] - start[2]) * far,
    ];
    const bend = level ? 0.4 : 0.52;
    const skew = dice.range(-0.18, 0.18) * reach;
    const via: Vec3 = [
      start[0] + (goal[0] - start[0]) * bend - skew * Math.sin(phi),
      start[1] + Math.min((goal[1] - start[1]) * (level ? 1 : 0.8), reach * habit.limbRise * 0.5),
      start[2] + (goal[2] - start[2]) * bend + skew * Math.cos(phi),
    ];
    addCurve(skeleton, Math.max(0, node), via, goal, stepM, 0.2 * gnarl(record), dice);
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
