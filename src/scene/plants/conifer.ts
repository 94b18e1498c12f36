import type { PlantRecord, Vec3 } from '../records/index.ts';
import { type LeafCard, type LeafMass, UP } from './leaves.ts';
import type { Dice } from './random.ts';
import { addCurve, addNode, type Skeleton } from './skeleton.ts';
import { along, cross, mixed, sub, unit } from './vectors.ts';

export interface Conifer {
  masses: LeafMass[];
  skeleton: Skeleton;
  volumeM3: number;
}

/** Half width of a conifer at relative height h, share of the half spread. */
const profile = (h: number): number => Math.min(1, 0.92 + 1.6 * h) * (1 - h) ** 0.84 + 0.02;

/** Volume under the profile, m³. */
export function coniferVolumeM3(record: PlantRecord): number {
  let sum = 0;
  for (let i = 0; i < 40; i++) sum += profile((i + 0.5) / 40) ** 2;
  return (Math.PI * (record.spreadM / 2) ** 2 * (record.heightM - record.crownBaseM) * sum) / 40;
}

/**
 * Tiers of branches round one straight trunk: the upper ones rise, the lower ones hang over those below and turn up at their tips, so
 * that tiers close to one skirt; sprays lie along each branch, two in five flat, the others hanging from it.
 */
export function growConifer(record: PlantRecord, cards: number, sideM: number, dice: Dice): Conifer {
  const depthM = record.heightM - record.crownBaseM;
  const half = record.spreadM / 2;
  const skeleton: Skeleton = { at: [], parent: [] };
  const root = addNode(skeleton, [0, 0, 0], -1);
  const tiers = Math.round(Math.min(40, Math.max(14, depthM / Math.max(0.24, 0.026 * record.heightM))));
  const sway = 0.004 * record.heightM;
  addCurve(
    skeleton,
    root,
    [dice.range(-sway, sway), record.heightM * 0.5, dice.range(-sway, sway)],
    [0, record.heightM * 0.985, 0],
    depthM / tiers / 2,
    0.02,
    dice,
  );
  const branches = layBranches(skeleton, record, tiers, dice);
  /* Long branches bear more for their length: their fans are wider too. */
  const share = (b: Branch): number => b.lengthM ** 1.45;
  const shares = branches.reduce((sum, b) => sum + share(b), 0);
  const masses: LeafMass[] = [];
  let carry = 0;
  for (const branch of branches) {
    carry += (cards * share(branch)) / shares;
    const count = Math.floor(carry);
    carry -= count;
    hangSprays(masses, skeleton, branch, count, sideM, dice);
  }
  masses.push(leaderSpike(record, sideM, half, dice));
  return { masses: masses.filter((m) => m.cards.length > 0), skeleton, volumeM3: coniferVolumeM3(record) };
}

interface Branch {
  first: number;
  last: number;
  lengthM: number;
  tone: number;
}

function layBranches(skeleton: Skeleton, record: PlantRecord, tiers: number, dice: Dice): Branch[] {
  const depthM = record.heightM - record.crownBaseM;
  const half = record.spreadM / 2;
  const trunk = skeleton.at.length;
  const branches: Branch[] = [];
  const gaps = dice.range(0.02, 0.1);
  const slender = dice.range(0.85, 1.2);
  for (let tier = 0; tier < tiers; tier++) {
    const h = Math.min(0.97, (tier + 0.15) / tiers);
    const fullness = dice.range(0.86, 1.06);
    const arms = Math.max(4, Math.round(7 - 2.6 * h + dice.range(-0.6, 0.6)));
    const turn = dice.range(0, 6.28);
    for (let i = 0; i < arms; i++) {
      const phi = turn + (i / arms) * 2 * Math.PI + dice.range(-0.25, 0.25);
      /* Some branches fell or stayed behind: without gaps every tree is the same cone. */
      if (h < 0.85 && dice.next() < gaps) continue;
      const lengthM = Math.max(0.04 * half, profile(h) ** slender * half * fullness * dice.range(0.7, 1.06));
      const y = record.crownBaseM + depthM * (h + 0.5 / tiers) + dice.range(-0.8, 0.8) * (depthM / tiers);
      const node = nearestTrunkNode(skeleton, trunk, y);
      const start = skeleton.at[node]!;
      const rise = 0.7 * h - 0.34 + dice.range(-0.09, 0.09);
      const c = Math.cos(phi);
      const s = Math.sin(phi);
      const via: Vec3 = [start[0] + 0.55 * lengthM * c, start[1] + lengthM * rise * 0.8, start[2] + 0.55 * lengthM * s];
      const tip: Vec3 = [start[0] + lengthM * c, start[1] + lengthM * (rise - 0.06 + 0.06 * h), start[2] + lengthM * s];
      for (const p of [via, tip]) p[1] = Math.max(p[1], record.crownBaseM);
      const first = skeleton.at.length;
      const last = addCurve(skeleton, node, via, tip, Math.max(0.12, lengthM / 5), 0.06, dice);
      branches.push({ first, last, lengthM, tone: dice.range(0.85, 1.12) });
    }
  }
  return branches;
}

function nearestTrunkNode(skeleton: Skeleton, trunk: number, y: number): number {
  let best = 1;
  for (let i = 1; i < trunk; i++) if (Math.abs(skeleton.at[i]![1] - y) < Math.abs(skeleton.at[best]![1] - y)) best = i;
  return best;
}

