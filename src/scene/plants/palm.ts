import type { PlantRecord, Vec3 } from '../records/index.ts';
import { type LeafCard, type LeafMass, toneOf, UP } from './leaves.ts';
import type { Dice } from './random.ts';
import { addCurve, addNode, type Skeleton } from './skeleton.ts';
import { along, cross, mixed, sub, unit } from './vectors.ts';

export interface Tuft {
  masses: LeafMass[];
  skeleton: Skeleton;
  /** Radius of wood at each node, metres. */
  radiiM: number[];
  volumeM3: number;
}

const FRONDS = 34;
/** Pairs of leaf halves along a frond. */
const PAIRS = 6;
/** Stubs of old fronds under the crown, and how far down they stand, in trunk diameters. */
const STUBS = 30;
const STUBS_DOWN = 4;
const RIB_M = 0.013;

/** A bare trunk with pinnate fronds: young ones stand, older ones arch over and hang; each half of a frond is a row of cards. */
export function growPalm(record: PlantRecord, dice: Dice): Tuft {
  const half = record.spreadM / 2;
  const crownM = record.heightM - record.crownBaseM;
  const headM = record.crownBaseM + 0.56 * crownM;
  const skeleton: Skeleton = { at: [], parent: [] };
  const root = addNode(skeleton, [0, 0, 0], -1);
  const bow = dice.range(0.01, 0.035) * headM * (dice.next() < 0.5 ? -1 : 1);
  const head = addCurve(skeleton, root, [bow, headM * 0.55, -bow * 0.6], [0, headM, 0], headM / 14, 0.015, dice);
  const masses: LeafMass[] = [];
  const turn = dice.range(0, 6.28);
  const R = record.trunkDiameterM / 2;
  const radiiM = skeleton.at.map(([, y]) => R * (1.06 - (0.2 * y) / headM));
  for (let i = 0; i < STUBS; i++) growStub(skeleton, radiiM, head, turn + i * 2.39996, (i + dice.next()) / STUBS, R, dice);
  for (let i = 0; i < FRONDS; i++) {
    const age = (i + dice.range(0, 0.8)) / FRONDS;
    const phi = turn + i * 2.39996 + dice.range(-0.15, 0.15);
    const out: Vec3 = [Math.cos(phi), 0, Math.sin(phi)];
    growFrond(skeleton, masses, head, out, age, { half, crownM, headM }, dice);
  }
  while (radiiM.length < skeleton.at.length) radiiM.push(RIB_M);
  return { masses, skeleton, radiiM, volumeM3: (2 / 3) * Math.PI * half * half * crownM };
}

/** The foot of a frond that was cut or fell: broad at the trunk, pointed, short and flat to the trunk lower down. */
function growStub(skeleton: Skeleton, radiiM: number[], head: number, phi: number, down: number, R: number, dice: Dice): void {
  const top = skeleton.at[head]!;
  const y = top[1] - 2 * R * STUBS_DOWN * down ** 1.3;
  let node = head;
  while (node > 1 && skeleton.at[node]![1] > y) node--;
  const axis = skeleton.at[node]!;
  const out: Vec3 = [Math.cos(phi), 0, Math.sin(phi)];
  const length = R * (2 - 1.3 * down) * dice.range(0.7, 1.2);
  const base: Vec3 = [axis[0], y, axis[2]];
  const foot = addNode(skeleton, along(base, 0.8 * R, out), node);
  const middle = addNode(skeleton, along(along(base, 1.16 * R, out), 0.45 * length, UP), foot);
  addNode(skeleton, along(along(base, (1.75 - 0.45 * down) * R, out), length, UP), middle);
  radiiM.push(0.36 * R, 0.26 * R, 0.07 * R);
}

/** age 0: standing spear, 1: hanging against the trunk. */
function growFrond(
  skeleton: Skeleton,
  masses: LeafMass[],
  head: number,
  out: Vec3,
  age: number,
  size: { half: number; crownM: number; headM: number },
  dice: Dice,
): void {
  const rise = 1.25 - 1.75 * age;
  const length = size.half * (age < 0.12 ? 0.85 : 1.08);
  const start = skeleton.at[head]!;
  const via = along(along(start, length * 0.55 * Math.max(0.25, Math.cos(rise)), out), length * 0.62 * Math.sin(rise), UP);
  const fall = length * (0.1 + 0.75 * Math.min(1, age * 1.5));
  const tip = along(
    along(start, length * (0.35 + 0.65 * Math.min(1, 0.25 + age * 2.2) * (age > 0.75 ? 0.8 : 1)), out),
    length * 0.8 * Math.sin(rise) - fall,
    UP,
  );
  const first = skeleton.at.length;
  addCurve(skeleton, head, via, tip, length / PAIRS / 1.2, 0.02, dice);
  const nodes = skeleton.at.slice(first);
  const side = unit(cross(out, UP));
  const tone = dice.range(0.85, 1.12) * (1.05 - 0.2 * age);
  const fold = dice.range(0.35, 0.6);
  for (let k = 0; k < PAIRS; k++) {
    const t = (k + 0.75) / PAIRS;
    const f = t * (nodes.length - 1);
    const i = Math.min(nodes.length - 2, Math.floor(f));
    const at = along(nodes[i]!, f - i, sub(nodes[i + 1]!, nodes[i]!));
    const ahead = unit(sub(nodes[i + 1]!, nodes[i]!));
    const top = unit(cross(side, ahead));
    const wide = (k === 0 ? 0.7 : 1) * (k === PAIRS - 1 ? 0.8 : 1);
    const sideM = length * 0.27 * wide;
    const cards = [-1, 1].map((hand): LeafCard => {
      /* The half hangs a little below the rib; its tile has the rib on the left edge, leaflets to the right. */
      const reach = mixed([side, hand], [top, -fold]);
      return {
        at: along(along(at, 0.49 * sideM, reach), 0.08 * sideM, ahead),
        normal: mixed([cross(reach, ahead), 1], [dice.direction(), 0.06]),
        up: ahead,
        sideM,
        tile: k === PAIRS - 1 ? 3 : k % 3,
        brightness: toneOf(tone, dice),
      };
    });
    masses.push({ at, radiusM: sideM * 0.9, cards });
  }
}
