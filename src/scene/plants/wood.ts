import type { Strand } from '../massing/types.ts';
import type { Vec3 } from '../records/index.ts';
import type { Dice } from './random.ts';
import type { Skeleton } from './skeleton.ts';

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
}

/** Half thickness from which wood throws hard shadows: limbs over 3 cm. */
const SHADOW_RADIUS_M = 0.015;
/** A limb swells where it leaves its parent by this share, over about its own width. */
const COLLAR = 0.8;
const COLLAR_FROM_M = 0.02;

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
    const chain: Chain = [];
    for (let k = i; k >= 0; k = heir[k]!) {
      if (radiiM[k]! < style.leastRadiusM && chain.length > 0) break;
      chain.push({ at: skeleton.at[k]!, radiusM: radiiM[k]! });
    }
    easeTaper(chain);
    if (radiiM[i]! < style.leastRadiusM) continue;
    if (up >= 0) chain.unshift({ at: skeleton.at[up]!, radiusM: Math.min(radiiM[up]!, radiiM[i]! * 1.25) });
    pushChain(strands, up >= 0 ? withCollar(chain, radiiM[up]!) : withFlare(chain, style.flare), style);
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

/** Swells a limb where it leaves thicker wood. */
function withCollar(chain: Chain, parentRadiusM: number): Chain {
  const own = chain[1]?.radiusM ?? 0;
  if (own < COLLAR_FROM_M) return chain;
  let run = 0;
  return chain.map((ring, i) => {
    const before = chain[i - 1];
    if (before) run += Math.hypot(ring.at[0] - before.at[0], ring.at[1] - before.at[1], ring.at[2] - before.at[2]);
    const radiusM = ring.radiusM * (1 + COLLAR * Math.exp(-run / (1.3 * parentRadiusM + own)));
    return { at: ring.at, radiusM: Math.min(radiusM, 0.95 * parentRadiusM) };
  });
}

/** Widens the foot of a trunk, with rings close enough for the curve. */
function withFlare(chain: Chain, flare: number): Chain {
  const foot = chain[0]!;
  const next = chain[1];
  if (!next || flare === 0) return chain;
  const R = foot.radiusM;
  const out: Chain = [];
  for (let i = 0; i < chain.length; i++) {
    const ring = chain[i]!;
    const above = chain[i + 1];
    out.push(ring);
    if (!above || ring.at[1] - foot.at[1] > 5 * R) continue;
    const pieces = Math.min(8, Math.ceil((above.at[1] - ring.at[1]) / (0.7 * R)));
    for (let k = 1; k < pieces; k++) {
      const t = k / pieces;
      const at = ring.at.map((c, axis) => c + (above.at[axis]! - c) * t) as Vec3;
      out.push({ at, radiusM: ring.radiusM + (above.radiusM - ring.radiusM) * t });
    }
  }
  return out.map((ring) => ({
    at: ring.at,
    radiusM: ring.radiusM * (1 + flare * Math.exp(-(ring.at[1] - foot.at[1]) / Math.max(0.05, R * 1.5))),
  }));
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
    const straight = cos > 0.975 && Math.abs(b.radiusM - a.radiusM) < 0.12 * a.radiusM && lab < 0.4 + 1.5 * b.radiusM;
    if (!straight) kept.push(b);
  }
  kept.push(chain[chain.length - 1]!);
  return kept;
}

/**
 * Roots that show round the foot of a stout trunk: they leave it at knee height of their own size and dive into the ground.
 *
 * @param trunk centre line of the trunk near the ground, from its foot up.
 */
export function rootStrands(footRadiusM: number, lean: (yM: number) => Vec3, plantId: string, dice: Dice): Strand[] {
  if (footRadiusM < 0.1) return [];
  const count = footRadiusM > 0.3 ? 7 : 5;
  const turn = dice.range(0, 6.28);
  return Array.from({ length: count }, (_, i) => {
    const phi = turn + (i / count) * 2 * Math.PI + dice.range(-0.3, 0.3);
    const size = dice.range(0.75, 1.15);
    const R = footRadiusM;
    const foot = lean(0);
    const at = (out: number, y: number, bend: number): Vec3 => [
      foot[0] + out * R * Math.cos(phi + bend),
      y * R,
      foot[2] + out * R * Math.sin(phi + bend),
    ];
    const bend = dice.range(-0.25, 0.25);
    const rings: Ring[] = [
      { at: lean(1.5 * R), radiusM: 0.55 * R },
      { at: at(0.62, 0.85, 0), radiusM: 0.46 * R * size },
      { at: at(1.12, 0.36, bend * 0.3), radiusM: 0.36 * R * size },
      { at: at(1.75, 0.06, bend), radiusM: 0.25 * R * size },
      { at: at(2.6 * size, -0.22, bend * 1.8), radiusM: 0.12 * R * size },
    ];
    return {
      id: `${plantId}/root-${i}`,
      partId: plantId,
      section: 'round' as const,
      ringsM: Float32Array.from(rings.flatMap((ring) => ring.at)),
      radiiM: Float32Array.from(rings, (ring) => ring.radiusM),
      sides: 9,
      material: -1,
      occludes: true,
    };
  });
}
