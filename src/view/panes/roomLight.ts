import { cctToLinearRgb } from '../../exposure/index.ts';
import type { Pane } from '../../scene/index.ts';
import { CURTAIN_M, CURTAINED_M, MIDDLE_SHARE, type Room } from './room.ts';
import { ROOM_FACES } from './roomFaces.ts';

export interface RoomTiles {
  data: Float32Array;
  px: number;
}

type Rgb = [number, number, number];

function clothAt(x: number, widthM: number): number {
  const near = Math.min(Math.min(x, 1 - x) * Math.max(1, widthM / CURTAINED_M), 0.5);
  return x < 0.5 ? near : 1 - near;
}

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
    clothAt((s + ds * CURTAIN_M) / pane.widthM, pane.widthM),
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
