import { mixSeed, type Pane } from '../../scene/index.ts';
import { ROOM_STYLES } from './roomFaces.ts';

/** Curtains hang this far behind the glass, furniture at this share of the depth. The shader uses the same. */
export const CURTAIN_M = 0.12;
/** Curtains are painted for a window this wide; wider ones keep their curtains' width at the sides and are open between. */
export const CURTAINED_M = 1.4;
export const MIDDLE_SHARE = 0.55;

/** The room behind a pane, in the pane's axes: s along u, t along v, depth inward. */
export interface Room {
  style: number;
  mirrored: boolean;
  s0: number;
  s1: number;
  t0: number;
  t1: number;
  depthM: number;
}

/** Rooms behind panes; two neighbours of one wall that burn alike may share one, so that no two windows look copied. */
export function layRooms(panes: readonly Pane[]): Room[] {
  const rooms = panes.map((pane, i) => ownRoom(pane, i));
  spreadStyles(panes, rooms);
  for (let i = 0; i < panes.length; i++)
    for (let j = i + 1; j < panes.length; j++) {
      const a = panes[i]!;
      const b = panes[j]!;
      if (rooms[i]!.s1 - rooms[i]!.s0 > 4.6 + a.widthM || !sameWall(a, b)) continue;
      if (Math.abs(a.litCdM2 - b.litCdM2) > 0.05 * Math.max(a.litCdM2, b.litCdM2) || a.litCctK !== b.litCctK) continue;
      const gap = along(a, b);
      if (Math.abs(gap) > 3.2 || mixSeed(3, a.id + b.id) % 3 === 0) continue;
      rooms[j] = joinRooms(rooms[i]!, a, b, gap);
      rooms[i] = { ...rooms[j]!, s0: rooms[j]!.s0 + gap, s1: rooms[j]!.s1 + gap };
    }
  return rooms;
}

/** Lit windows take the styles in turn, so that no two in a row are alike. */
function spreadStyles(panes: readonly Pane[], rooms: readonly Room[]): void {
  let turn = 0;
  panes.forEach((pane, i) => {
    if (pane.litCdM2 > 0) rooms[i]!.style = turn++ % ROOM_STYLES;
  });
}

const dot = (a: readonly number[], b: readonly number[]): number => a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
const along = (a: Pane, b: Pane): number =>
  dot([b.origin[0] - a.origin[0], b.origin[1] - a.origin[1], b.origin[2] - a.origin[2]], a.u);

function sameWall(a: Pane, b: Pane): boolean {
  const off = [b.origin[0] - a.origin[0], b.origin[1] - a.origin[1], b.origin[2] - a.origin[2]];
  return dot(a.normal, b.normal) > 0.99 && Math.abs(dot(off, a.normal)) < 0.2 && Math.abs(off[1]!) < 0.3;
}

function ownRoom(pane: Pane, index: number): Room {
  const h = mixSeed(index, pane.id);
  const roomW = Math.max(3.4, pane.widthM + 1.6);
  const slide = ((h >>> 8) % 100) / 100;
  const left = 0.4 + slide * (roomW - pane.widthM - 0.8);
  const sill = pane.heightM > 1.95 ? 0.1 : 0.85;
  return {
    style: (h >>> 3) % ROOM_STYLES,
    mirrored: ((h >>> 17) & 1) === 1,
    s0: -left,
    s1: roomW - left,
    t0: -sill,
    t1: Math.max(pane.heightM + 0.28, 2.45 - sill),
    depthM: 3.4 + ((h >>> 20) % 10) / 8,
  };
}

/** One room over both panes, in the axes of the second. */
function joinRooms(room: Room, a: Pane, b: Pane, gap: number): Room {
  const left = Math.min(-gap, 0) - 0.9;
  const right = Math.max(-gap + a.widthM, b.widthM) + 0.9;
  return { ...room, s0: left, s1: right };
}
