import { srgbEncode } from '../../exposure/index.ts';
import type { Pane } from '../../scene/index.ts';
import type { Room } from './room.ts';
import { ROOM_FACES, ROOM_TILE_PX, ROOM_TOP } from './roomFaces.ts';
import { type RoomTiles, roomMeanLuminance } from './roomLight.ts';
import { createRoom, paintFace } from './roomTiles.ts';

/** Codes a painted room as sRGB bytes, which keeps the dark parts, into its layers. */
function writeRoom(tiles: RoomTiles, place: number, data: Uint8Array): void {
  const code = Uint8Array.from({ length: 4097 }, (_, i) => Math.round(255 * srgbEncode(i / 4096)));
  const at = place * tiles.data.length;
  for (let i = 0; i < tiles.data.length; i++) {
    const v = tiles.data[i]!;
    data[at + i] =
      i % 4 === 3 ? Math.round(255 * Math.min(1, v)) : code[Math.round(4096 * Math.min(1, Math.max(0, v / ROOM_TOP)))]!;
  }
}

/**
 * Paints the rooms one by one after the first picture, in which each lit window is one even luminance, into `data`; `scales`
 * tells by how much each pane's light is to be scaled so that its mean stays what it was.
 */
export function paintRooms(
  panes: readonly Pane[],
  rooms: readonly Room[],
  styles: readonly number[],
  data: Uint8Array,
): { scales: Promise<number[]>; stop(): void } {
  const scales = panes.map(() => 1);
  let timer: ReturnType<typeof setTimeout> | undefined;
  let tiles: RoomTiles = { data: new Float32Array(0), px: ROOM_TILE_PX };
  const done = new Promise<number[]>((resolve) => {
    const next = (step: number): void => {
      const place = Math.floor(step / ROOM_FACES.length);
      const face = ROOM_FACES[step % ROOM_FACES.length]!;
      const style = styles[place];
      if (style === undefined) {
        resolve(scales);
        return;
      }
      if (face === ROOM_FACES[0]) tiles = { data: createRoom(), px: ROOM_TILE_PX };
      paintFace(style, face, ROOM_TILE_PX, tiles.data);
      if (face === ROOM_FACES[ROOM_FACES.length - 1]) {
        writeRoom(tiles, place, data);
        panes.forEach((pane, i) => {
          if (pane.litCdM2 > 0 && rooms[i]!.style === style) scales[i] = 1 / roomMeanLuminance(rooms[i]!, tiles, pane);
        });
      }
      timer = setTimeout(next, 0, step + 1);
    };
    timer = setTimeout(next, 0, 0);
  });
  return { scales: done, stop: () => clearTimeout(timer) };
}
