/** Tiles of one room, in this order; each is square, linear RGB relative to the room's mean, and alpha. */
export const ROOM_FACES = ['back', 'left', 'right', 'ceiling', 'floor', 'middle', 'curtain'] as const;
export type RoomFace = (typeof ROOM_FACES)[number];
export const ROOM_TILE_PX = 256;
/** 8-bit tiles hold 0 … this. */
export const ROOM_TOP = 6;
export const ROOM_STYLES = 4;
