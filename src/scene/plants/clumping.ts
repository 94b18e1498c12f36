import type { PlantModel } from '../massing/types.ts';
import type { Vec3 } from '../records/index.ts';

/** Rays of the lattice of each direction. */
const RAYS = 500;
/** Mean projection of leaf area, spherical leaf angles. */
const G = 0.5;
/** What a leaf mass may be: strongly clumped needles … leaves that avoid each other. */
const LEAST = 0.2;
const MOST = 4;
const ROUNDS = 16;

/** Directions looked along: to the corners of a dodecahedron, even over the sphere. */
const DIRECTIONS: readonly Vec3[] = [
  [0.57735, 0.57735, 0.57735],
  [0.57735, 0.57735, -0.57735],
  [-0.57735, 0.57735, 0.57735],
  [-0.57735, 0.57735, -0.57735],
  [0, 0.93417, 0.35682],
  [0, 0.93417, -0.35682],
  [0.35682, 0, 0.93417],
  [-0.35682, 0, 0.93417],
  [0.93417, 0.35682, 0],
  [0.93417, -0.35682, 0],
];

const cross = (a: Vec3, b: Vec3): Vec3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a: Vec3): Vec3 => {
  const k = 1 / Math.hypot(...a);
  return [a[0] * k, a[1] * k, a[2] * k];
};

/**
 * Clumping index Ω of a crown as its own cards have it: the one Ω with which mean transmittance by clumps,
 * exp(−G·Ω·Σ LAD·chord), equals the mean chance to pass the cards, Π(1 − leaf share) over those a ray crosses, over
 * parallel rays from ten even directions that meet the crown, each by the area it stands for. `fallback` where it has no cards or no clump.
 *
 * @source Ω as in Chen & Black 1992 (clumping from gap fractions), from memory.
 */
