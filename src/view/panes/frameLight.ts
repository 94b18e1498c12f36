import { DataUtils } from 'three';
import { luminanceOf } from '../../exposure/index.ts';
import { type Rgb, TILE_CELLS, TILE_SAMPLES, type TileRef } from '../../lights/index.ts';
import type { SceneModel } from '../../scene/index.ts';
import type { FieldUpdate } from '../../worker/index.ts';

/** Cells across and up of the small light grid kept for each window frame. */
export const GRID_X = 4;
export const GRID_Y = 6;
const CELLS = GRID_X * GRID_Y;
/** Direct RGB, light vector, indirect RGB, weight. */
const STRIDE = 10;

/** A face whose light is kept: its index in the scene, and the size of the grid's rectangle. */
export interface LitFace {
  face: number;
  widthM: number;
  heightM: number;
}

/** Frames of the panes, in the order of the panes. */
export function frameFaces(scene: SceneModel): LitFace[] {
  const index = new Map(scene.faces.map((face, i) => [face.id, i]));
  return scene.panes.map(({ id, widthM, heightM }) => ({ face: index.get(`${id}/frame`) ?? -1, widthM, heightM }));
}

/** Leaves of doors. */
export function doorFaces(scene: SceneModel): LitFace[] {
  return scene.faces.flatMap((face, i) =>
    face.kind === 'door' ? [{ face: i, widthM: face.widthM, heightM: face.heightM }] : [],
  );
}

interface FrameTile {
  pane: number;
  tile: TileRef;
}

/**
 * Light on window frames and doors, averaged from the field's tiles of their faces into a coarse grid each. Bars are a pixel or
 * two wide in most pictures: they need smooth light and exact coverage, not texels.
 */
export class FrameLight {
  private readonly faces: readonly LitFace[];
  private readonly paneOfFace: Map<number, number>;
  private tiles = new Map<number, FrameTile>();
  private sums = new Map<number, Float32Array>();
  /** Per pane and cell: E direct RGB, V, E indirect RGB; nine numbers. */
  readonly cells: Float32Array;

  constructor(faces: readonly LitFace[]) {
    this.faces = faces;
    this.paneOfFace = new Map(faces.map(({ face }, i) => [face, i]));
    this.cells = new Float32Array(faces.length * CELLS * 9);
  }

  /** Takes an update; true when some frame changed. */
  setField(update: FieldUpdate): boolean {
    const touched = new Set<number>();
    if (update.tiles) this.setTiles(update.tiles, touched);
    update.slots.forEach((slot, k) => {
      const entry = this.tiles.get(slot);
      if (!entry) return;
      this.sums.set(slot, this.sumTile(entry, update, k));
      touched.add(entry.pane);
    });
    for (const pane of touched) this.mixPane(pane);
    return touched.size > 0;
  }

  private setTiles(tiles: TileRef[], touched: Set<number>): void {
    const before = this.tiles;
    this.tiles = new Map();
    for (const tile of tiles) {
      const pane = this.paneOfFace.get(tile.face) ?? -1;
      if (pane >= 0) this.tiles.set(tile.slot, { pane, tile });
    }
    for (const [slot, entry] of before)
      if (this.tiles.get(slot)?.tile.id !== entry.tile.id) {
        this.sums.delete(slot);
        touched.add(entry.pane);
      }
  }

  private sumTile(entry: FrameTile, update: FieldUpdate, k: number): Float32Array {
    const pane = this.faces[entry.pane]!;
    const { tile } = entry;
    const sum = new Float32Array(CELLS * STRIDE);
    const from = DataUtils.fromHalfFloat;
    const weight = 1 / (tile.cellM * tile.cellM);
    for (let j = 1; j <= TILE_CELLS; j++)
      for (let i = 1; i <= TILE_CELLS; i++) {
        const at = ((k * TILE_SAMPLES + j) * TILE_SAMPLES + i) * 4;
        if (((update.valid[k * TILE_SAMPLES + j]! >>> i) & 1) === 0) continue;
        const s = tile.s0M + (i - 0.5) * tile.cellM;
        const t = tile.t0M + (j - 0.5) * tile.cellM;
        const cx = Math.min(GRID_X - 1, Math.max(0, Math.floor((s / pane.widthM) * GRID_X)));
        const cy = Math.min(GRID_Y - 1, Math.max(0, Math.floor((t / pane.heightM) * GRID_Y)));
        const o = (cy * GRID_X + cx) * STRIDE;
        const direct = [0, 1, 2].map((c) => from(update.direct[at + c]!)) as unknown as Rgb;
        for (let c = 0; c < 3; c++) {
          sum[o + c]! += weight * direct[c]!;
          sum[o + 6 + c]! += weight * from(update.indirect[at + c]!);
        }
        sum[o + 3]! += weight * from(update.direct[at + 3]!);
        sum[o + 4]! += weight * from(update.indirect[at + 3]!);
        sum[o + 5]! += weight * luminanceOf(direct);
        sum[o + 9]! += weight;
      }
    return sum;
  }

  private mixPane(pane: number): void {
    const sum = new Float32Array(CELLS * STRIDE);
    for (const [slot, entry] of this.tiles) {
      const part = entry.pane === pane ? this.sums.get(slot) : undefined;
      if (part) for (let i = 0; i < sum.length; i++) sum[i]! += part[i]!;
    }
    fillEmpty(sum);
    for (let c = 0; c < CELLS; c++) {
      const w = sum[c * STRIDE + 9]! || 1;
      for (let k = 0; k < 9; k++) this.cells[(pane * CELLS + c) * 9 + k] = sum[c * STRIDE + k]! / w;
    }
  }
}

/** Cells that no sample fell into take the mean of their filled neighbours, outward round by round. */
function fillEmpty(sum: Float32Array): void {
  for (let round = 0; round < GRID_X + GRID_Y; round++) {
    const before = Float32Array.from(sum);
    for (let y = 0; y < GRID_Y; y++)
      for (let x = 0; x < GRID_X; x++) {
        const o = (y * GRID_X + x) * STRIDE;
        if (before[o + 9]! > 0) continue;
        for (const [dx, dy] of [
          [1, 0],
          [-1, 0],
          [0, 1],
          [0, -1],
        ] as const) {
          const nx = x + dx;
          const ny = y + dy;
          if (nx < 0 || ny < 0 || nx >= GRID_X || ny >= GRID_Y) continue;
          const n = (ny * GRID_X + nx) * STRIDE;
          for (let k = 0; k < STRIDE; k++) sum[o + k]! += before[n + k]!;
        }
      }
  }
}
