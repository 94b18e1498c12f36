import type { Vec3 } from '../records/index.ts';
import type { Dice } from './random.ts';

/** A tree of nodes, parents before children. `root` nodes have parent −1. */
export interface Skeleton {
  at: Vec3[];
  parent: number[];
}

export function addNode(skeleton: Skeleton, at: Vec3, parent: number): number {
  skeleton.at.push(at);
  skeleton.parent.push(parent);
  return skeleton.at.length - 1;
}

/**
 * Lays nodes along a quadratic Bézier curve that starts at an existing node, wandering a little as wood does.
 *
 * @returns index of the last node.
 */
export function addCurve(
  skeleton: Skeleton,
  fromNode: number,
  via: Vec3,
  to: Vec3,
  stepM: number,
  wander: number,
  dice: Dice,
): number {
  const a = skeleton.at[fromNode]!;
  const lengthM =
    Math.hypot(via[0] - a[0], via[1] - a[1], via[2] - a[2]) + Math.hypot(to[0] - via[0], to[1] - via[1], to[2] - via[2]);
  const count = Math.max(2, Math.round(lengthM / stepM));
  let last = fromNode;
  /* Two slow waves, none at the start: wood bends, it does not zigzag. */
  const reach = wander * Math.min(lengthM, 6 * stepM);
  const waves = [0, 1].map((k) => ({
    k: (k + 1) * dice.range(1.6, 2.6),
    x: dice.range(-1, 1) * reach,
    z: dice.range(-1, 1) * reach,
  }));
  const sway = (t: number, axis: 'x' | 'z') => waves.reduce((sum, w) => sum + (w[axis] / w.k) * Math.sin(w.k * t * Math.PI), 0);
  for (let i = 1; i <= count; i++) {
    const t = i / count;
    const p = (1 - t) * (1 - t);
    const q = 2 * t * (1 - t);
    const at: Vec3 = [
      p * a[0] + q * via[0] + t * t * to[0] + sway(t, 'x'),
      p * a[1] + q * via[1] + t * t * to[1],
      p * a[2] + q * via[2] + t * t * to[2] + sway(t, 'z'),
    ];
    last = addNode(skeleton, at, last);
  }
  return last;
}

interface Growing {
  nearest: Int32Array;
  nearestSq: Float64Array;
  alive: Uint8Array;
}

/** Keep, for every attractor, its nearest node: only new nodes have to be compared. */
function noteNode(growing: Growing, attractors: Vec3[], node: number, at: Vec3, killSq: number): void {
  const { nearest, nearestSq, alive } = growing;
  for (let i = 0; i < attractors.length; i++) {
    if (!alive[i]) continue;
    const a = attractors[i]!;
    const dx = a[0] - at[0];
    const dy = a[1] - at[1];
    const dz = a[2] - at[2];
    const dSq = dx * dx + dy * dy + dz * dz;
    if (dSq >= nearestSq[i]!) continue;
    nearestSq[i] = dSq;
    nearest[i] = node;
    if (dSq < killSq) alive[i] = 0;
  }
}

/**
 * Grows twigs toward attraction points by space colonisation (Runions, Lane and Prusinkiewicz 2007): each live attractor pulls
 * its nearest node; a pulled node sends out one shoot of `stepM` along the mean pull; attractors within `killM` of wood are done.
 *
 * @param lift upward share of each new direction (negative: drooping).
 */
export function colonise(
  skeleton: Skeleton,
  attractors: Vec3[],
  stepM: number,
  killM: number,
  lift: number,
  maxNodes: number,
): void {
  const n = attractors.length;
  const growing: Growing = {
    nearest: new Int32Array(n).fill(-1),
    nearestSq: new Float64Array(n).fill(Infinity),
    alive: new Uint8Array(n).fill(1),
  };
  const killSq = killM * killM;
  for (let i = 0; i < skeleton.at.length; i++) noteNode(growing, attractors, i, skeleton.at[i]!, killSq);
  const shoots = new Map<number, number>();
  for (let round = 0; round < 200 && skeleton.at.length < maxNodes; round++) {
    const pull = new Map<number, Vec3>();
    for (let i = 0; i < n; i++) {
      if (!growing.alive[i]) continue;
      const node = growing.nearest[i]!;
      if ((shoots.get(node) ?? 0) >= 3) {
        growing.alive[i] = 0;
        continue;
      }
      const a = attractors[i]!;
      const p = skeleton.at[node]!;
      const d = Math.sqrt(growing.nearestSq[i]!);
      const sum = pull.get(node) ?? [0, 0, 0];
      sum[0] += (a[0] - p[0]) / d;
      sum[1] += (a[1] - p[1]) / d;
      sum[2] += (a[2] - p[2]) / d;
      pull.set(node, sum);
    }
    if (pull.size === 0) return;
    for (const [node, sum] of pull) {
      shoots.set(node, (shoots.get(node) ?? 0) + 1);
      const at = shootFrom(skeleton, node, sum, stepM, lift);
      noteNode(growing, attractors, addNode(skeleton, at, node), at, killSq);
    }
  }
}

/** Turn only so far from the parent's run: sharp kinks read as wire, not wood. */
function shootFrom(skeleton: Skeleton, node: number, pull: Vec3, stepM: number, lift: number): Vec3 {
  const p = skeleton.at[node]!;
  const up = skeleton.parent[node]!;
  const q = up >= 0 ? skeleton.at[up]! : ([p[0], p[1] - 1, p[2]] as Vec3);
  const run = Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]) || 1;
  const size = Math.hypot(pull[0], pull[1], pull[2]) || 1;
  const keep = 0.35;
  const x = pull[0] / size + (keep * (p[0] - q[0])) / run;
  const y = pull[1] / size + (keep * (p[1] - q[1])) / run + lift;
  const z = pull[2] / size + (keep * (p[2] - q[2])) / run;
  const k = stepM / (Math.hypot(x, y, z) || 1);
  return [p[0] + k * x, p[1] + k * y, p[2] + k * z];
}
