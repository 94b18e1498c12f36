import type { Vec2, Vec3 } from '../records/index.ts';
import { boundsOf, type ConvexPiece, clipToRect, convexPieces, pointInLoops, signedArea } from './polygon.ts';
import type { Face } from './types.ts';

interface Piece {
  points: ConvexPiece;
  s0: number;
  t0: number;
  s1: number;
  t1: number;
}

/** Cut once per face object; faces are never changed after `buildScene`. */
const piecesOf = new WeakMap<Face, Piece[]>();

function facePieces(face: Face): Piece[] {
  let pieces = piecesOf.get(face);
  if (!pieces) {
    pieces = convexPieces(face.loops).map((points) => {
      const piece = { points, s0: Infinity, t0: Infinity, s1: -Infinity, t1: -Infinity };
      for (let i = 0; i < points.length; i += 2) {
        piece.s0 = Math.min(piece.s0, points[i]!);
        piece.s1 = Math.max(piece.s1, points[i]!);
        piece.t0 = Math.min(piece.t0, points[i + 1]!);
        piece.t1 = Math.max(piece.t1, points[i + 1]!);
      }
      return piece;
    });
    piecesOf.set(face, pieces);
  }
  return pieces;
}

/** World point of a face's (s, t), metres. */
export function facePoint(face: Pick<Face, 'origin' | 'u' | 'v'>, s: number, t: number): Vec3 {
  const { origin, u, v } = face;
  return [origin[0] + s * u[0] + t * v[0], origin[1] + s * u[1] + t * v[1], origin[2] + s * u[2] + t * v[2]];
}

/** (s, t) of the foot of a world point on the face's plane, and its height over that plane along the normal. */
export function faceCoordinates(
  face: Pick<Face, 'origin' | 'u' | 'v' | 'normal'>,
  p: Vec3,
): { s: number; t: number; heightM: number } {
  const x = p[0] - face.origin[0];
  const y = p[1] - face.origin[1];
  const z = p[2] - face.origin[2];
  const { u, v, normal: n } = face;
  return {
    s: x * u[0] + y * u[1] + z * u[2],
    t: x * v[0] + y * v[1] + z * v[2],
    heightM: x * n[0] + y * n[1] + z * n[2],
  };
}

/** Area of the polygon without its holes, square metres (even–odd rule). Covers still count: they are surface, though hidden. */
export function faceAreaM2(face: Face): number {
  let area = 0;
  for (const { points } of facePieces(face)) {
    let twice = 0;
    for (let i = 0; i < points.length; i += 2) {
      const j = (i + 2) % points.length;
      twice += points[i]! * points[j + 1]! - points[j]! * points[i + 1]!;
    }
    area += twice / 2;
  }
  return area;
}

/** Rising edges of a face's loops, flat: lower t, upper t, s at the lower end, ds/dt. Level edges never count. */
const edgesOf = new WeakMap<Face, Float64Array>();

function faceEdges(face: Face): Float64Array {
  let edges = edgesOf.get(face);
  if (!edges) {
    const list: number[] = [];
    for (const loop of face.loops) {
      loop.forEach((a, i) => {
        const b = loop[(i + 1) % loop.length]!;
        if (a[1] === b[1]) return;
        const [low, high] = a[1] < b[1] ? [a, b] : [b, a];
        list.push(low[1], high[1], low[0], (high[0] - low[0]) / (high[1] - low[1]));
      });
    }
    edges = Float64Array.from(list);
    edgesOf.set(face, edges);
  }
  return edges;
}

/** True when (s, t) lies on the face and in none of its holes. Covers are not asked: see `pointCovered`. */
export function pointInFace(face: Face, s: number, t: number): boolean {
  if (s < 0 || t < 0 || s > face.widthM || t > face.heightM) return false;
  const edges = faceEdges(face);
  let inside = false;
  for (let i = 0; i < edges.length; i += 4) {
    const low = edges[i]!;
    if (t >= low && t < edges[i + 1]! && s < edges[i + 2]! + (t - low) * edges[i + 3]!) inside = !inside;
  }
  return inside;
}

/** True when (s, t) is hidden behind something fixed to the face or standing on it. */
export function pointCovered(face: Face, s: number, t: number): boolean {
  for (const c of face.covers) if (s > c.s0 && s < c.s1 && t > c.t0 && t < c.t1) return true;
  return false;
}

/** True when (s, t) is on the face, open to the air and painted with the patch last laid there; else the face's material. */
export function materialAt(face: Face, s: number, t: number): number {
  for (let i = face.patches.length - 1; i >= 0; i--) {
    const patch = face.patches[i]!;
    if (pointInLoops([patch.loop], s, t)) return patch.material;
  }
  return face.material;
}

/**
 * Triangles of the part of a face inside a rectangle of its own frame: flat `s, t` pairs, six numbers a triangle,
 * counter-clockwise about the normal.
 */
export function clipFaceToRect(face: Face, s0: number, t0: number, s1: number, t1: number): number[] {
  const out: number[] = [];
  for (const piece of facePieces(face)) {
    if (piece.s0 >= s1 || piece.s1 <= s0 || piece.t0 >= t1 || piece.t1 <= t0) continue;
    const whole = piece.s0 >= s0 && piece.s1 <= s1 && piece.t0 >= t0 && piece.t1 <= t1;
    pushFan(out, whole ? piece.points : clipToRect(piece.points, s0, t0, s1, t1));
  }
  return out;
}

/** The same for a loop that belongs to no face (a patch): cut anew at every call. */
export function clipLoopsToRect(loops: Vec2[][], s0: number, t0: number, s1: number, t1: number): number[] {
  const out: number[] = [];
  for (const points of convexPieces(loops)) pushFan(out, clipToRect(points, s0, t0, s1, t1));
  return out;
}

/** Whole face as triangles, `s, t` pairs. */
export function triangulateFace(face: Face): number[] {
  const out: number[] = [];
  for (const piece of facePieces(face)) pushFan(out, piece.points);
  return out;
}

/** Fan from the first corner; triangles without area are left out. */
function pushFan(out: number[], p: ConvexPiece): void {
  for (let i = 2; i + 3 < p.length; i += 2) {
    const area = (p[i]! - p[0]!) * (p[i + 3]! - p[1]!) - (p[i + 2]! - p[0]!) * (p[i + 1]! - p[1]!);
    if (area > 1e-12) out.push(p[0]!, p[1]!, p[i]!, p[i + 1]!, p[i + 2]!, p[i + 3]!);
  }
}

/** Moves loops so that the smallest s and t are 0; says by how much. */
export function normaliseLoops(loops: Vec2[][]): { loops: Vec2[][]; s0: number; t0: number; widthM: number; heightM: number } {
  const { s0, t0, s1, t1 } = boundsOf(loops);
  const moved = s0 === 0 && t0 === 0 ? loops : loops.map((l) => l.map(([s, t]): Vec2 => [s - s0, t - t0]));
  return { loops: moved, s0, t0, widthM: s1 - s0, heightM: t1 - t0 };
}

/** Loops turned so that the first runs counter-clockwise. */
export function counterClockwise(loop: Vec2[]): Vec2[] {
  return signedArea(loop) < 0 ? [...loop].reverse() : loop;
}