export function measuredClumping(model: PlantModel, leafShare: number, fallback: number): number {
  if (model.cards.length === 0 || model.clumps.length === 0) return fallback;
  const rays: Rays = { depth: [], weight: [], gap: 0, all: 0 };
  const edges = edgesOfCards(model);
  for (const direction of DIRECTIONS) lookAlong(model, edges, direction, leafShare, rays);
  if (rays.all === 0) return fallback;
  const wanted = rays.gap / rays.all;
  let [low, high] = [LEAST, MOST];
  for (let round = 0; round < ROUNDS; round++) {
    const middle = (low + high) / 2;
    let sum = 0;
    for (let k = 0; k < rays.depth.length; k++) sum += rays.weight[k]! * Math.exp(-G * middle * rays.depth[k]!);
    if (sum / rays.all > wanted) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Rays that meet a clump: Σ LAD·chord and area of each; sum of their chances by cards × area, and of the areas. */
interface Rays {
  depth: number[];
  weight: number[];
  gap: number;
  all: number;
}

function lookAlong(model: PlantModel, axes: Float64Array, d: Vec3, leafShare: number, rays: Rays): void {
  const u = unit(Math.abs(d[1]) < 0.9 ? cross([0, 1, 0], d) : cross([1, 0, 0], d));
  const v = cross(d, u);
  const lattice = latticeOver(model.clumps, u, v);
  const depth = depthsOfClumps(model.clumps, lattice, u, v);
  const gap = gapsOfCards(model.cards, axes, lattice, d, u, v, leafShare);
  const area = lattice.stepM ** 2;
  for (let k = 0; k < depth.length; k++) {
    if (depth[k] === 0) continue;
    rays.depth.push(depth[k]!);
    rays.weight.push(area);
    rays.gap += area * gap[k]!;
    rays.all += area;
  }
}

function depthsOfClumps(clumps: Float32Array, at: Lattice, u: Vec3, v: Vec3): Float64Array {
  const depth = new Float64Array(at.columns * at.rows);
  for (let i = 0; i < clumps.length; i += 5) {
    const [cu, cv, r] = [dot(clumps, i, u), dot(clumps, i, v), clumps[i + 3]!];
    const [i0, i1] = spanOf(cu, r, at.u0, at.stepM, at.columns);
    const [j0, j1] = spanOf(cv, r, at.v0, at.stepM, at.rows);
    for (let j = j0; j <= j1; j++) {
      const dv = at.v0 + j * at.stepM - cv;
      for (let k = i0; k <= i1; k++) {
        const du = at.u0 + k * at.stepM - cu;
        const rest = r * r - du * du - dv * dv;
        if (rest > 0) depth[j * at.columns + k]! += 2 * Math.sqrt(rest) * clumps[i + 4]!;
      }
    }
  }
  return depth;
}

function gapsOfCards(
  cards: Float32Array,
  axes: Float64Array,
  at: Lattice,
  d: Vec3,
  u: Vec3,
  v: Vec3,
  leafShare: number,
): Float64Array {
  const gap = new Float64Array(at.columns * at.rows).fill(1);
  for (let i = 0, e = 0; i < cards.length; i += 8, e += 6) {
    const cos = dot(cards, i + 3, d);
    if (Math.abs(cos) < 1e-4) continue;
    const half = cards[i + 6]! / 2;
    const [cu, cv] = [dot(cards, i, u), dot(cards, i, v)];
    const [i0, i1] = spanOf(cu, half * Math.SQRT2, at.u0, at.stepM, at.columns);
    const [j0, j1] = spanOf(cv, half * Math.SQRT2, at.v0, at.stepM, at.rows);
    if (i0 > i1 || j0 > j1) continue;
    /* Along the card's edges a and b, a step in u, in v and along the ray to come back to the card's plane. */
    const [tu, tv] = [-dot(cards, i + 3, u) / cos, -dot(cards, i + 3, v) / cos];
    const [ad, bd] = [dot(axes, e, d), dot(axes, e + 3, d)];
    const [au, av] = [dot(axes, e, u) + tu * ad, dot(axes, e, v) + tv * ad];
    const [bu, bv] = [dot(axes, e + 3, u) + tu * bd, dot(axes, e + 3, v) + tv * bd];
    for (let j = j0; j <= j1; j++) {
      const dv = at.v0 + j * at.stepM - cv;
      for (let k = i0; k <= i1; k++) {
        const du = at.u0 + k * at.stepM - cu;
        if (Math.abs(du * au + dv * av) <= half && Math.abs(du * bu + dv * bv) <= half) gap[j * at.columns + k]! *= 1 - leafShare;
      }
    }
  }
  return gap;
}

interface Lattice {
  u0: number;
  v0: number;
  stepM: number;
  columns: number;
  rows: number;
}

const dot = (list: ArrayLike<number>, i: number, a: Vec3): number => list[i]! * a[0] + list[i + 1]! * a[1] + list[i + 2]! * a[2];

function latticeOver(clumps: Float32Array, u: Vec3, v: Vec3): Lattice {
  let [u0, u1, v0, v1] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0; i < clumps.length; i += 5) {
    const [cu, cv, r] = [dot(clumps, i, u), dot(clumps, i, v), clumps[i + 3]!];
    u0 = Math.min(u0, cu - r);
    u1 = Math.max(u1, cu + r);
    v0 = Math.min(v0, cv - r);
    v1 = Math.max(v1, cv + r);
  }
  const stepM = Math.sqrt(((u1 - u0) * (v1 - v0)) / RAYS);
  const [columns, rows] = [Math.ceil((u1 - u0) / stepM), Math.ceil((v1 - v0) / stepM)];
  return { u0: (u0 + u1 - (columns - 1) * stepM) / 2, v0: (v0 + v1 - (rows - 1) * stepM) / 2, stepM, columns, rows };
}

/** First and last lattice line within r of x. */
function spanOf(x: number, r: number, x0: number, stepM: number, count: number): [number, number] {
  return [Math.max(0, Math.ceil((x - r - x0) / stepM)), Math.min(count - 1, Math.floor((x + r - x0) / stepM))];
}

/** Edges of each card's square, 6 numbers: a helper axis turned about the normal by the card's spin. */
function edgesOfCards({ cards, cardLook }: PlantModel): Float64Array {
  const out = new Float64Array((cards.length / 8) * 6);
  for (let card = 0; card * 8 < cards.length; card++) {
    const n: Vec3 = [cards[card * 8 + 3]!, cards[card * 8 + 4]!, cards[card * 8 + 5]!];
    const u = unit(cross(Math.abs(n[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0], n));
    const v = cross(n, u);
    const [c, s] = [Math.cos(cardLook[card * 3]!), Math.sin(cardLook[card * 3]!)];
    for (let k = 0; k < 3; k++) {
      out[card * 6 + k] = c * u[k as 0] + s * v[k as 0];
      out[card * 6 + 3 + k] = c * v[k as 0] - s * u[k as 0];
    }
  }
  return out;
}
