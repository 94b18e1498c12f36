import type { Vec2 } from '../records/index.ts';

/** Convex polygon as a flat list `s, t, s, t, …`, counter-clockwise. */
export type ConvexPiece = number[];

const EPS = 1e-9;

/** Signed area by the shoelace formula, A = ½ Σ (xᵢyᵢ₊₁ − xᵢ₊₁yᵢ); counter-clockwise is positive. */
export function signedArea(loop: readonly Vec2[]): number {
  let twice = 0;
  for (let i = 0; i < loop.length; i++) {
    const a = loop[i]!;
    const b = loop[(i + 1) % loop.length]!;
    twice += a[0] * b[1] - b[0] * a[1];
  }
  return twice / 2;
}

export function boundsOf(loops: readonly (readonly Vec2[])[]): { s0: number; t0: number; s1: number; t1: number } {
  const box = { s0: Infinity, t0: Infinity, s1: -Infinity, t1: -Infinity };
  for (const loop of loops) {
    for (const [s, t] of loop) {
      box.s0 = Math.min(box.s0, s);
      box.t0 = Math.min(box.t0, t);
      box.s1 = Math.max(box.s1, s);
      box.t1 = Math.max(box.t1, t);
    }
  }
  return box;
}

/** Even–odd test of a point against all loops together. */
export function pointInLoops(loops: readonly (readonly Vec2[])[], s: number, t: number): boolean {
  let inside = false;
  for (const loop of loops) {
    let a = loop[loop.length - 1]!;
    for (let i = 0; i < loop.length; i++) {
      const b = loop[i]!;
      if (a[1] > t !== b[1] > t && s < a[0] + ((t - a[1]) * (b[0] - a[0])) / (b[1] - a[1])) inside = !inside;
      a = b;
    }
  }
  return inside;
}

interface Edge {
  s0: number;
  t0: number;
  s1: number;
  t1: number;
}

/** Edges of all loops, turned upward; level edges bound no slab and are left out. */
function risingEdges(loops: readonly (readonly Vec2[])[]): Edge[] {
  const edges: Edge[] = [];
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i++) {
      const a = loop[i]!;
      const b = loop[(i + 1) % loop.length]!;
      if (Math.abs(a[1] - b[1]) <= EPS) continue;
      edges.push(a[1] < b[1] ? { s0: a[0], t0: a[1], s1: b[0], t1: b[1] } : { s0: b[0], t0: b[1], s1: a[0], t1: a[1] });
    }
  }
  return edges;
}

function sAt(e: Edge, t: number): number {
  if (t <= e.t0) return e.s0;
  if (t >= e.t1) return e.s1;
  return e.s0 + ((t - e.t0) * (e.s1 - e.s0)) / (e.t1 - e.t0);
}

/** Heights where the set of edges changes: vertices, and crossings of slanted edges. */
function slabLimits(loops: readonly (readonly Vec2[])[], edges: Edge[]): number[] {
  const all = loops.flatMap((loop) => loop.map((p) => p[1]));
  const slanted = edges.filter((e) => Math.abs(e.s0 - e.s1) > EPS);
  for (const a of slanted) {
    for (const b of edges) {
      const t = crossingT(a, b);
      if (t !== undefined) all.push(t);
    }
  }
  all.sort((x, y) => x - y);
  return all.filter((t, i) => i === 0 || t - all[i - 1]! > EPS);
}

function crossingT(a: Edge, b: Edge): number | undefined {
  if (a === b || a.t1 <= b.t0 || b.t1 <= a.t0) return undefined;
  if (Math.max(a.s0, a.s1) < Math.min(b.s0, b.s1) || Math.max(b.s0, b.s1) < Math.min(a.s0, a.s1)) return undefined;
  const ka = (a.s1 - a.s0) / (a.t1 - a.t0);
  const kb = (b.s1 - b.s0) / (b.t1 - b.t0);
  if (Math.abs(ka - kb) < EPS) return undefined;
  const t = (b.s0 - kb * b.t0 - a.s0 + ka * a.t0) / (ka - kb);
  const low = Math.max(a.t0, b.t0);
  const high = Math.min(a.t1, b.t1);
  return t > low + EPS && t < high - EPS ? t : undefined;
}

interface OpenPiece {
  left: Edge;
  right: Edge;
  from: number;
  to: number;
}

/**
 * Cuts a polygon with holes (even–odd rule; touching, nested and crossing loops allowed) into convex trapezoids by level
 * slabs, and joins slabs that keep both edges. Robust: no bridging of holes, no ear test.
 */
export function convexPieces(loops: readonly (readonly Vec2[])[]): ConvexPiece[] {
  const edges = risingEdges(loops);
  const limits = slabLimits(loops, edges);
  const pieces: ConvexPiece[] = [];
  let open: OpenPiece[] = [];
  for (let k = 0; k + 1 < limits.length; k++) {
    const low = limits[k]!;
    const high = limits[k + 1]!;
    const middle = (low + high) / 2;
    const crossing = edges.filter((e) => e.t0 < middle && e.t1 > middle).sort((a, b) => sAt(a, middle) - sAt(b, middle));
    const next: OpenPiece[] = [];
    for (let i = 0; i + 1 < crossing.length; i += 2) {
      const left = crossing[i]!;
      const right = crossing[i + 1]!;
      if (sAt(right, middle) - sAt(left, middle) <= EPS) continue;
      const before = open.find((o) => o.left === left && o.right === right && o.to === low);
      if (before) before.to = high;
      next.push(before ?? { left, right, from: low, to: high });
    }
    for (const o of open) if (!next.includes(o)) pieces.push(trapezoid(o));
    open = next;
  }
  for (const o of open) pieces.push(trapezoid(o));
  return pieces;
}

