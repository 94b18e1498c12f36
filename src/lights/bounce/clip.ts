import type { Vec2 } from '../../scene/index.ts';

/** Axis-aligned rectangle in the (s, t) of a face. */
export interface Rect {
  s0: number;
  t0: number;
  s1: number;
  t1: number;
}

/** Edges of a loop as numbers, four each (from s, t, to s, t), with its bounds. */
interface FlatLoop {
  edges: Float64Array;
  bounds: Rect;
}
const flatLoops = new WeakMap<readonly Vec2[], FlatLoop>();

function flatOf(loop: readonly Vec2[]): FlatLoop {
  let flat = flatLoops.get(loop);
  if (!flat) {
    const edges = new Float64Array(loop.length * 4);
    loop.forEach((to, i) => {
      const from = loop[(i + loop.length - 1) % loop.length]!;
      edges.set([to[0], to[1], from[0], from[1]], i * 4);
    });
    flat = { edges, bounds: boundsOf(loop) };
    flatLoops.set(loop, flat);
  }
  return flat;
}

export function boundsOf(loop: readonly Vec2[]): Rect {
  const out = { s0: Infinity, t0: Infinity, s1: -Infinity, t1: -Infinity };
  for (const [s, t] of loop) {
    out.s0 = Math.min(out.s0, s);
    out.s1 = Math.max(out.s1, s);
    out.t0 = Math.min(out.t0, t);
    out.t1 = Math.max(out.t1, t);
  }
  return out;
}

/** Inside by the even–odd rule over all loops, which must not change once asked about. */
export function insideLoops(s: number, t: number, loops: readonly (readonly Vec2[])[]): boolean {
  let inside = false;
  for (const loop of loops) {
    const { edges, bounds } = flatOf(loop);
    if (s > bounds.s1 || t < bounds.t0 || t > bounds.t1) continue;
    for (let e = 0; e < edges.length; e += 4) {
      const at = edges[e + 1]!;
      const bt = edges[e + 3]!;
      if (at > t !== bt > t && s < ((edges[e + 2]! - edges[e]!) * (t - at)) / (bt - at) + edges[e]!) inside = !inside;
    }
  }
  return inside;
}

/** Do the bounds of a loop meet a rectangle? */
export function meetsRect(loop: readonly Vec2[], rect: Rect): boolean {
  const { bounds: b } = flatOf(loop);
  return b.s0 < rect.s1 && b.s1 > rect.s0 && b.t0 < rect.t1 && b.t1 > rect.t0;
}

/** A loop cut to a rectangle (Sutherland–Hodgman). */
export function clipToRect(loop: readonly Vec2[], rect: Rect): Vec2[] {
  let out = clipSide(loop, 0, rect.s0, 1);
  out = clipSide(out, 0, rect.s1, -1);
  out = clipSide(out, 1, rect.t0, 1);
  return clipSide(out, 1, rect.t1, -1);
}

/** Keep the part of a loop where sign · (coordinate − limit) ≥ 0. */
function clipSide(loop: readonly Vec2[], axis: 0 | 1, limit: number, sign: number): Vec2[] {
  const out: Vec2[] = [];
  for (let i = 0; i < loop.length; i++) {
    const a = loop[i]!;
    const b = loop[(i + 1) % loop.length]!;
    const da = sign * (a[axis] - limit);
    const db = sign * (b[axis] - limit);
    if (da >= 0) out.push(a);
    if (da >= 0 !== db >= 0) {
      const k = da / (da - db);
      out.push([a[0] + (b[0] - a[0]) * k, a[1] + (b[1] - a[1]) * k]);
    }
  }
  return out;
}

export function loopArea(loop: readonly Vec2[]): number {
  let twice = 0;
  for (let i = 0; i < loop.length; i++) {
    const a = loop[i]!;
    const b = loop[(i + 1) % loop.length]!;
    twice += a[0] * b[1] - b[0] * a[1];
  }
  return Math.abs(twice) / 2;
}

/**
 * Depth of each loop in the others: even loops add area, odd ones (holes) take it away. Loops touch at most at their edges.
 */
export function loopSigns(loops: readonly (readonly Vec2[])[]): number[] {
  return loops.map((loop, i) => {
    const inner = insidePoint(loop);
    let depth = 0;
    loops.forEach((other, j) => {
      if (j !== i && loopArea(other) > loopArea(loop) && insideLoops(inner[0], inner[1], [other])) depth++;
    });
    return depth % 2 === 0 ? 1 : -1;
  });
}

/** A point just inside a loop: beside the middle of its longest edge. */
function insidePoint(loop: readonly Vec2[]): Vec2 {
  let best: Vec2 = loop[0]!;
  let longest = 0;
  for (let i = 0; i < loop.length; i++) {
    const a = loop[i]!;
    const b = loop[(i + 1) % loop.length]!;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (length <= longest) continue;
    longest = length;
    const step = Math.min(1e-4, length * 1e-3) / length;
    const [mx, my] = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
    const [nx, ny] = [-(b[1] - a[1]) * step, (b[0] - a[0]) * step];
    best = insideLoops(mx + nx, my + ny, [loop]) ? [mx + nx, my + ny] : [mx - nx, my - ny];
  }
  return best;
}
