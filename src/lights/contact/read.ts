import { TILE_CELLS, type TileRef } from '../types.ts';
import { CONTACT_CELL_M, type ContactMap, type ContactSquare, SQUARE_M, squareNumber } from './map.ts';
import { DIRECTIONS, SIDE } from './shade.ts';

type Squares = ReadonlyMap<number, ContactSquare>;

/** Squares that a tile lies on. */
function* squaresUnder(squares: Squares, { s0M, t0M, cellM }: TileRef): Generator<ContactSquare, void, void> {
  const side = cellM * TILE_CELLS;
  const first = (at: number): number => Math.max(0, Math.floor(at / SQUARE_M + 1e-6));
  const last = (at: number): number => Math.max(0, Math.ceil((at + side) / SQUARE_M - 1e-6) - 1);
  for (let j = first(t0M); j <= last(t0M); j++) {
    for (let i = first(s0M); i <= last(s0M); i++) {
      const square = squares.get(squareNumber(i, j));
      if (square) yield square;
    }
  }
}

/** Cell that contact shade asks for on a tile, metres; ∞ where there is none to be seen. */
export function contactCellM(map: ContactMap | undefined, faceId: string, ref: TileRef): number {
  const squares = map?.faces.get(faceId);
  let least = Infinity;
  if (squares) for (const { wantedCellM } of squaresUnder(squares, ref)) least = Math.min(least, wantedCellM);
  return least;
}

/** Does any square with shade lie under a tile, or did one come, go or change between two maps? */
export function contactDiffers(a: ContactMap | undefined, b: ContactMap | undefined, faceId: string, ref: TileRef): boolean {
  const [was, is] = [a?.faces.get(faceId), b?.faces.get(faceId)];
  const keys = (squares: Squares | undefined): string =>
    squares ? [...squaresUnder(squares, ref)].map((q) => `${q.s0M},${q.t0M},${q.wantedCellM},${q.key}`).join() : '';
  return keys(was) !== keys(is);
}

/** Hidden share at the samples of a tile, 1,024 numbers; undefined where there is none. */
export function hiddenShares(map: ContactMap, faceId: string, ref: TileRef): Float32Array | undefined {
  const squares = map.faces.get(faceId);
  if (!squares || squaresUnder(squares, ref).next().done) return undefined;
  const { s0M, t0M, cellM } = ref;
  const out = new Float32Array(SIDE * SIDE);
  for (let j = 0; j < SIDE; j++) {
    for (let i = 0; i < SIDE; i++) {
      out[j * SIDE + i] = hiddenShare(squares, s0M + (i - 0.5) * cellM, t0M + (j - 0.5) * cellM);
    }
  }
  return out;
}

/** Straight between the four samples of the map round a place. */
export function hiddenShare(squares: Squares, s: number, t: number): number {
  const i = Math.max(0, Math.floor(s / SQUARE_M));
  const j = Math.max(0, Math.floor(t / SQUARE_M));
  const square = squares.get(squareNumber(i, j));
  if (!square) return 0;
  const x = Math.min(SIDE - 1, Math.max(0, (s - square.s0M) / CONTACT_CELL_M + 0.5));
  const y = Math.min(SIDE - 1, Math.max(0, (t - square.t0M) / CONTACT_CELL_M + 0.5));
  const a = Math.min(SIDE - 2, x | 0);
  const b = Math.min(SIDE - 2, y | 0);
  const k = b * SIDE + a;
  const { hidden } = square;
  const low = hidden[k]! + (x - a) * (hidden[k + 1]! - hidden[k]!);
  const high = hidden[k + SIDE]! + (x - a) * (hidden[k + SIDE + 1]! - hidden[k + SIDE]!);
  return (low + (y - b) * (high - low)) / DIRECTIONS;
}
