import { DataUtils } from 'three';
import { GRID_X, GRID_Y } from './frameLight.ts';

/** Three blocks side by side: direct, vector, indirect. */
export function packFrames(cells: Float32Array, panes: number, out: Uint16Array): void {
  const half = DataUtils.toHalfFloat;
  for (let pane = 0; pane < panes; pane++)
    for (let y = 0; y < GRID_Y; y++)
      for (let x = 0; x < GRID_X; x++)
        for (let block = 0; block < 3; block++) {
          const to = ((pane * GRID_Y + y) * 3 * GRID_X + block * GRID_X + x) * 4;
          const at = ((pane * GRID_Y + y) * GRID_X + x) * 9 + block * 3;
          for (let c = 0; c < 3; c++) out[to + c] = half(Math.min(60000, Math.max(-60000, cells[at + c]!)));
        }
}