/** Half width of a branch's fan of side shoots at the share t of its length, share of that length. */
const fan = (t: number): number => 0.36 * Math.min(1, 0.25 + 4 * t) * (1 - t) ** 0.7;

/** Sprays of one branch: a fan of side shoots, widest near the trunk, that sag from it; gathered in spheres left and right of it. */
function hangSprays(masses: LeafMass[], skeleton: Skeleton, branch: Branch, count: number, sideM: number, dice: Dice): void {
  const from = skeleton.at[skeleton.parent[branch.first]!]!;
  const nodes = [from, ...skeleton.at.slice(branch.first, branch.last + 1)];
  const spheres = Math.max(1, Math.round(branch.lengthM / (2.1 * sideM)));
  const wide = branch.lengthM > 4 * sideM;
  const own = new Map<number, LeafCard[]>();
  for (let i = 0; i < count; i++) {
    /* Even over the fan's plan: fewer toward the tip. */
    const t = Math.min(0.995, 0.05 + 0.95 * ((i + dice.next()) / count) ** 0.95);
    const hand = i % 2 === 0 ? 1 : -1;
    const away = dice.next() ** 0.8 * fan(t) * branch.lengthM;
    const on = pointAlong(nodes, t);
    const ahead = unit(sub(pointAlong(nodes, Math.min(1, t + 0.05)), pointAlong(nodes, t - 0.05)));
    const side = unit(cross(ahead, UP));
    const sag = (0.22 + 0.25 * dice.next()) * away + 0.04 * sideM;
    const base = along(along(along(on, hand * away, side), 0.35 * away, ahead), -sag, UP);
    const hangs = i % 5 < 3;
    const tip = t > 0.88;
    const up = tip
      ? mixed([ahead, 1], [side, hand * dice.range(0, 0.5)], [UP, 0.12])
      : mixed([ahead, 0.8], [side, hand * dice.range(0.35, 0.9)], [UP, hangs ? -dice.range(0.8, 1.8) : -dice.range(0.15, 0.5)]);
    const normal = hangs
      ? mixed([side, 0.6 * hand], [ahead, dice.range(-0.8, 0.8)], [dice.direction(), 0.45])
      : mixed([UP, 1], [side, 0.45 * hand], [dice.direction(), 0.4]);
    const card: LeafCard = {
      at: along(base, sideM * (hangs ? dice.range(0.25, 0.5) : 0.32), up),
      normal,
      up,
      sideM: sideM * dice.range(0.85, 1.1),
      tile: Math.floor(dice.range(0, 4)),
      brightness: branch.tone * dice.range(0.88, 1.12),
    };
    const place = Math.min(spheres - 1, Math.floor(Math.max(0, (t - 0.05) / 0.95) * spheres));
    const key = wide && place < spheres - 1 ? 2 * place + Number(hand > 0) : 2 * place;
    const cards = own.get(key);
    if (cards) cards.push(card);
    else own.set(key, [card]);
  }
  for (const cards of own.values()) masses.push(around(cards, sideM));
}

/** The sphere of some sprays: about their middle, as wide as they spread. */
function around(cards: LeafCard[], sideM: number): LeafMass {
  const at: Vec3 = [0, 0, 0];
  for (const card of cards) for (const k of [0, 1, 2] as const) at[k] += card.at[k] / cards.length;
  const sq = cards.reduce((sum, { at: p }) => sum + (p[0] - at[0]) ** 2 + (p[1] - at[1]) ** 2 + (p[2] - at[2]) ** 2, 0);
  /* An even ball of radius R has its mean square distance at 3/5 R². */
  const radiusM = Math.sqrt((5 / 3) * (sq / cards.length + sideM ** 2 / 6));
  return { at, radiusM: Math.min(1.8 * sideM, Math.max(0.8 * sideM, radiusM)), cards };
}

/** The top shoot: sprays that stand up round the tip of the trunk. */
function leaderSpike(record: PlantRecord, sideM: number, half: number, dice: Dice): LeafMass {
  const at: Vec3 = [0, record.heightM - 1.1 * sideM, 0];
  const cards = Array.from({ length: 5 }, (_, i): LeafCard => {
    const phi = i * 2.39996;
    const out: Vec3 = [Math.cos(phi), 0, Math.sin(phi)];
    return {
      at: [0.02 * half * out[0], record.heightM - 0.5 * sideM, 0.02 * half * out[2]],
      normal: mixed([out, 1], [dice.direction(), 0.3]),
      up: mixed([UP, 1], [out, 0.15]),
      sideM,
      tile: i % 4,
      brightness: 1,
    };
  });
  return { at, radiusM: 1.1 * sideM, cards };
}

function pointAlong(nodes: Vec3[], t: number): Vec3 {
  const f = Math.min(1, Math.max(0, t)) * (nodes.length - 1);
  const i = Math.min(nodes.length - 2, Math.floor(f));
  const a = nodes[i]!;
  const b = nodes[i + 1]!;
  const u = f - i;
  return [a[0] + (b[0] - a[0]) * u, a[1] + (b[1] - a[1]) * u, a[2] + (b[2] - a[2]) * u];
}
