import type { Vec2 } from '../../scene/index.ts';

/** Axis-aligned rectangle in the (s, t) of a face. */
export interface Rect {
  s0: number;
  t0: number;
  s1: number;
  t1: number;
}

/** Inside by the even–odd rule over all loops. */
export function insideLoops(s: number, t: number, loops: readonly (readonly Vec2[])[]): boolean {
  let inside = false;
  for (const loop of loops) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const [as, at] = loop[i]!;
      const [bs, bt] = loop[j]!;
      if (at > t !== bt > t && s < ((bs - as) * (t - at)) / (bt - at) + as) inside = !inside;
    }
  }
  return inside;
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
