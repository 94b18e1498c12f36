import type { SceneModel } from '../../scene/index.ts';
import type { PatchSet } from './patches.ts';
import type { RayTally } from './transfer.ts';

/** Rounds over both axes; each replaces a value by half itself, half what its two neighbours make of it. */
const ROUNDS = 3;
const HALF = 0.5;
/** Share of unlike hits up to which neighbours count fully, and from which not at all. */
const ALIKE = 0.1;
const UNLIKE = 0.35;

/**
 * Evens out the noise of the rays where light can only vary slowly. The pace at which indirect light can change over a
 * surface is bounded by the distance of what the surface sees (Ward & Heckbert 1992): a patch that sees something near
 * keeps its own value, one in the open leans on its neighbours, less so where they see different things (the edge of what
 * a wall hides). A value moves toward the line between its two neighbours on opposite sides, so an even fall of light stays
 * as it is; one that lacks a neighbour stays too. Linear, so layers still mix; never across a wall, an edge or to another
 * face.
 */
export interface Smoother {
  /** Smooths RGB illuminance, 3 numbers a patch, in place. */
  smooth(rgb: Float32Array): Float32Array;
}

/** Patches with a neighbour on both sides along one axis: E += k·(a·E_before + (1 − a)·E_after − E). */
interface Triples {
  patch: Int32Array;
  before: Int32Array;
  after: Int32Array;
  shareBefore: Float32Array;
  k: Float32Array;
}

export function createSmoother(scene: SceneModel, set: PatchSet, tally: RayTally): Smoother {
  const views = viewsOf(scene, set, tally);
  const along = [triplesOf(set, tally, views, 's'), triplesOf(set, tally, views, 't')];
  const old = new Float32Array(set.patches.length * 3);
  return {
    smooth(rgb) {
      for (let round = 0; round < ROUNDS; round++) for (const triples of along) relax(triples, rgb, old);
      return rgb;
    },
  };
}

function relax(triples: Triples, rgb: Float32Array, old: Float32Array): void {
  old.set(rgb);
  const { patch, before, after, shareBefore, k } = triples;
  for (let e = 0; e < patch.length; e++) {
    const [p, a, b] = [patch[e]! * 3, before[e]! * 3, after[e]! * 3];
    const share = shareBefore[e]!;
    for (let c = 0; c < 3; c++) rgb[p + c]! += k[e]! * (share * old[a + c]! + (1 - share) * old[b + c]! - old[p + c]!);
  }
}

function triplesOf(set: PatchSet, tally: RayTally, views: readonly Map<number, number>[], axis: 's' | 't'): Triples {
  const found: number[][] = [];
  for (const grid of set.grids) {
    if (!grid) continue;
    const step = axis === 's' ? 1 : grid.columns;
    const open = axis === 's' ? grid.openS : grid.openT;
    const mid = axis === 's' ? grid.sMid : grid.tMid;
    grid.cell.forEach((patch, c) => {
      if (c < step || !open[c] || !open[c - step]) return;
      const [before, after] = [grid.cell[c - step]!, grid.cell[c + step]!];
      const free = openness(tally, patch);
      if (free <= 0) return;
      const alike = Math.min(likeness(views[patch]!, views[before]!), likeness(views[patch]!, views[after]!));
      const k = HALF * alike * free;
      if (!(k > 0)) return;
      const at = axis === 's' ? c % grid.columns : Math.floor(c / grid.columns);
      found.push([patch, before, after, (mid[at + 1]! - mid[at]!) / (mid[at + 1]! - mid[at - 1]!), k]);
    });
  }
  return {
    patch: Int32Array.from(found, (f) => f[0]!),
    before: Int32Array.from(found, (f) => f[1]!),
    after: Int32Array.from(found, (f) => f[2]!),
    shareBefore: Float32Array.from(found, (f) => f[3]!),
    k: Float32Array.from(found, (f) => f[4]!),
  };
}

/** Shares of rays that meet something near: up to the first a patch is free, from the second on not at all. */
const FREE = 0.01;
const HEMMED = 0.06;

/** 1 where next to nothing near is seen, 0 where more is: a small bright thing beside a patch changes its light within a hand's breadth. */
const openness = (tally: RayTally, patch: number): number =>
  Math.min(1, Math.max(0, (HEMMED - tally.near[patch]! / tally.rays) / (HEMMED - FREE)));

/** 1 for like views, 0 for unlike. */
const likeness = (a: Map<number, number>, b: Map<number, number>): number =>
  Math.min(1, Math.max(0, (UNLIKE - unlikeness(a, b)) / (UNLIKE - ALIKE)));

/** Rays of each patch by what they met: side of a part → count. */
function viewsOf(scene: SceneModel, set: PatchSet, tally: RayTally): Map<number, number>[] {
  const groups = new Map<string, number>();
  const groupOfFace = scene.faces.map((face) => {
    const n = face.normal;
    const axis = [0, 1, 2].reduce((best, k) => (Math.abs(n[k as 0]!) > Math.abs(n[best as 0]!) + 1e-9 ? k : best), 0);
    const key = `${face.partId} ${axis} ${n[axis as 0]! > 0}`;
    const group = groups.get(key) ?? groups.size;
    groups.set(key, group);
    return group;
  });
  return tally.rows.map((row) => {
    const view = new Map<number, number>();
    row.columns.forEach((j, k) => {
      const group = groupOfFace[set.patches[j]!.face] ?? -1;
      if (group >= 0) view.set(group, (view.get(group) ?? 0) + row.bare[k]!);
    });
    return view;
  });
}

/** Σ |a − b| ÷ Σ (a + b) over what two patches see: 0 the same, 1 nothing in common; 0 where neither sees anything. */
function unlikeness(a: Map<number, number>, b: Map<number, number>): number {
  let [apart, all] = [0, 0];
  for (const [group, count] of a) {
    const other = b.get(group) ?? 0;
    apart += Math.abs(count - other);
    all += count + other;
  }
  for (const [group, count] of b) {
    if (a.has(group)) continue;
    apart += count;
    all += count;
  }
  return all > 0 ? apart / all : 0;
}
