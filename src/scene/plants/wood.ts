import type { Strand } from '../massing/types.ts';
import type { Vec3 } from '../records/index.ts';
import type { Skeleton } from './skeleton.ts';
import { along, sub } from './vectors.ts';

/**
 * Thickness of wood by the pipe model: rᵉ = Σ rᵉ of the children, e = 2.3 (da Vinci's rule has 2; measured trees 1.8 to 2.5),
 * then bent on a power law so that the foot has exactly the wanted radius; wood near its end is thin whatever it carries.
 *
 * @param stout radius ÷ run of wood beyond, against that of the foot.
 */
export function limbRadii(skeleton: Skeleton, footRadiusM: number, tipRadiusM: number, stout: number): Float64Array {
  const radii = pipeRadii(skeleton, footRadiusM, tipRadiusM);
  const beyondM = runBeyond(skeleton);
  const slenderest = Math.max(0.02, (stout * footRadiusM) / (beyondM[0] || 1));
  return radii.map((r, i) => Math.min(r, 1.2 * tipRadiusM + slenderest * beyondM[i]!));
}

/** Longest run of wood beyond each node. */
export function runBeyond({ at, parent }: Skeleton): Float64Array {
  const beyondM = new Float64Array(at.length);
  for (let i = at.length - 1; i > 0; i--) {
    const up = parent[i]!;
    if (up >= 0) beyondM[up] = Math.max(beyondM[up]!, beyondM[i]! + Math.hypot(...sub(at[i]!, at[up]!)));
  }
  return beyondM;
}

function pipeRadii(skeleton: Skeleton, footRadiusM: number, tipRadiusM: number): Float64Array {
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
  // Wood that never forks: the pipe model would leave it a twig all along.
  if (raw <= tipRadiusM * 1.001)
    return power.map((_, i) => footRadiusM + (tipRadiusM - footRadiusM) * (i / Math.max(1, n - 1)) ** 2);
  const bend = raw > tipRadiusM ? Math.log(footRadiusM / tipRadiusM) / Math.log(raw / tipRadiusM) : 1;
  return power.map((p) => tipRadiusM * (p ** (1 / e) / tipRadiusM) ** bend);
}

export interface StrandStyle {
  plantId: string;
  /** Twigs thinner than this are left to the leaves, metres radius. */
  leastRadiusM: number;
  /** Foot of the trunk widens by this share, dying out over a trunk's width. */
  flare: number;
  /** Wood from this radius on grows out of its parent like a fork; thinner shoots just start at its middle. */
  forkFromM?: number;
}

/** Half thickness from which wood throws hard shadows: limbs over 3 cm. */
const SHADOW_RADIUS_M = 0.015;
const FORK_FROM_M = 0.016;
/** How far a fork reaches down the parent and out along the limb, in radii of the parent. */
const FORK_DOWN = 2.4;
const FORK_OUT = 1.5;
/** Places of its rings between the two ends. */
const FORK_RINGS = [0.3, 0.48, 0.62, 0.75, 0.88];
/** Radius of a twig at its tip. */
const TIP_M = 0.0012;

interface Ring {
  at: Vec3;
  radiusM: number;
}
type Chain = Ring[];

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
    if (radiiM[i]! < style.leastRadiusM) continue;
    const chain: Chain = [];
    for (let k = i; k >= 0; k = heir[k]!) {
      chain.push({ at: skeleton.at[k]!, radiusM: radiiM[k]! });
      if (radiiM[k]! < style.leastRadiusM) break;
    }
    easeTaper(chain);
    /* No limb ends like a sawn pole: what is not carried on as wood runs out into a twig. */
    const tip = chain.at(-1)!;
    if (chain.length > 1) tip.radiusM = Math.min(tip.radiusM, TIP_M);
    pushChain(
      strands,
      up >= 0 ? withFork(chain, skeleton, radiiM, up, style.forkFromM ?? FORK_FROM_M) : withFlare(chain, style.flare),
      style,
    );
  }
  return strands;
}

/** Wood thins by no more than this much of its run: where limbs leave, a trunk narrows over a length, not at a step. */
const STEEPEST = 0.28;
function easeTaper(chain: Chain): void {
  for (let i = 1; i < chain.length; i++) {
    const [a, b] = [chain[i - 1]!, chain[i]!];
    const run = Math.hypot(b.at[0] - a.at[0], b.at[1] - a.at[1], b.at[2] - a.at[2]);
    b.radiusM = Math.max(b.radiusM, Math.min(a.radiusM, a.radiusM - STEEPEST * run));
  }
}

/**
 * Starts a limb within its parent: it leaves the parent's middle along the parent's own run, as wide as the parent, and narrows to
 * itself while it bends away, so that one surface rises out of the other at a small angle. A pipe set on a pipe reads as a cut one.
 */
