import type { Face, SceneModel, Vec3 } from '../../scene/index.ts';
import { insideLoops, type Rect } from './clip.ts';
import type { BounceCaster, BounceHit } from './types.ts';

/** Cuts nearer to each other than this are one, metres: slivers would cost rows and carry nothing. */
const MIN_GAP_M = 0.12;
/** The same on ground, whose lines run right across the lot. */
const GROUND_GAP_M = 0.3;
/** Smaller things than this cut no ground: their share of a patch is left out by points. */
const GROUND_CUT_LEAST_M = 0.8;
/** Ground keeps the fine size this far from anything that stands on it, then coarsens. */
const NEAR_GROUND_M = 3;

/** Scenery begins this far outside the property's own ground, metres; patches grow by this share a metre, up to so many times. */
const LOT_MARGIN_M = 5;
const COARSER_A_M = 0.12;
const COARSEST = 5;
/** Scenery this many times coarser has no finer cuts, and none nearer to each other than this, metres. */
const SCENERY = 1.5;
const SCENERY_GAP_M = 0.9;

/**
 * How many times as large as on the property itself patches of something at this place may be: what lies down the street
 * brings it light only as a whole.
 */
export function coarsenessAt(scene: Pick<SceneModel, 'lotM'>, min: ArrayLike<number>, max: ArrayLike<number>): number {
  const { lotM } = scene;
  if (!lotM) return 1;
  const x = Math.max(0, lotM.min[0] - max[0]!, min[0]! - lotM.max[0]);
  const z = Math.max(0, lotM.min[1] - max[2]!, min[2]! - lotM.max[1]);
  return Math.min(COARSEST, 1 + COARSER_A_M * Math.max(0, Math.hypot(x, z) - LOT_MARGIN_M));
}

export function coarsenessOf(scene: Pick<SceneModel, 'lotM'>, face: Face): number {
  const corners = [0, 1, 2, 3].map((k) =>
    [0, 1, 2].map((c) => face.origin[c]! + (k & 1 ? face.widthM * face.u[c]! : 0) + (k & 2 ? face.heightM * face.v[c]! : 0)),
  );
  const bound = (of: (...n: number[]) => number): number[] => [0, 1, 2].map((c) => of(...corners.map((p) => p[c]!)));
  return coarsenessAt(scene, bound(Math.min), bound(Math.max));
}

/** Where a solid stands on a face. */
export interface Footprint {
  rect: Rect;
  block: number;
}

export interface CutSizes {
  patchM: number;
  farPatchM: number;
  /** Finer cuts along inner edges. */
  graded: boolean;
}

/** Where another surface rises from a face, light changes within centimetres: cuts at these distances from that line. */
const INNER_STEPS_M = [0.1, 0.25, 0.5] as const;
const INNER_GAP_M = 0.07;
/** Where patches had to grow, what lies nearer than this share of them is one cut: finer lines would cost the rest of the lot its patches. */
const INNER_GAP_SHARE = 0.23;
/** Places on a face from which such lines are looked for: how far apart, how many at most each way, how high, how far. */
const LOOK_STEP_M = 0.7;
const MOST_LOOKS = 28;
const LOOK_HEIGHT_M = 0.1;
/** Hits within this of each other are one line; it must be seen this often, or over all of a small face. */
const SAME_LINE_M = 0.05;
const LEAST_SEEN = 2;

/** Lines across a face, along s and t, where something stands up from it. */
export interface InnerLines {
  s: number[];
  t: number[];
}

const hit: BounceHit = { distanceM: 0, face: -1, s: 0, t: 0, fromFront: false };

