import type { Face, SceneModel, Vec3 } from '../../scene/index.ts';

/** Festoon flex and pendant cord are 6 to 8 mm thick (trade practice). */
export const CABLE_DIAMETER_M = 0.007;
/** Lamps of one string hang no farther apart than this. */
const MOST_PITCH_M = 3;
const MOST_STEP_M = 0.6;
/** A string runs on from lamp to lamp within 35° of straight, in plan. */
const STRAIGHT_COS = Math.cos((35 * Math.PI) / 180);
const LEAST_LAMPS = 4;
/** How far past its last lamp a string may reach for a wall or post, in pitches; how long a pendant's cord may be. */
const REACH_PITCHES = 1.7;
const MOST_CORD_M = 8;
const STEPS_A_SPAN = 8;

/**
 * Cables as lines of points: a string through the lamps that hang in a sagging row and on to what holds it at either end, a
 * plumb cord over every other hanging light that has something above. Display only: they throw no shadow.
 *
 * @param held where hanging lights are held: the tops of their caps.
 */
export function hangingCables(held: readonly Vec3[], scene: Pick<SceneModel, 'faces'>): Vec3[][] {
  const cables: Vec3[][] = [];
  for (const row of rowsOf(held)) {
    if (row.length >= LEAST_LAMPS && sags(row)) cables.push(smoothLine(withEnds(row, scene.faces)));
    else for (const at of row) cables.push(...cordOver(at, scene.faces));
  }
  return cables;
}

const minus = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const plus = (a: Vec3, b: Vec3, k = 1): Vec3 => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];
const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const planM = (a: Vec3, b: Vec3): number => Math.hypot(a[0] - b[0], a[2] - b[2]);

/** Neighbours joined nearest first, two links a lamp at most and nearly straight on; every lamp is in one row. */
function rowsOf(places: readonly Vec3[]): Vec3[][] {
  const pairs: { i: number; j: number; farM: number }[] = [];
  for (let i = 0; i < places.length; i++)
    for (let j = i + 1; j < places.length; j++) {
      const farM = planM(places[i]!, places[j]!);
      if (farM > 0 && farM <= MOST_PITCH_M && Math.abs(places[i]![1] - places[j]![1]) <= MOST_STEP_M) pairs.push({ i, j, farM });
    }
  pairs.sort((a, b) => a.farM - b.farM);
  const links = places.map((): number[] => []);
  const row = places.map((_, i) => i);
  const rowOf = (i: number): number => (row[i] === i ? i : rowOf(row[i]!));
  for (const { i, j } of pairs) {
    if (rowOf(i) === rowOf(j) || !runsOn(places, links, i, j) || !runsOn(places, links, j, i)) continue;
    links[i]!.push(j);
    links[j]!.push(i);
    row[rowOf(i)] = rowOf(j);
  }
  const rows: Vec3[][] = [];
  const taken = new Set<number>();
  for (let i = 0; i < places.length; i++) {
    if (taken.has(i) || links[i]!.length > 1) continue;
    const own: Vec3[] = [];
    for (let at: number | undefined = i; at !== undefined; at = links[at]!.find((k) => !taken.has(k))) {
      taken.add(at);
      own.push(places[at]!);
    }
    rows.push(own);
  }
  return rows;
}

function runsOn(places: readonly Vec3[], links: readonly number[][], i: number, j: number): boolean {
  const before = links[i]![0];
  if (before === undefined) return true;
  if (links[i]!.length > 1) return false;
  const [a, b] = [minus(places[i]!, places[before]!), minus(places[j]!, places[i]!)];
  return a[0] * b[0] + a[2] * b[2] >= STRAIGHT_COS * Math.hypot(a[0], a[2]) * Math.hypot(b[0], b[2]);
}

/** Hanging lower in the middle than straight between its ends. */
function sags(row: readonly Vec3[]): boolean {
  const [first, middle, last] = [row[0]!, row[row.length >> 1]!, row.at(-1)!];
  const share = planM(first, middle) / planM(first, last);
  return middle[1] < first[1] + share * (last[1] - first[1]) - 0.02;
}

/** The row carried on by its own bend, or flatter, to the wall or post it meets; where it meets none it ends at its last lamp. */
function withEnds(row: readonly Vec3[], faces: readonly Face[]): Vec3[] {
  const endAt = ([a, b, c]: Vec3[]): Vec3[] => {
    const next = plus(plus(plus(a!, a!, 2), b!, -3), c!);
    const way = minus(next, a!);
    for (const climb of [1, 0.5, 0]) {
      const flatter: Vec3 = [way[0], climb * way[1], way[2]];
      const share = firstHit(a!, flatter, faces);
      if (share !== undefined && share <= REACH_PITCHES) return [plus(a!, flatter, share)];
    }
    return [];
  };
  const back = [...row].reverse();
  return [...endAt(row.slice(0, 3)), ...row, ...endAt(back.slice(0, 3))];
}

function cordOver(at: Vec3, faces: readonly Face[]): Vec3[][] {
  const share = firstHit(at, [0, 1, 0], faces);
  return share !== undefined && share <= MOST_CORD_M ? [[at, plus(at, [0, share, 0])]] : [];
}

/** Smallest t > 0 at which from + t·way meets a face, from either side. */
function firstHit(from: Vec3, way: Vec3, faces: readonly Face[]): number | undefined {
  let nearest: number | undefined;
  for (const face of faces) {
    const slope = dot(way, face.normal);
    if (Math.abs(slope) < 1e-9) continue;
    const t = dot(minus(face.origin, from), face.normal) / slope;
    if (t <= 1e-4 || (nearest !== undefined && t >= nearest)) continue;
    const p = minus(plus(from, way, t), face.origin);
    if (isInside(face, dot(p, face.u), dot(p, face.v))) nearest = t;
  }
  return nearest;
}

function isInside(face: Face, s: number, t: number): boolean {
  let inside = false;
  for (const loop of face.loops)
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const [a, b] = [loop[i]!, loop[j]!];
      if (a[1] > t !== b[1] > t && s < ((b[0] - a[0]) * (t - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
    }
  return inside;
}

/** Points of a smooth line through the given ones (Catmull and Rom 1974). */
function smoothLine(points: readonly Vec3[]): Vec3[] {
  const out: Vec3[] = [points[0]!];
  for (let i = 0; i + 1 < points.length; i++) {
    const [b, c] = [points[i]!, points[i + 1]!];
    const a = points[i - 1] ?? plus(plus(b, b), c, -1);
    const d = points[i + 2] ?? plus(plus(c, c), b, -1);
    for (let k = 1; k <= STEPS_A_SPAN; k++) {
      const t = k / STEPS_A_SPAN;
      const at = (n: 0 | 1 | 2): number =>
        b[n] + 0.5 * t * (c[n] - a[n] + t * (2 * a[n] - 5 * b[n] + 4 * c[n] - d[n] + t * (3 * (b[n] - c[n]) + d[n] - a[n])));
      out.push([at(0), at(1), at(2)]);
    }
  }
  return out;
}