function withFork(chain: Chain, skeleton: Skeleton, radiiM: Float64Array, up: number, forkFromM: number): Chain {
  const joint = skeleton.at[up]!;
  const R = radiiM[up]!;
  const own = chain[0]!.radiusM;
  if (own < forkFromM) return [{ at: joint, radiusM: own }, ...chain];
  let below = up;
  let runM = 0;
  while (skeleton.parent[below]! >= 0 && runM < FORK_DOWN * R) {
    const next = skeleton.parent[below]!;
    runM += Math.hypot(...sub(skeleton.at[below]!, skeleton.at[next]!));
    below = next;
  }
  const wanted = Math.min(1, (FORK_DOWN * R) / (runM || 1));
  const low = along(joint, wanted, sub(skeleton.at[below]!, joint));
  let on = 0;
  while (on < chain.length - 2 && Math.hypot(...sub(chain[on]!.at, joint)) < FORK_OUT * R) on++;
  const end = chain[on]!;
  const start = Math.max(own, 0.9 * R);
  const rings = [0, ...FORK_RINGS].map((t): Ring => {
    const [p, q, r] = [(1 - t) ** 2, 2 * t * (1 - t), t * t];
    const at = [0, 1, 2].map((k) => p * low[k]! + q * joint[k]! + r * end.at[k]!) as Vec3;
    return { at, radiusM: end.radiusM + (start - end.radiusM) * (1 - t) ** 1.2 };
  });
  return [...rings, ...chain.slice(on)];
}

/** Heights of rings near the ground, in foot radii. */
const FOOT_RINGS = [0.12, 0.28, 0.5, 0.8, 1.2, 1.8, 2.6, 3.6, 5];

/** Widens the foot of a trunk like a trumpet, with rings close enough for the curve. */
function withFlare(chain: Chain, flare: number): Chain {
  const foot = chain[0]!;
  if (chain.length < 2 || flare === 0) return chain;
  const R = foot.radiusM;
  const rise = (ring: Ring) => ring.at[1] - foot.at[1];
  const out: Chain = [];
  for (let i = 0; i < chain.length; i++) {
    const ring = chain[i]!;
    const above = chain[i + 1];
    out.push(ring);
    if (!above) continue;
    for (const y of FOOT_RINGS.map((h) => h * R)) {
      const t = (y - rise(ring)) / (rise(above) - rise(ring));
      if (!(t > 0.02 && t < 0.98)) continue;
      const at = ring.at.map((c, axis) => c + (above.at[axis]! - c) * t) as Vec3;
      out.push({ at, radiusM: ring.radiusM + (above.radiusM - ring.radiusM) * t });
    }
  }
  return out.map((ring) => {
    const y = rise(ring) / R;
    return { at: ring.at, radiusM: ring.radiusM * (1 + flare * (0.75 * Math.exp(-y / 1.5) + 0.6 * Math.exp(-y / 0.3))) };
  });
}

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

/** A bare cord of wood that thins to its end. */
export function hangingTwig(points: Vec3[], id: string, plantId: string): Strand {
  return {
    id,
    partId: plantId,
    section: 'round',
    ringsM: Float32Array.from(points.flat()),
    radiiM: Float32Array.from(points, (_, i) => 0.0035 - (0.0023 * i) / (points.length - 1)),
    sides: 3,
    material: -1,
    occludes: false,
  };
}

function toStrand(chain: Chain, occludes: boolean, index: number, style: StrandStyle): Strand {
  const rings = thinOut(chain);
  const thickest = rings[Math.min(1, rings.length - 1)]!.radiusM;
  return {
    id: `${style.plantId}/limb-${index}`,
    partId: style.plantId,
    section: 'round',
    ringsM: Float32Array.from(rings.flatMap((ring) => ring.at)),
    radiiM: Float32Array.from(rings, (ring) => ring.radiusM),
    sides: sidesFor(thickest),
    material: -1,
    occludes,
  };
}

const sidesFor = (radiusM: number): number => {
  if (radiusM > 0.14) return 16;
  if (radiusM > 0.06) return 11;
  if (radiusM > 0.025) return 7;
  return radiusM > 0.01 ? 5 : 3;
};

/** Wood whose outline shows each bend. */
const STOUT_M = 0.05;

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
    const straight =
      cos > (b.radiusM > STOUT_M ? 0.993 : 0.975) &&
      Math.abs(b.radiusM - a.radiusM) < 0.12 * a.radiusM &&
      lab < 0.4 + 1.5 * b.radiusM;
    if (!straight) kept.push(b);
  }
  kept.push(chain[chain.length - 1]!);
  return kept;
}
