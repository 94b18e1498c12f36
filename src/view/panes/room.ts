import { cctToLinearRgb } from '../../exposure/index.ts';
import { mixSeed, type Pane } from '../../scene/index.ts';
import { ROOM_FACES, ROOM_STYLES } from './roomTiles.ts';

/** Curtains hang this far behind the glass, furniture at this share of the depth. The shader uses the same. */
export const CURTAIN_M = 0.12;
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

export interface RoomTiles {
  data: Float32Array;
  px: number;
}

type Rgb = [number, number, number];

function lookUp(tiles: RoomTiles, face: number, s: number, t: number): [number, number, number, number] {
  const clamp = (v: number) => Math.min(tiles.px - 1, Math.max(0, Math.floor(v * tiles.px)));
  const at = ((face * tiles.px + clamp(t)) * tiles.px + clamp(s)) * 4;
  return [tiles.data[at]!, tiles.data[at + 1]!, tiles.data[at + 2]!, tiles.data[at + 3]!];
}

/**
 * What is seen through the glass at (s, t) along the direction (ds, dt, inward 1), relative, before scaling: curtains, things
 * in the room, then the walls. Twin of the shader.
 */
export function roomColour(
  room: Room,
  tiles: RoomTiles,
  pane: { widthM: number; heightM: number },
  s: number,
  t: number,
  ds: number,
  dt: number,
): Rgb {
  const cloth = lookUp(
    tiles,
    ROOM_FACES.indexOf('curtain'),
    (s + ds * CURTAIN_M) / pane.widthM,
    (t + dt * CURTAIN_M) / pane.heightM,
  );
  const place = (ss: number, tt: number): [number, number] => {
    const x = (ss - room.s0) / (room.s1 - room.s0);
    return [room.mirrored ? 1 - x : x, (tt - room.t0) / (room.t1 - room.t0)];
  };
  const depth = room.depthM;
  const [mx, my] = place(s + ds * depth * MIDDLE_SHARE, t + dt * depth * MIDDLE_SHARE);
  const thing = mx >= 0 && mx <= 1 && my >= 0 && my <= 1 ? lookUp(tiles, ROOM_FACES.indexOf('middle'), mx, my) : [0, 0, 0, 0];
  const ks = Math.abs(ds) > 1e-6 ? ((ds > 0 ? room.s1 : room.s0) - s) / ds : 1e9;
  const kt = Math.abs(dt) > 1e-6 ? ((dt > 0 ? room.t1 : room.t0) - t) / dt : 1e9;
  const k = Math.min(ks, kt, depth);
  const [x, y] = place(s + ds * k, t + dt * k);
  const z = k / depth;
  let wall: [number, number, number, number];
  if (k === depth) wall = lookUp(tiles, 0, x, y);
  else if (k === ks) wall = lookUp(tiles, ds > 0 !== room.mirrored ? 2 : 1, z, y);
  else wall = lookUp(tiles, dt > 0 ? 3 : 4, x, z);
  const mix = (a: number, b: number, m: number) => a + (b - a) * m;
  return [0, 1, 2].map((c) => mix(mix(wall[c]!, thing[c]!, thing[3]!), cloth[c]!, cloth[3]!)) as Rgb;
}

/**
 * Mean luminance of the painted room over the pane and over all directions, weighted by the cosine: (1/πA) ∫∫ L cos θ dω dA,
 * with the light's colour. Dividing by it makes the room emit as a plain Lambertian pane of luminance 1 does, so one number,
 * `litCdM2`, shows the window and lights the garden.
 *
 * @param turn shifts the sample set, for checks with other samples.
 */
export function roomMeanLuminance(room: Room, tiles: RoomTiles, pane: Pane, turn = 0, side = 10, directions = 72): number {
  const colour = cctToLinearRgb(pane.litCctK);
  let sum = 0;
  for (let j = 0; j < side; j++)
    for (let i = 0; i < side; i++)
      for (let k = 0; k < directions; k++) {
        // Uniform points of the unit disc are cosine-weighted directions.
        const r = Math.sqrt((k + 0.5) / directions);
        const phi = k * 2.399963 + (i * 7 + j * 13) * 0.61 + turn;
        const z = Math.sqrt(Math.max(1e-4, 1 - r * r));
        const s = ((i + 0.5) / side) * pane.widthM;
        const t = ((j + 0.5) / side) * pane.heightM;
        const c = roomColour(room, tiles, pane, s, t, (r * Math.cos(phi)) / z, (r * Math.sin(phi)) / z);
        sum += 0.2126 * c[0] * colour[0] + 0.7152 * c[1] * colour[1] + 0.0722 * c[2] * colour[2];
      }
  return sum / (side * side * directions);
}