function trapezoid({ left, right, from, to }: OpenPiece): ConvexPiece {
  const l0 = sAt(left, from);
  const r0 = sAt(right, from);
  const r1 = sAt(right, to);
  const l1 = sAt(left, to);
  const piece = [l0, from];
  if (r0 - l0 > EPS) piece.push(r0, from);
  piece.push(r1, to);
  if (r1 - l1 > EPS) piece.push(l1, to);
  return piece;
}

/** Keeps the part of a polygon where a·s + b·t ≤ c (Sutherland–Hodgman step). */
export function clipHalfPlane(polygon: ConvexPiece, a: number, b: number, c: number): ConvexPiece {
  const out: ConvexPiece = [];
  const n = polygon.length;
  for (let i = 0; i < n; i += 2) {
    const s = polygon[i]!;
    const t = polygon[i + 1]!;
    const s2 = polygon[(i + 2) % n]!;
    const t2 = polygon[(i + 3) % n]!;
    const d = a * s + b * t - c;
    const d2 = a * s2 + b * t2 - c;
    if (d <= 0) out.push(s, t);
    if (d < 0 !== d2 < 0 && d !== 0 && d2 !== 0) {
      const k = d / (d - d2);
      out.push(s + k * (s2 - s), t + k * (t2 - t));
    }
  }
  return out;
}

/** Part of a polygon inside an upright rectangle. */
export function clipToRect(polygon: ConvexPiece, s0: number, t0: number, s1: number, t1: number): ConvexPiece {
  let p = clipHalfPlane(polygon, -1, 0, -s0);
  if (p.length > 0) p = clipHalfPlane(p, 1, 0, s1);
  if (p.length > 0) p = clipHalfPlane(p, 0, -1, -t0);
  if (p.length > 0) p = clipHalfPlane(p, 0, 1, t1);
  return p;
}

/** Part of any simple loop inside a counter-clockwise convex piece; concave results hang together by edges of no width. */
export function clipToConvex(loop: readonly Vec2[], convex: ConvexPiece): Vec2[] {
  let p: ConvexPiece = loop.flat();
  const n = convex.length;
  for (let i = 0; i < n && p.length > 0; i += 2) {
    const ds = convex[(i + 2) % n]! - convex[i]!;
    const dt = convex[(i + 3) % n]! - convex[i + 1]!;
    p = clipHalfPlane(p, dt, -ds, dt * convex[i]! - ds * convex[i + 1]!);
  }
  return toLoop(p);
}

export function toLoop(piece: ConvexPiece): Vec2[] {
  const loop: Vec2[] = [];
  for (let i = 0; i < piece.length; i += 2) loop.push([piece[i]!, piece[i + 1]!]);
  return loop;
}

/** Convex hull, counter-clockwise (Andrew's monotone chain). */
export function convexHull(points: readonly Vec2[]): Vec2[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list: readonly Vec2[]): Vec2[] => {
    const chain: Vec2[] = [];
    for (const p of list) {
      while (chain.length > 1 && turn(chain[chain.length - 2]!, chain[chain.length - 1]!, p) <= EPS) chain.pop();
      chain.push(p);
    }
    chain.pop();
    return chain;
  };
  return [...half(sorted), ...half([...sorted].reverse())];
}

function turn(a: Vec2, b: Vec2, c: Vec2): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

/** Moves every edge of a counter-clockwise loop inward by its own distance; undefined when nothing is left. */
export function insetLoop(loop: readonly Vec2[], distances: readonly number[]): Vec2[] | undefined {
  const n = loop.length;
  const lines = loop.map((a, i) => {
    const b = loop[(i + 1) % n]!;
    const l = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const ns = -(b[1] - a[1]) / l;
    const nt = (b[0] - a[0]) / l;
    return { ns, nt, c: ns * a[0] + nt * a[1] + distances[i]! };
  });
  const moved: Vec2[] = [];
  for (let i = 0; i < n; i++) {
    const p = lines[(i + n - 1) % n]!;
    const q = lines[i]!;
    const det = p.ns * q.nt - q.ns * p.nt;
    moved.push(
      Math.abs(det) < EPS
        ? [loop[i]![0] + q.ns * distances[i]!, loop[i]![1] + q.nt * distances[i]!]
        : [(p.c * q.nt - q.c * p.nt) / det, (p.ns * q.c - q.ns * p.c) / det],
    );
  }
  const kept = moved.every((a, i) => {
    const b = moved[(i + 1) % n]!;
    const before = loop[i]!;
    const after = loop[(i + 1) % n]!;
    return (b[0] - a[0]) * (after[0] - before[0]) + (b[1] - a[1]) * (after[1] - before[1]) > 0;
  });
  return kept && signedArea(moved) > EPS ? moved : undefined;
}
