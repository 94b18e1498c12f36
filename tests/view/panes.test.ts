import { describe, expect, it } from 'vitest';
import { cctToLinearRgb } from '../../src/exposure/index.ts';
import type { Pane } from '../../src/scene/index.ts';
import { layRooms, type Room } from '../../src/view/panes/room.ts';
import { ROOM_STYLES } from '../../src/view/panes/roomFaces.ts';
import { type RoomTiles, roomColour, roomMeanLuminance } from '../../src/view/panes/roomLight.ts';
import { paintRoom } from '../../src/view/panes/roomTiles.ts';

function pane(i: number, more: Partial<Pane> = {}): Pane {
  return {
    id: `front/window-${i}`,
    origin: [i * 2.4, 0.9, 0],
    u: [1, 0, 0],
    v: [0, 1, 0],
    normal: [0, 0, 1],
    widthM: 1,
    heightM: 1.7,
    panesAcross: 3,
    panesUp: 4,
    litCdM2: 4,
    litCctK: 2700,
    frameMaterial: 0,
    ...more,
  };
}

describe('rooms behind lit panes', () => {
  const panes = Array.from({ length: 6 }, (_, i) => pane(i));
  const rooms = layRooms(panes);
  const tiles = Array.from({ length: ROOM_STYLES }, (_, style) => ({ data: paintRoom(style, 64), px: 64 }));

  /**
   * Exitance ÷ π by a plain grid in polar angles, (1/π) ∫∫ L cos θ sin θ dθ dφ averaged over the pane: shares no sampling with
   * the function under test.
   */
  function meanByAngles(room: Room, roomTiles: RoomTiles, p: Pane): number {
    const [r, g, b] = cctToLinearRgb(p.litCctK);
    const [side, thetas, phis] = [7, 14, 24];
    let sum = 0;
    for (let i = 0; i < side * side; i++)
      for (let j = 0; j < thetas; j++)
        for (let k = 0; k < phis; k++) {
          const theta = ((j + 0.5) / thetas) * (Math.PI / 2);
          const phi = ((k + 0.37) / phis) * 2 * Math.PI;
          const s = (((i % side) + 0.5) / side) * p.widthM;
          const t = ((Math.floor(i / side) + 0.5) / side) * p.heightM;
          const c = roomColour(room, roomTiles, p, s, t, Math.tan(theta) * Math.cos(phi), Math.tan(theta) * Math.sin(phi));
          sum += (0.2126 * c[0] * r + 0.7152 * c[1] * g + 0.0722 * c[2] * b) * Math.cos(theta) * Math.sin(theta);
        }
    return ((sum / (side * side)) * (Math.PI / 2 / thetas) * ((2 * Math.PI) / phis)) / Math.PI;
  }

  it.each(Array.from({ length: ROOM_STYLES }, (_, style) => style))(
    'style %i emits as an even pane of luminance 1 after scaling, ± 2 %% (checked by another quadrature)',
    (style) => {
      rooms.forEach((room, i) => {
        const own = { ...room, style };
        const scaled = meanByAngles(own, tiles[style]!, panes[i]!) / roomMeanLuminance(own, tiles[style]!, panes[i]!);
        expect(Math.abs(scaled - 1)).toBeLessThan(0.02);
      });
    },
  );

  it('means exitance ÷ π: a furnace room of one colour has the mean of that colour', () => {
    const px = 4;
    const data = new Float32Array(7 * px * px * 4);
    for (let i = 0; i < 5 * px * px * 4; i += 4) data.set([0.5, 0.5, 0.5, 1], i);
    const mean = roomMeanLuminance(rooms[0]!, { data, px }, pane(0));
    const luminance = cctToLinearRgb(2700).reduce((sum, c, k) => sum + c * [0.2126, 0.7152, 0.0722][k]!, 0);
    expect(luminance).toBeCloseTo(1, 6);
    expect(mean).toBeCloseTo(0.5, 6);
  });

  it('shows curtains before furniture before walls', () => {
    const px = 2;
    const data = new Float32Array(7 * px * px * 4);
    const fill = (face: number, v: number[]) => {
      for (let i = 0; i < px * px; i++) data.set(v, (face * px * px + i) * 4);
    };
    fill(0, [1, 0, 0, 1]);
    fill(5, [0, 1, 0, 0.5]);
    fill(6, [0, 0, 1, 0.25]);
    const seen = roomColour(rooms[0]!, { data, px }, pane(0), 0.5, 0.8, 0, 0);
    expect(seen).toEqual([0.375, 0.375, 0.25]);
  });

  it('keeps the width of curtains at the sides of a wide window', () => {
    const px = 28;
    const data = new Float32Array(7 * px * px * 4);
    // Cloth over the outer quarters of the tile: 35 cm each of the 1.4 m it is painted for.
    for (let t = 0; t < px; t++)
      for (let s = 0; s < px; s++) if (s < 7 || s >= 21) data.set([1, 1, 1, 1], ((6 * px + t) * px + s) * 4);
    const wide = { widthM: 5.6, heightM: 2.4 };
    const covered = (s: number): number => roomColour(rooms[0]!, { data, px }, wide, s, 1.2, 0, 0)[0];
    expect([0.1, 0.3, 0.4, 2.8, 5.2, 5.3, 5.5].map(covered)).toEqual([1, 1, 0, 0, 0, 1, 1]);
  });

  it('holds every pane inside its room, and lets neighbours that burn alike share one', () => {
    rooms.forEach((room, i) => {
      expect(room.s0).toBeLessThan(0);
      expect(room.s1).toBeGreaterThan(panes[i]!.widthM);
      expect(room.t0).toBeLessThan(0);
      expect(room.t1).toBeGreaterThan(panes[i]!.heightM);
    });
    const shared = rooms.some(
      (room, i) => i > 0 && Math.abs(room.s0 + panes[i]!.origin[0] - (rooms[i - 1]!.s0 + panes[i - 1]!.origin[0])) < 1e-6,
    );
    expect(shared).toBe(true);
    const apart = layRooms([pane(0), pane(1, { litCdM2: 1 })]);
    expect(apart[0]!.s0).not.toBeCloseTo(apart[1]!.s0 + 2.4, 3);
  });
});
