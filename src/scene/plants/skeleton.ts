import type { Strand } from '../massing/types.ts';
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
  let wx = 0;
  let wz = 0;
  for (let i = 1; i <= count; i++) {
    const t = i / count;
    const p = (1 - t) * (1 - t);
    const q = 2 * t * (1 - t);
    wx = wx * 0.8 + dice.range(-1, 1) * wander * stepM;
    wz = wz * 0.8 + dice.range(-1, 1) * wander * stepM;
    const at: Vec3 = [
      p * a[0] + q * via[0] + t * t * to[0] + wx,
      p * a[1] + q * via[1] + t * t * to[1],
      p * a[2] + q * via[2] + t * t * to[2] + wz,
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

/**
 * Thickness of wood by the pipe model: rᵉ = Σ rᵉ of the children, e = 2.3 (da Vinci's rule has 2; measured trees 1.8 to 2.5),
 * then bent on a power law so that the foot has exactly the wanted radius.
 */
export function limbRadii(skeleton: Skeleton, footRadiusM: number, tipRadiusM: number): Float64Array {
  const e = 2.3;
  const n = skeleton.at.length;
  const power = new Float64Array(n);
  const tip = tipRadiusM ** e;
  for (let i = n - 1; i >= 0; i--) {
    if (power[i] === 0) power[i] = tip;
    const up = skeleton.parent[i]!;
    if (up >= 0) power[up]! += power[i]!;
  }
  let most = 0;
  for (let i = 0; i < n; i++) if (skeleton.parent[i]! < 0) most = Math.max(most, power[i]!);
  const raw = most ** (1 / e);
  const bend = raw > tipRadiusM ? Math.log(footRadiusM / tipRadiusM) / Math.log(raw / tipRadiusM) : 1;
  return power.map((p) => tipRadiusM * (p ** (1 / e) / tipRadiusM) ** bend);
}

export interface StrandStyle {
  plantId: string;
  /** Twigs thinner than this are left to the leaves, metres radius. */
  leastRadiusM: number;
  /** Foot of the trunk widens by this share, dying out over a trunk's width. */
  flare: number;
  baseM: number;
}

/** Half thickness from which wood throws hard shadows: limbs over 3 cm. */
const SHADOW_RADIUS_M = 0.015;

/** Cuts the skeleton into strands: at each node the thickest child runs on, the others begin a strand of their own. */
export function skeletonStrands(skeleton: Skeleton, radiiM: Float64Array, style: StrandStyle): Strand[] {
  const n = skeleton.at.length;
  const heir = new Int32Array(n).fill(-1);
  for (let i = 0; i < n; i++) {
    const up = skeleton.parent[i]!;
    if (up >= 0 && (heir[up]! < 0 || radiiM[i]! > radiiM[heir[up]!]!)) heir[up] = i;
  }
  const strands: Strand[] = [];
  for (let i = 0; i < n; i++) {
    const up = skeleton.parent[i]!;
    if (up >= 0 && heir[up] === i) continue;
    const chain: { at: Vec3; radiusM: number }[] = [];
    if (up >= 0) chain.push({ at: skeleton.at[up]!, radiusM: Math.min(radiiM[up]!, radiiM[i]! * 1.25) });
    for (let k = i; k >= 0; k = heir[k]!) {
      if (radiiM[k]! < style.leastRadiusM && chain.length > 1) break;
      chain.push({ at: skeleton.at[k]!, radiusM: radiiM[k]! });
    }
    if (radiiM[i]! >= style.leastRadiusM) pushChain(strands, chain, style);
  }
  return strands;
}

type Chain = { at: Vec3; radiusM: number }[];

/** One chain may thin out below the shadow limit: split it there, sharing a ring. */
function pushChain(strands: Strand[], chain: Chain, style: StrandStyle): void {
  let cut = chain.findIndex((ring) => ring.radiusM < SHADOW_RADIUS_M);
  if (cut < 0) cut = chain.length;
  const thick = chain.slice(0, Math.min(chain.length, cut + 1));
  const thin = cut < chain.length ? chain.slice(cut) : [];
  if (cut > 0 && thick.length > 1) strands.push(toStrand(thick, true, strands.length, style));
  const rest = cut > 0 ? thin : chain;
  if (rest.length > 1) strands.push(toStrand(rest, false, strands.length, style));
}

function toStrand(chain: Chain, occludes: boolean, index: number, style: StrandStyle): Strand {
  const rings = thinOut(chain);
  const ringsM = new Float32Array(rings.length * 3);
  const radii = new Float32Array(rings.length);
  rings.forEach((ring, i) => {
    const above = ring.at[1] - style.baseM;
    ringsM.set(ring.at, i * 3);
    radii[i] = ring.radiusM * (1 + style.flare * Math.exp(-above / Math.max(0.05, ring.radiusM * 1.6)));
  });
  const thickest = rings[0]!.radiusM;
  const sides = thickest > 0.06 ? 10 : thickest > 0.025 ? 7 : thickest > 0.012 ? 5 : 4;
  return {
    id: `${style.plantId}/limb-${index}`,
    partId: style.plantId,
    section: 'round',
    ringsM,
    radiiM: radii,
    sides,
    material: -1,
    occludes,
  };
}

/** Drop rings where wood runs straight and even: each ring carries light samples. */
function thinOut(chain: Chain): Chain {
  const kept: Chain = [chain[0]!];
  for (let i = 1; i < chain.length - 1; i++) {
    const a = kept[kept.length - 1]!;
    const b = chain[i]!;
    const c = chain[i + 1]!;
    const ab = [b.at[0] - a.at[0], b.at[1] - a.at[1], b.at[2] - a.at[2]] as const;
    const bc = [c.at[0] - b.at[0], c.at[1] - b.at[1], c.at[2] - b.at[2]] as const;
    const lab = Math.hypot(...ab);
    const cos = (ab[0] * bc[0] + ab[1] * bc[1] + ab[2] * bc[2]) / (lab * Math.hypot(...bc) || 1);
    const straight = cos > 0.97 && Math.abs(b.radiusM - a.radiusM) < 0.2 * a.radiusM && lab < 0.42 + 2 * b.radiusM;
    if (!straight) kept.push(b);
  }
  kept.push(chain[chain.length - 1]!);
  return kept;
}
