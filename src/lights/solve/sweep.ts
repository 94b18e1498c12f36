import type { TileNode } from '../tiles/node.ts';

/** Room round what was swept, metres. */
const SLACK_M = 0.01;

/** Corners of the rectangle round a tile's valid samples (12 numbers), then the box round them (6). */
export type TileCorners = Float64Array;

export function tileCorners(node: TileNode): TileCorners {
  const f = node.frame;
  const out = new Float64Array(18);
  const corners = [node.sMin, node.tMin, node.sMax, node.tMin, node.sMax, node.tMax, node.sMin, node.tMax];
  for (let k = 0; k < 3; k++) {
    out[12 + k] = Infinity;
    out[15 + k] = -Infinity;
    for (let c = 0; c < 4; c++) {
      const x = f[k]! + corners[c * 2]! * f[3 + k]! + corners[c * 2 + 1]! * f[6 + k]!;
      out[c * 3 + k] = x;
      out[12 + k] = Math.min(out[12 + k]!, x);
      out[15 + k] = Math.max(out[15 + k]!, x);
    }
  }
  return out;
}

/** Inward normals of the four sides through the lamp, 3 numbers each. */
const sides = new Float64Array(12);

/**
 * May anything in one of the boxes stand between a lens and a tile? The hull of both is taken as a pyramid over the tile
 * and the box round lamp and tile; boxes are widened by the lens. Never says no wrongly.
 */
export function sweptBetween(
  boxes: Float64Array,
  corners: TileCorners,
  frame: Float64Array,
  at: ArrayLike<number>,
  lensRadiusM: number,
): boolean {
  const room = lensRadiusM + SLACK_M;
  const [lx, ly, lz] = [at[0]!, at[1]!, at[2]!];
  const minX = Math.min(lx, corners[12]!) - room;
  const minY = Math.min(ly, corners[13]!) - room;
  const minZ = Math.min(lz, corners[14]!) - room;
  const maxX = Math.max(lx, corners[15]!) + room;
  const maxY = Math.max(ly, corners[16]!) + room;
  const maxZ = Math.max(lz, corners[17]!) + room;
  let aimed = false;
  for (let b = 0; b < boxes.length; b += 6) {
    if (boxes[b]! > maxX || boxes[b + 1]! > maxY || boxes[b + 2]! > maxZ) continue;
    if (boxes[b + 3]! < minX || boxes[b + 4]! < minY || boxes[b + 5]! < minZ) continue;
    const plane = frame[0]! * frame[9]! + frame[1]! * frame[10]! + frame[2]! * frame[11]!;
    if (farthest(boxes, b, frame[9]!, frame[10]!, frame[11]!) < plane - room) continue;
    if (!aimed) {
      aimSides(corners, lx, ly, lz);
      aimed = true;
    }
    if (!outsideSides(boxes, b, lx, ly, lz, room)) return true;
  }
  return false;
}

function aimSides(corners: TileCorners, lx: number, ly: number, lz: number): void {
  let [cx, cy, cz] = [0, 0, 0];
  for (let c = 0; c < 12; c += 3) {
    cx += (corners[c]! - lx) / 4;
    cy += (corners[c + 1]! - ly) / 4;
    cz += (corners[c + 2]! - lz) / 4;
  }
  for (let c = 0; c < 4; c++) {
    const a = c * 3;
    const b = ((c + 1) % 4) * 3;
    const [ax, ay, az] = [corners[a]! - lx, corners[a + 1]! - ly, corners[a + 2]! - lz];
    const [bx, by, bz] = [corners[b]! - lx, corners[b + 1]! - ly, corners[b + 2]! - lz];
    const x = ay * bz - az * by;
    const y = az * bx - ax * bz;
    const z = ax * by - ay * bx;
    const turn = x * cx + y * cy + z * cz < 0 ? -1 : 1;
    const length = Math.sqrt(x * x + y * y + z * z);
    const scale = length > 1e-12 ? turn / length : 0;
    sides[a] = x * scale;
    sides[a + 1] = y * scale;
    sides[a + 2] = z * scale;
  }
}

function outsideSides(boxes: Float64Array, b: number, lx: number, ly: number, lz: number, room: number): boolean {
  for (let c = 0; c < 12; c += 3) {
    const [x, y, z] = [sides[c]!, sides[c + 1]!, sides[c + 2]!];
    if (farthest(boxes, b, x, y, z) < x * lx + y * ly + z * lz - room) return true;
  }
  return false;
}

function farthest(boxes: Float64Array, b: number, x: number, y: number, z: number): number {
  return (
    x * (x > 0 ? boxes[b + 3]! : boxes[b]!) +
    y * (y > 0 ? boxes[b + 4]! : boxes[b + 1]!) +
    z * (z > 0 ? boxes[b + 5]! : boxes[b + 2]!)
  );
}

/** The same for a group of points in a sphere: the segment from its centre to the lamp against boxes widened by its radius. */
export function sweptToward(
  boxes: Float64Array,
  centre: ArrayLike<number>,
  radiusM: number,
  at: ArrayLike<number>,
  lensRadiusM: number,
): boolean {
  const room = Math.max(radiusM, lensRadiusM) + SLACK_M;
  for (let b = 0; b < boxes.length; b += 6) {
    let from = 0;
    let to = 1;
    for (let k = 0; k < 3 && from <= to; k++) {
      const o = centre[k]!;
      const d = at[k]! - o;
      const low = boxes[b + k]! - room - o;
      const high = boxes[b + 3 + k]! + room - o;
      if (Math.abs(d) < 1e-12) {
        if (low > 0 || high < 0) to = -1;
        continue;
      }
      from = Math.max(from, Math.min(low / d, high / d));
      to = Math.min(to, Math.max(low / d, high / d));
    }
    if (from <= to) return true;
  }
  return false;
}

/** Does a box of the list come within `room` of a tile's own square, border included? */
export function sweptOver(boxes: Float64Array, node: TileNode, room: number): boolean {
  const { s0M, t0M, cellM } = node.ref;
  const f = node.frame;
  const [s0, t0] = [s0M - cellM, t0M - cellM];
  const side = cellM * 32;
  for (let b = 0; b < boxes.length; b += 6) {
    let apart = false;
    for (let k = 0; k < 3 && !apart; k++) {
      const x = f[k]! + s0 * f[3 + k]! + t0 * f[6 + k]!;
      const low = x + Math.min(0, side * f[3 + k]!) + Math.min(0, side * f[6 + k]!);
      const high = x + Math.max(0, side * f[3 + k]!) + Math.max(0, side * f[6 + k]!);
      apart = boxes[b + k]! > high + room || boxes[b + 3 + k]! < low - room;
    }
    if (!apart) return true;
  }
  return false;
}
