import type { Vec3 } from '../../src/scene/index.ts';

export interface Box {
  min: Vec3;
  max: Vec3;
}

type P2 = readonly [number, number];

/**
 * Where a line through a receiving plane lies in the shadows of boxes, exactly: the eight corners of each box, projected from
 * the lamp onto the plane, have a convex hull that is its shadow; the line is cut by each hull and the cuts are joined.
 *
 * @param toPlane world point → place on the plane as seen from the lamp; undefined behind the lamp.
 * @param from line in plane coordinates: from + k·direction, direction of length 1.
 */
export function shadowIntervals(boxes: readonly Box[], toPlane: (p: Vec3) => P2, from: P2, direction: P2): [number, number][] {
  const spans: [number, number][] = [];
  for (const { min, max } of boxes) {
    const corners = Array.from({ length: 8 }, (_, c) =>
      toPlane([(c & 1 ? max : min)[0], (c & 2 ? max : min)[1], (c & 4 ? max : min)[2]]),
    );
    const span = cutHull(corners, from, direction);
    if (span) spans.push(span);
  }
  spans.sort((a, b) => a[0] - b[0]);
  const joined: [number, number][] = [];
  for (const span of spans) {
    const last = joined.at(-1);
    if (last && span[0] <= last[1]) last[1] = Math.max(last[1], span[1]);
    else joined.push([...span]);
  }
  return joined;
}

/** A line against the convex hull of a few points: the extreme crossings over all pairs of points on either side of it. */
function cutHull(points: readonly P2[], from: P2, d: P2): [number, number] | undefined {
  const side = points.map(([s, t]) => d[0] * (t - from[1]) - d[1] * (s - from[0]));
  const along = points.map(([s, t]) => d[0] * (s - from[0]) + d[1] * (t - from[1]));
  let low = Infinity;
  let high = -Infinity;
  for (let a = 0; a < points.length; a++) {
    for (let b = a + 1; b < points.length; b++) {
      if (side[a]! * side[b]! > 0 || side[a] === side[b]) continue;
      const k = along[a]! + ((along[b]! - along[a]!) * side[a]!) / (side[a]! - side[b]!);
      low = Math.min(low, k);
      high = Math.max(high, k);
    }
  }
  return low < high ? [low, high] : undefined;
}

/** Where f crosses a level between a and b, by halving. */
export function crossing(f: (x: number) => number, level: number, a: number, b: number): number {
  let [low, high] = [a, b];
  const above = f(low) > level;
  for (let k = 0; k < 40; k++) {
    const middle = (low + high) / 2;
    if (f(middle) > level === above) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
