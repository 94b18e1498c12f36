import type { TileRef } from '../../lights/index.ts';
import { type ConvexPiece, clipHalfPlane, clipLoopsToRect, type Face, triangulateFace } from '../../scene/index.ts';

/** Convex piece of a face, `s, t, s, t, …`, of one material and, once cut, of one tile. */
export interface Piece {
  outline: ConvexPiece;
  material: number;
}
export interface TilePiece extends Piece {
  tile: TileRef | undefined;
}

const SMALLEST_M2 = 1e-9;

/** A face cut by its patches, later patches over earlier ones, so that the edge of every material is crisp. */
export function cutByMaterial(face: Face): Piece[] {
  let pieces: Piece[] = trianglesOf(triangulateFace(face)).map((outline) => ({ outline, material: face.material }));
  for (const patch of face.patches)
    for (const area of trianglesOf(clipLoopsToRect([patch.loop], 0, 0, face.widthM, face.heightM)))
      pieces = pieces.flatMap((piece) => repaint(piece, area, patch.material));
  return pieces;
}

/** Cuts pieces by tiles, the finest first; what no tile covers keeps `tile` undefined. */
export function cutByTiles(pieces: Piece[], tiles: readonly TileRef[]): TilePiece[] {
  const done: TilePiece[] = [];
  let rest = pieces;
  for (const tile of [...tiles].sort((a, b) => a.cellM - b.cellM)) {
    const side = 30 * tile.cellM;
    const area = [tile.s0M, tile.t0M, tile.s0M + side, tile.t0M, tile.s0M + side, tile.t0M + side, tile.s0M, tile.t0M + side];
    const next: Piece[] = [];
    for (const piece of rest) {
      if (!boundsMeet(piece.outline, area)) {
        next.push(piece);
        continue;
      }
      const { inside, outside } = split(piece.outline, area);
      if (inside) done.push({ outline: inside, material: piece.material, tile });
      for (const outline of outside) next.push({ outline, material: piece.material });
    }
    rest = next;
    if (rest.length === 0) break;
  }
  for (const piece of rest) done.push({ ...piece, tile: undefined });
  return done;
}

function trianglesOf(flat: readonly number[]): ConvexPiece[] {
  const out: ConvexPiece[] = [];
  for (let i = 0; i + 5 < flat.length; i += 6) out.push(flat.slice(i, i + 6));
  return out;
}

function repaint(piece: Piece, area: ConvexPiece, material: number): Piece[] {
  if (!boundsMeet(piece.outline, area)) return [piece];
  const { inside, outside } = split(piece.outline, area);
  if (!inside) return [piece];
  return [{ outline: inside, material }, ...outside.map((outline) => ({ outline, material: piece.material }))];
}

/** Splits a convex piece along the edges of a counter-clockwise convex area. */
function split(piece: ConvexPiece, area: ConvexPiece): { inside: ConvexPiece | undefined; outside: ConvexPiece[] } {
  const outside: ConvexPiece[] = [];
  let inside = piece;
  const n = area.length;
  for (let i = 0; i < n; i += 2) {
    const s = area[i]!;
    const t = area[i + 1]!;
    const a = area[(i + 3) % n]! - t;
    const b = s - area[(i + 2) % n]!;
    const c = a * s + b * t;
    const beyond = clipHalfPlane(inside, -a, -b, -c);
    if (areaOf(beyond) > SMALLEST_M2) outside.push(beyond);
    inside = clipHalfPlane(inside, a, b, c);
    if (areaOf(inside) <= SMALLEST_M2) return { inside: undefined, outside: [piece] };
  }
  return { inside, outside };
}

function boundsMeet(a: ConvexPiece, b: ConvexPiece): boolean {
  for (const axis of [0, 1]) {
    const [lowA, highA] = spanOf(a, axis);
    const [lowB, highB] = spanOf(b, axis);
    if (highA <= lowB || highB <= lowA) return false;
  }
  return true;
}

function spanOf(piece: ConvexPiece, axis: number): [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = axis; i < piece.length; i += 2) {
    low = Math.min(low, piece[i]!);
    high = Math.max(high, piece[i]!);
  }
  return [low, high];
}

export function areaOf(piece: ConvexPiece): number {
  let twice = 0;
  const n = piece.length;
  for (let i = 0; i < n; i += 2) twice += piece[i]! * piece[(i + 3) % n]! - piece[(i + 2) % n]! * piece[i + 1]!;
  return Math.abs(twice) / 2;
}
