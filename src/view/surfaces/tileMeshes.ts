import { TILE_CELLS, type TileRef } from '../../lights/index.ts';
import type { SurfaceClass } from '../../materials/index.ts';
import type { Face, SceneModel } from '../../scene/index.ts';
import { atlasTexel } from '../field/atlas.ts';
import { cutByMaterial, cutByTiles, type Piece, type TilePiece } from './cut.ts';
import type { LookTable } from './looks.ts';

/** Numbers a vertex: position 3, atlas texel 2 (−1 where no tile is), face place 2, look row 1. */
export const VERTEX_NUMBERS = 8;

export interface ClassGeometry {
  vertices: Float32Array;
  indices: Uint32Array;
}

/** Class of a program; `+` for tiles whose beams cross. */
export type ProgramClass = SurfaceClass | `${SurfaceClass}+`;

interface Soup {
  vertices: number[];
  indices: number[];
}

/** Geometry of all faces, cut by material and tile and merged by surface class. Faces whose tiles did not change are kept. */
export class TileMeshes {
  private readonly scene: SceneModel;
  private readonly looks: LookTable;
  private readonly indexById: Map<string, number>;
  private readonly pieces = new Map<number, Piece[]>();
  private readonly soups = new Map<number, { key: string; byClass: Map<ProgramClass, Soup> }>();

  constructor(scene: SceneModel, looks: LookTable) {
    this.scene = scene;
    this.looks = looks;
    this.indexById = new Map(scene.faces.map((face, index) => [face.id, index]));
  }

  build(tiles: readonly TileRef[]): Map<ProgramClass, ClassGeometry> {
    const byFace = new Map<number, TileRef[]>();
    for (const tile of tiles) {
      const list = byFace.get(tile.face);
      if (list) list.push(tile);
      else byFace.set(tile.face, [tile]);
    }
    for (const [index, face] of this.scene.faces.entries()) this.refresh(face, index, byFace);
    return this.merge();
  }

  private refresh(face: Face, index: number, byFace: ReadonlyMap<number, TileRef[]>): void {
    const lender = face.sampled ? undefined : this.indexById.get(face.neighbourId ?? '');
    const tiles = byFace.get(lender ?? index) ?? [];
    const key = tiles.map((tile) => `${tile.id}@${tile.slot}${tile.isCrossed ? '+' : ''}`).join(' ');
    if (this.soups.get(index)?.key === key) return;
    let pieces = this.pieces.get(index);
    if (!pieces) {
      pieces = cutByMaterial(face);
      this.pieces.set(index, pieces);
    }
    const byClass = new Map<ProgramClass, Soup>();
    const lent = lender === undefined ? undefined : lentPlaces(face, this.scene.faces[lender]!, tiles);
    for (const piece of cutByTiles(pieces, lent ? [] : tiles)) {
      const row = this.looks.rowOf(face, piece.material);
      const plain = this.looks.classOfRow(row);
      const surfaceClass = piece.tile?.isCrossed && plain === 'masonry' ? (`${plain}+` as const) : plain;
      let soup = byClass.get(surfaceClass);
      if (!soup) {
        soup = { vertices: [], indices: [] };
        byClass.set(surfaceClass, soup);
      }
      appendFan(soup, face, piece, row, lent);
    }
    this.soups.set(index, { key, byClass });
  }

  private merge(): Map<ProgramClass, ClassGeometry> {
    const sizes = new Map<ProgramClass, { vertices: number; indices: number }>();
    for (const { byClass } of this.soups.values()) {
      for (const [surfaceClass, soup] of byClass) {
        const size = sizes.get(surfaceClass) ?? { vertices: 0, indices: 0 };
        size.vertices += soup.vertices.length;
        size.indices += soup.indices.length;
        sizes.set(surfaceClass, size);
      }
    }
    const merged = new Map<ProgramClass, ClassGeometry>();
    for (const [surfaceClass, size] of sizes) {
      const vertices = new Float32Array(size.vertices);
      const indices = new Uint32Array(size.indices);
      let v = 0;
      let k = 0;
      for (const { byClass } of this.soups.values()) {
        const soup = byClass.get(surfaceClass);
        if (!soup) continue;
        const first = v / VERTEX_NUMBERS;
        vertices.set(soup.vertices, v);
        for (const i of soup.indices) indices[k++] = first + i;
        v += soup.vertices.length;
      }
      merged.set(surfaceClass, { vertices, indices });
    }
    return merged;
  }
}

type Texel = { x: number; y: number };
type Places = (s: number, t: number) => Texel;
const UNLIT: Texel = { x: -1, y: -1 };

/**
 * A face too small for samples of its own borrows light from its neighbour: every corner reads the nearest place there, all
 * in the tile that holds the middle.
 */
function lentPlaces(face: Face, neighbour: Face, tiles: readonly TileRef[]): Places | undefined {
  const place = (s: number, t: number): { s: number; t: number } => {
    const d = [0, 1, 2].map((k) => face.origin[k]! + s * face.u[k]! + t * face.v[k]! - neighbour.origin[k]!);
    const along = (axis: Face['u']): number => d[0]! * axis[0] + d[1]! * axis[1] + d[2]! * axis[2];
    return {
      s: Math.min(neighbour.widthM, Math.max(0, along(neighbour.u))),
      t: Math.min(neighbour.heightM, Math.max(0, along(neighbour.v))),
    };
  };
  const middle = place(face.widthM / 2, face.heightM / 2);
  const holds = (tile: TileRef): boolean => {
    const side = TILE_CELLS * tile.cellM + 1e-9;
    return (
      middle.s >= tile.s0M - 1e-9 && middle.s <= tile.s0M + side && middle.t >= tile.t0M - 1e-9 && middle.t <= tile.t0M + side
    );
  };
  const tile = [...tiles].sort((a, b) => a.cellM - b.cellM).find(holds);
  if (!tile) return undefined;
  const side = TILE_CELLS * tile.cellM;
  return (s, t) => {
    const p = place(s, t);
    const inTile = (v: number, from: number): number => Math.min(from + side, Math.max(from, v));
    return atlasTexel(tile, inTile(p.s, tile.s0M), inTile(p.t, tile.t0M));
  };
}

function appendFan(soup: Soup, face: Face, piece: TilePiece, row: number, lent: Places | undefined): void {
  const first = soup.vertices.length / VERTEX_NUMBERS;
  const count = piece.outline.length / 2;
  for (let i = 0; i < count; i++) {
    const s = piece.outline[2 * i]!;
    const t = piece.outline[2 * i + 1]!;
    const texel = piece.tile ? atlasTexel(piece.tile, s, t) : (lent?.(s, t) ?? UNLIT);
    const { origin, u, v } = face;
    soup.vertices.push(
      origin[0] + s * u[0] + t * v[0],
      origin[1] + s * u[1] + t * v[1],
      origin[2] + s * u[2] + t * v[2],
      texel.x,
      texel.y,
      s,
      t,
      row,
    );
  }
  for (let i = 1; i + 1 < count; i++) soup.indices.push(first, first + i, first + i + 1);
}
