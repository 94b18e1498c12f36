import type { ConvexBlock, Face, SceneModel, Strand, Vec3 } from '../../scene/index.ts';

/** Something small and convex that may stand near a face: planes (n·x ≤ d, 4 numbers each) and bounds, world axes. */
export interface Body {
  planes: ArrayLike<number>;
  min: Vec3;
  max: Vec3;
  /** Equal for bodies of the same shape and place. */
  key: string;
}

/** Kinds of faces that furniture, posts, pots and planters are made of; a wall sends back what it hides, and patches know it. */
const SMALL_KINDS: ReadonlySet<Face['kind']> = new Set(['box', 'column', 'tub', 'sphere', 'panel']);
/** Longer in plan than this: patches resolve it. Metres. */
const LONGEST_M = 3.2;
/** Strands of a smaller radius throw no shade that is seen. */
const THINNEST_M = 0.008;
/** Of plants only trunks and thick limbs: what is thinner stands among leaves. */
const THINNEST_LIMB_M = 0.04;
/** A round bar is as wide in the mean as a square one of this times its radius: equal girth. */
const SQUARE_OF_ROUND = Math.PI / 2;
/** Bends of a strand up to this are taken straight. */
const STRAIGHT_COS = Math.cos((4 * Math.PI) / 180);

/** Small solid bodies and thick strands of a scene, those of bounds that are asked for. */
export function smallBodies(scene: SceneModel, isNear: (min: Vec3, max: Vec3) => boolean): Body[] {
  const big = new Set<string>();
  for (const face of scene.faces) if (!SMALL_KINDS.has(face.kind)) big.add(face.partId);
  const small = (block: ConvexBlock): boolean => !big.has(block.partId) && planSize(block) <= LONGEST_M;
  const blocks = scene.blocks.filter((block) => small(block) && isNear(block.min, block.max)).map(ofBlock);
  const plants = new Set(scene.plants.map((plant) => plant.id));
  const strands = scene.strands.filter((strand) => strand.occludes);
  const bars = strands.flatMap((strand) => ofStrand(strand, plants.has(strand.partId) ? THINNEST_LIMB_M : THINNEST_M, isNear));
  return [...blocks, ...bars];
}

const planSize = ({ min, max }: ConvexBlock): number => Math.max(max[0] - min[0], max[2] - min[2]);

const ofBlock = ({ planes, min, max }: ConvexBlock): Body => ({ planes, min, max, key: planes.join() });

/** Straight lengths of a strand, each as a square bar. */
function ofStrand({ ringsM, radiiM, section }: Strand, thinnestM: number, isNear: (min: Vec3, max: Vec3) => boolean): Body[] {
  const thickest = Math.max(...radiiM);
  if (thickest < thinnestM) return [];
  const out: Body[] = [];
  const rings = radiiM.length;
  const at = (r: number): Vec3 => [ringsM[r * 3]!, ringsM[r * 3 + 1]!, ringsM[r * 3 + 2]!];
  for (let r = 0; r + 1 < rings; ) {
    const from = at(r);
    let to = r + 1;
    const first = way(from, at(to));
    if (first.length > 1e-6) while (to + 1 < rings && goesOn(first.unit, at(to), at(to + 1))) to++;
    const { unit, length } = way(from, at(to));
    const radius = (radiiM[r]! + radiiM[to]!) / 2 || Math.max(radiiM[r]!, radiiM[to]!);
    const half = section === 'square' ? radius : (radius * SQUARE_OF_ROUND) / 2;
    const [a, b] = [from, at(to)];
    const bound = (of: typeof Math.min, room: number) => a.map((v, k) => of(v, b[k as 0]!) + room) as [number, number, number];
    const isSeen = length > 1e-6 && radius >= thinnestM && isNear(bound(Math.min, -thickest), bound(Math.max, thickest));
    if (isSeen) out.push(bar(from, unit, length, half));
    r = to;
  }
  return out;
}

function way(a: Vec3, b: Vec3): { unit: Vec3; length: number } {
  const d = [b[0] - a[0], b[1] - a[1], b[2] - a[2]] as const;
  const length = Math.hypot(...d);
  return { unit: length > 0 ? [d[0] / length, d[1] / length, d[2] / length] : [0, 1, 0], length };
}

function goesOn(along: Vec3, a: Vec3, b: Vec3): boolean {
  const next = way(a, b);
  return next.length < 1e-6 || dot(along, next.unit) > STRAIGHT_COS;
}

function bar(from: Vec3, along: Vec3, length: number, half: number): Body {
  const upright = Math.abs(along[1]) > 0.9;
  const across = unitOf(cross(along, upright ? [1, 0, 0] : [0, 1, 0]));
  const other = cross(along, across);
  const middle = [0, 1, 2].map((k) => from[k]! + (along[k]! * length) / 2) as [number, number, number];
  const planes: number[] = [];
  const reach = [0, 0, 0];
  for (const [axis, halfSide] of [
    [along, length / 2],
    [across, half],
    [other, half],
  ] as const) {
    const d = dot(axis, middle);
    planes.push(...axis, d + halfSide, -axis[0], -axis[1], -axis[2], halfSide - d);
    for (let k = 0; k < 3; k++) reach[k]! += Math.abs(axis[k]!) * halfSide;
  }
  const bound = (sign: number) => middle.map((m, k) => m + sign * reach[k]!) as [number, number, number];
  return { planes, min: bound(-1), max: bound(1), key: planes.join() };
}

const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vec3, b: Vec3): Vec3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];

function unitOf(v: Vec3): Vec3 {
  const l = Math.hypot(...v);
  return [v[0] / l, v[1] / l, v[2] / l];
}