/** Looks along the face both ways from a lattice of places for what stands up from it. */
export function innerLinesOf(face: Face, caster: BounceCaster): InnerLines {
  const found = { s: [] as number[], t: [] as number[] };
  const columns = Math.min(MOST_LOOKS, Math.max(2, Math.ceil(face.widthM / LOOK_STEP_M)));
  const rows = Math.min(MOST_LOOKS, Math.max(2, Math.ceil(face.heightM / LOOK_STEP_M)));
  const height = Math.min(LOOK_HEIGHT_M, 0.25 * Math.min(face.widthM, face.heightM));
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const [s, t] = [((i + 0.5) * face.widthM) / columns, ((j + 0.5) * face.heightM) / rows];
      if (!insideLoops(s, t, face.loops)) continue;
      const o = [0, 1, 2].map((k) => face.origin[k]! + s * face.u[k]! + t * face.v[k]! + height * face.normal[k]!);
      const reachS = (1.1 * face.widthM) / columns;
      const reachT = (1.1 * face.heightM) / rows;
      for (const sign of [1, -1]) {
        const [u, v] = [face.u, face.v];
        if (caster.nearest(o[0]!, o[1]!, o[2]!, sign * u[0], sign * u[1], sign * u[2], reachS, hit))
          found.s.push(s + sign * hit.distanceM);
        if (caster.nearest(o[0]!, o[1]!, o[2]!, sign * v[0], sign * v[1], sign * v[2], reachT, hit))
          found.t.push(t + sign * hit.distanceM);
      }
    }
  }
  return { s: linesOf(found.s), t: linesOf(found.t) };
}

/** Means of groups of like numbers that are large enough. */
function linesOf(hits: number[]): number[] {
  const out: number[] = [];
  hits.sort((a, b) => a - b);
  for (let from = 0; from < hits.length; ) {
    let to = from + 1;
    while (to < hits.length && hits[to]! - hits[to - 1]! < SAME_LINE_M) to++;
    if (to - from >= LEAST_SEEN) out.push((hits[from]! + hits[to - 1]!) / 2);
    from = to;
  }
  return out;
}

/** Solids that touch a face or stand in front of it within a hand's breadth, as rectangles in its (s, t). */
export function footprintsOn(face: Face, scene: SceneModel): Footprint[] {
  const out: Footprint[] = [];
  scene.blocks.forEach((block, index) => {
    const span = rectOfBox(face, block.min, block.max);
    const touches = span.low < 0.02 && span.high > 0.01;
    const { s0, t0, s1, t1 } = span.rect;
    if (touches && s1 > 0 && t1 > 0 && s0 < face.widthM && t0 < face.heightM) out.push({ rect: span.rect, block: index });
  });
  return out;
}

/** A world box in the frame of a face: its rectangle, and its lowest and highest point above the plane. */
function rectOfBox(face: Face, min: Vec3, max: Vec3): { rect: Rect; low: number; high: number } {
  const rect = { s0: Infinity, t0: Infinity, s1: -Infinity, t1: -Infinity };
  let [low, high] = [Infinity, -Infinity];
  for (let corner = 0; corner < 8; corner++) {
    const x = (corner & 1 ? max[0] : min[0]) - face.origin[0];
    const y = (corner & 2 ? max[1] : min[1]) - face.origin[1];
    const z = (corner & 4 ? max[2] : min[2]) - face.origin[2];
    const s = x * face.u[0] + y * face.u[1] + z * face.u[2];
    const t = x * face.v[0] + y * face.v[1] + z * face.v[2];
    const h = x * face.normal[0] + y * face.normal[1] + z * face.normal[2];
    rect.s0 = Math.min(rect.s0, s);
    rect.s1 = Math.max(rect.s1, s);
    rect.t0 = Math.min(rect.t0, t);
    rect.t1 = Math.max(rect.t1, t);
    low = Math.min(low, h);
    high = Math.max(high, h);
  }
  return { rect, low, high };
}

/**
 * Grid lines of a face along s and t: at the edges of its outline, holes, covers and of what stands on it, then evenly
 * between, `coarseness` times as far apart. Ground coarsens with its distance from anything built.
 */
export function cutsOf(
  face: Face,
  footprints: readonly Rect[],
  inner: InnerLines,
  sizes: CutSizes,
  coarseness = 1,
): { s: number[]; t: number[] } {
  const s = [0, face.widthM];
  const t = [0, face.heightM];
  for (const loop of face.loops) {
    for (const [a, b] of loop) {
      s.push(a);
      t.push(b);
    }
  }
  const ground = face.kind === 'ground' || face.kind === 'water';
  for (const rect of [...face.covers, ...footprints]) {
    if (ground && Math.max(rect.s1 - rect.s0, rect.t1 - rect.t0) < GROUND_CUT_LEAST_M) continue;
    s.push(rect.s0, rect.s1);
    t.push(rect.t0, rect.t1);
  }
  const scenery = coarseness > SCENERY;
  const gap = scenery ? SCENERY_GAP_M : ground ? GROUND_GAP_M : MIN_GAP_M;
  const patchM = sizes.patchM * coarseness;
  const near = (axis: 's' | 't'): [number, number][] =>
    footprints.map((r) => (axis === 's' ? [r.s0, r.s1] : [r.t0, r.t1]) as [number, number]);
  const along = (cuts: number[], lines: readonly number[], length: number, axis: 's' | 't'): number[] =>
    subdivided(
      graded(merged(cuts, length, gap), sizes.graded && !scenery ? lines : [], patchM),
      { ...sizes, patchM },
      ground && footprints.length > 0 ? near(axis) : undefined,
    );
  return { s: along(s, inner.s, face.widthM, 's'), t: along(t, inner.t, face.heightM, 't') };
}

/** Sorted cuts inside 0…length, none nearer than the least gap; both ends stay. */
function merged(cuts: number[], length: number, gap: number): number[] {
  const out = [0];
  for (const cut of cuts.sort((a, b) => a - b)) {
    if (cut - out[out.length - 1]! >= gap && length - cut >= gap) out.push(cut);
  }
  out.push(length);
  return out;
}

/** Adds the finer cuts on both sides of inner lines, where they do not come too near to what is cut already. */
function graded(cuts: number[], lines: readonly number[], patchM: number): number[] {
  const length = cuts[cuts.length - 1]!;
  const out = [...cuts];
  const gap = Math.max(INNER_GAP_M, INNER_GAP_SHARE * patchM);
  for (const line of lines) {
    for (const step of [0, ...INNER_STEPS_M]) {
      if (step >= 2 * patchM) continue;
      for (const cut of step === 0 ? [line] : [line - step, line + step]) {
        if (cut <= 0 || cut >= length) continue;
        if (out.every((other) => Math.abs(other - cut) >= gap)) out.push(cut);
      }
    }
  }
  return out.sort((a, b) => a - b);
}

/** Split each span evenly to the wanted size at its middle. */
function subdivided(cuts: readonly number[], sizes: CutSizes, near: [number, number][] | undefined): number[] {
  const out = [cuts[0]!];
  for (let i = 0; i + 1 < cuts.length; i++) {
    const [a, b] = [cuts[i]!, cuts[i + 1]!];
    if (!near) {
      const n = Math.max(1, Math.ceil((b - a) / sizes.patchM - 0.1));
      for (let k = 1; k <= n; k++) out.push(a + ((b - a) * k) / n);
    } else {
      pushGraded(out, a, b, sizes, near);
    }
  }
  return out;
}

/** Steps that grow with the distance from the nearest built span, fitted to end exactly at b. */
function pushGraded(out: number[], a: number, b: number, sizes: CutSizes, near: readonly [number, number][]): void {
  const steps = [a];
  for (let x = a; x < b; ) {
    const distance = Math.min(...near.map(([lo, hi]) => Math.max(lo - x, x - hi, 0)));
    const grown = sizes.patchM + Math.max(0, distance - NEAR_GROUND_M) * 0.35;
    x += Math.min(grown, Math.max(sizes.patchM, sizes.farPatchM));
    steps.push(x);
  }
  const last = steps[steps.length - 1]!;
  const stretch = (b - a) / (last - a);
  for (let k = 1; k < steps.length; k++) out.push(k === steps.length - 1 ? b : a + (steps[k]! - a) * stretch);
}
