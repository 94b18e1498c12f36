import { ROOM_FACES, ROOM_TILE_PX, type RoomFace } from './roomFaces.ts';

/** The room the tiles are painted for, metres. */
const WIDTH_M = 4.2;
const HEIGHT_M = 2.6;
const DEPTH_M = 4;

type Rgb = [number, number, number];
type Paint = (x: number, y: number) => Rgb;

interface Style {
  wall: Rgb;
  ceiling: Rgb;
  floor: Rgb;
  curtain: Rgb;
  /** Share of the window that each curtain covers. */
  drawn: number;
  /** Net over the whole window. */
  net: number;
  lamp: [number, number, number];
  lampKind: 'standing' | 'pendant' | 'table';
  bookcase: [number, number] | undefined;
  picture: [number, number, number, number] | undefined;
  door: number | undefined;
  /** Open doorway to a dim hall: left edge on the back wall. */
  hall?: number;
  /** Leafy plant in a pot: metres from the left. */
  plant?: number;
  /** Back of a sofa: left and right ends. */
  sofa?: [number, number];
  chair: number | undefined;
}

/** Lamp: metres from the room's left, floor and window. Pictures: left, foot, width, height on the back wall. */
const STYLES: Style[] = [
  {
    wall: [0.62, 0.54, 0.42],
    ceiling: [0.78, 0.76, 0.7],
    floor: [0.22, 0.13, 0.075],
    curtain: [0.36, 0.33, 0.26],
    drawn: 0.14,
    net: 0,
    lamp: [2.7, 1.35, 2.1],
    lampKind: 'standing',
    bookcase: [0.45, 1.75],
    picture: [2.75, 1.2, 0.9, 0.65],
    plant: 3.75,
    door: undefined,
    chair: 1.9,
  },
  {
    wall: [0.45, 0.5, 0.44],
    ceiling: [0.78, 0.76, 0.7],
    floor: [0.25, 0.17, 0.1],
    curtain: [0.3, 0.34, 0.33],
    drawn: 0.17,
    net: 0,
    lamp: [2.1, 1.75, 2.2],
    lampKind: 'pendant',
    bookcase: undefined,
    picture: [0.7, 1.1, 1.2, 0.8],
    hall: 2.55,
    plant: 3.8,
    door: undefined,
    chair: 1.3,
  },
  {
    wall: [0.66, 0.58, 0.5],
    ceiling: [0.8, 0.77, 0.72],
    floor: [0.34, 0.3, 0.26],
    curtain: [0.62, 0.53, 0.42],
    drawn: 0.36,
    net: 0.06,
    lamp: [1.4, 0.95, 2.4],
    lampKind: 'table',
    bookcase: undefined,
    picture: [1.8, 1.25, 0.6, 0.6],
    sofa: [2, 3.7],
    door: undefined,
    chair: undefined,
  },
  {
    wall: [0.6, 0.52, 0.36],
    ceiling: [0.78, 0.75, 0.68],
    floor: [0.2, 0.12, 0.07],
    curtain: [0.4, 0.27, 0.19],
    drawn: 0.12,
    net: 0,
    lamp: [3.2, 1.1, 2.6],
    lampKind: 'table',
    bookcase: [2.5, 3.9],
    picture: [1.5, 1.15, 0.75, 0.95],
    hall: 0.35,
    sofa: [1.4, 2.6],
    door: undefined,
    chair: undefined,
  },
];

const scale = (c: Rgb, k: number): Rgb => [c[0] * k, c[1] * k, c[2] * k];
const inside = (v: number, a: number, b: number): boolean => v >= a && v <= b;

function hash(a: number, b: number): number {
  const s = Math.sin(a * 127.1 + b * 311.7) * 43758.5453;
  return s - Math.floor(s);
}

/** Rows of books with uneven spines between shelves. */
function books(x: number, y: number): Rgb {
  const shelf = Math.floor(y / 0.34);
  const up = y - shelf * 0.34;
  if (up < 0.03) return [0.2, 0.12, 0.07];
  const slot = Math.floor(x / 0.036);
  const h = hash(slot, shelf);
  if (up > 0.2 + 0.1 * h || hash(Math.floor(slot / 5), shelf + 40) < 0.16) return [0.055, 0.035, 0.02];
  const tones: Rgb[] = [
    [0.3, 0.1, 0.06],
    [0.16, 0.19, 0.16],
    [0.36, 0.27, 0.15],
    [0.12, 0.1, 0.09],
    [0.46, 0.4, 0.3],
    [0.12, 0.15, 0.22],
  ];
  const edge = x / 0.036 - slot < 0.12 ? 0.5 : 1;
  return scale(tones[Math.floor(h * 977) % 6]!, edge * (0.75 + 0.5 * hash(slot, 7)));
}

function backWall(style: Style): Paint {
  return (x, y) => {
    if (style.bookcase && inside(x, style.bookcase[0], style.bookcase[1]) && y < 2.12) {
      const rim = Math.min(x - style.bookcase[0], style.bookcase[1] - x, 2.12 - y);
      return rim < 0.035 ? [0.26, 0.16, 0.09] : books(x, y);
    }
    if (style.door !== undefined && inside(x, style.door, style.door + 0.86) && y < 2.02) {
      const dx = x - style.door;
      const panel = inside(dx, 0.14, 0.4) || inside(dx, 0.47, 0.73);
      return panel && (inside(y, 0.25, 0.9) || inside(y, 1.05, 1.85)) ? [0.46, 0.43, 0.37] : [0.56, 0.53, 0.46];
    }
    if (style.picture) {
      const [px, py, w, h] = style.picture;
      if (inside(x, px, px + w) && inside(y, py, py + h)) {
        const rim = Math.min(x - px, px + w - x, y - py, py + h - y);
        if (rim < 0.045) return [0.34, 0.22, 0.09];
        if (rim < 0.1) return [0.62, 0.58, 0.5];
        const sky = (y - py) / h > 0.52 + 0.12 * Math.sin(x * 9) + 0.05 * Math.sin(x * 31);
        return sky ? [0.42, 0.46, 0.45] : [0.16 + 0.1 * hash(Math.floor(x * 30), Math.floor(y * 30)), 0.22, 0.1];
      }
    }
    if (style.hall !== undefined && inside(x, style.hall, style.hall + 0.9) && y < 2.05) {
      const rim = Math.min(x - style.hall, style.hall + 0.9 - x, 2.05 - y);
      // A lamp farther off leaves the hall in half light, its floor seen in front of the wall.
      return rim < 0.07
        ? [0.62, 0.58, 0.5]
        : scale(y < 0.7 ? [0.1, 0.06, 0.035] : [0.2, 0.15, 0.1], 0.7 + 0.5 * (x - style.hall));
    }
    if (y < 0.14 || y > HEIGHT_M - 0.09) return [0.66, 0.62, 0.55];
    // Shadow line under the cornice, picture rail.
    if (y > HEIGHT_M - 0.11 || inside(y, 2.13, 2.16)) return scale(style.wall, 0.55);
    return style.wall;
  };
}

/** Diffuse light of the room's lamp and of all its walls at a place with a normal. */
function lightAt(style: Style, p: Rgb, n: Rgb): number {
  const d = [style.lamp[0] - p[0], style.lamp[1] + 0.12 - p[1], style.lamp[2] - p[2]] as const;
  const dSq = d[0] ** 2 + d[1] ** 2 + d[2] ** 2 + 0.05;
  const cos = Math.max(0, (d[0] * n[0] + d[1] * n[1] + d[2] * n[2]) / Math.sqrt(dSq));
  // A shade lets most light out above and below.
  const upDown = style.lampKind === 'pendant' ? 0.8 : 0.55 + 0.9 * (Math.abs(d[1]) / Math.sqrt(dSq)) ** 2;
  return 0.38 * cornerShare(p, n) + (2.9 * cos * upDown) / dSq;
}

const SIZE_M: Rgb = [WIDTH_M, HEIGHT_M, DEPTH_M];

/** Share of the walls' light that reaches a place: less in corners and along edges, where the next wall stands close. By eye. */
function cornerShare(p: Rgb, n: Rgb): number {
  let share = 1;
  for (let c = 0; c < 3; c++) {
    if (n[c] !== 0) continue;
    if (c !== 2) share *= 1 - 0.62 * Math.exp(-p[c]! / 0.55);
    share *= 1 - 0.62 * Math.exp(-(SIZE_M[c]! - p[c]!) / 0.55);
  }
  // Floors are darker than ceilings: the walls get the less light the lower.
  return share * (n[1] === 0 ? 0.6 + 0.5 * (p[1] / HEIGHT_M) : 1);
}

type Texel = [number, number, number, number];

/** Light on the back of a seat: darker toward the floor, a lit rim along the top. */
const edgeLight = (y: number, top: number): number => (top - y < 0.035 ? 2.1 : 0.35 + 0.55 * (y / top));

/** Things that stand in the room: lamp with shade, chair back, a plant. */
function middle(style: Style, x: number, y: number): Texel {
  const [lx, ly] = style.lamp;
  const dx = Math.abs(x - lx);
  const dy = y - ly;
  const wide = style.lampKind === 'pendant' ? 0.24 : 0.17;
  const tall = style.lampKind === 'pendant' ? 0.2 : 0.25;
  if (inside(dy, 0, tall) && dx < wide * (1 - 0.38 * (dy / tall))) {
    const glow = 4.6 * (1 - 0.35 * (dx / wide) ** 2) * (1 - 0.3 * Math.abs(dy / tall - 0.4));
    return [glow, glow * 0.9, glow * 0.7, 1];
  }
  if (style.lampKind === 'pendant' && dx < 0.008 && dy >= tall) return [0.1, 0.09, 0.08, 1];
  if (style.lampKind !== 'pendant' && dy < 0) {
    const table = style.lampKind === 'table' ? 0.62 : 0.03;
    if (y > table && dx < 0.014 + (style.lampKind === 'table' ? 0.05 * Math.sin(((ly - y) / (ly - table)) * 3.1) : 0))
      return [0.3, 0.2, 0.1, 1];
    if (inside(y, table - 0.035, table) && dx < 0.3) return [0.42, 0.28, 0.16, 1];
    if (y < table - 0.03 && style.lampKind === 'table' && inside(dx, 0.24, 0.28)) return [0.12, 0.07, 0.04, 1];
  }
  if (style.chair !== undefined) {
    const cx = Math.abs(x - style.chair) / 0.42;
    const top = 0.92 - 0.1 * cx * cx - (cx > 0.8 ? (cx - 0.8) * 1.3 : 0);
    if (cx < 1 && y < top) return [...scale([0.15, 0.085, 0.055], edgeLight(y, top) - 0.2 * cx), 1];
  }
  if (style.sofa && inside(x, style.sofa[0], style.sofa[1])) {
    const end = Math.min(x - style.sofa[0], style.sofa[1] - x);
    const top = end < 0.16 ? 0.66 : 0.84 - 0.02 * Math.cos(((x - style.sofa[0]) / (style.sofa[1] - style.sofa[0])) * 12.6);
    if (y < top) return [...scale([0.105, 0.078, 0.058], edgeLight(y, top)), 1];
  }
  if (style.plant !== undefined) return leafy(x - style.plant, y);
  return [0, 0, 0, 0];
}

/** A pot and a head of narrow leaves that fan out from its stem. */
function leafy(dx: number, y: number): Texel {
  if (y < 0.38 && Math.abs(dx) < 0.16 - 0.08 * (0.38 - y)) return [0.2, 0.12, 0.08, 1];
  for (let k = 0; k < 11; k++) {
    const lean = (k - 5) * 0.17;
    const up = (y - 0.38) / (1.15 - 0.06 * Math.abs(k - 5));
    if (up < 0 || up > 1) continue;
    const spine = lean * up * (0.55 + 0.75 * up) * 0.75;
    if (Math.abs(dx - spine) < 0.034 * Math.sin(up * 3.1) + 0.006)
      return [...scale([0.07, 0.13, 0.05], 0.7 + 0.6 * hash(k, 3)), 1];
  }
  return [0, 0, 0, 0];
}

/** Folds of cloth, lit from within; net curtains let most of the room through. */
function curtain(style: Style, s: number, t: number): Texel {
  const edge = Math.min(s, 1 - s);
  const open = style.drawn * (1 + 0.12 * Math.sin(t * 3.2 + s * 2));
  const fold = 0.5 + 0.5 * Math.sin(edge * 95 + 1.6 * Math.sin(t * 4));
  if (edge < open) {
    const light = (0.55 + 0.75 * fold) * (0.85 + 0.3 * Math.min(1, edge / open));
    return [...scale(style.curtain, light), 1];
  }
  if (t > 0.965) return [...scale(style.curtain, 0.5), 1];
  if (style.net > 0) return [...scale([0.75, 0.7, 0.6], 0.8 + 0.25 * fold), style.net * (0.75 + 0.5 * fold)];
  return [0, 0, 0, 0];
}

/** Skirting, cornice, picture rail as on the back wall, and two pictures hung one behind the other. */
function sideWall(style: Style, z: number, y: number): Rgb {
  if (y < 0.14 || y > HEIGHT_M - 0.09) return [0.66, 0.62, 0.55];
  if (y > HEIGHT_M - 0.11 || inside(y, 2.13, 2.16)) return scale(style.wall, 0.55);
  for (const from of [0.9, 2.4]) {
    const rim = Math.min(z - from, from + 0.75 - z, y - 1.1, 2 - y);
    if (rim < 0) continue;
    if (rim < 0.035) return [0.16, 0.1, 0.05];
    if (rim < 0.12) return [0.62, 0.58, 0.5];
    return y < 1.5 + 0.1 * Math.sin(z * 11) ? [0.2, 0.2, 0.14] : [0.4, 0.42, 0.4];
  }
  return style.wall;
}

/** Surface of a wall tile at (s, t): colour and where it is, for the lamp's light. */
function wallAlbedo(style: Style, face: RoomFace, s: number, t: number, paintBack: Paint): Rgb {
  if (face === 'back') return paintBack(s * WIDTH_M, t * HEIGHT_M);
  if (face === 'ceiling') return style.ceiling;
  if (face !== 'floor') return sideWall(style, s * DEPTH_M, t * HEIGHT_M);
  const x = s * WIDTH_M;
  const rug = inside(x, 0.9, 3.3) && inside(t * DEPTH_M, 1, 3.2);
  return rug ? [0.3, 0.13, 0.1] : scale(style.floor, 0.85 + 0.3 * hash(Math.floor(x / 0.14), 3));
}

function wallLight(style: Style, face: RoomFace, s: number, t: number): number {
  if (face === 'back') return lightAt(style, [s * WIDTH_M, t * HEIGHT_M, DEPTH_M], [0, 0, -1]);
  if (face === 'left') return lightAt(style, [0, t * HEIGHT_M, s * DEPTH_M], [1, 0, 0]);
  if (face === 'right') return lightAt(style, [WIDTH_M, t * HEIGHT_M, s * DEPTH_M], [-1, 0, 0]);
  if (face === 'ceiling') return lightAt(style, [s * WIDTH_M, HEIGHT_M, t * DEPTH_M], [0, -1, 0]);
  return lightAt(style, [s * WIDTH_M, 0, t * DEPTH_M], [0, 1, 0]);
}

/** Light changes slowly over a wall: work it out on a coarse grid and blend between. */
function lightGrid(style: Style, face: RoomFace): (s: number, t: number) => number {
  const n = 24;
  const grid = Float32Array.from({ length: (n + 1) ** 2 }, (_, k) =>
    wallLight(style, face, (k % (n + 1)) / n, Math.floor(k / (n + 1)) / n),
  );
  return (s, t) => {
    const x = Math.min(n - 1e-6, s * n);
    const y = Math.min(n - 1e-6, t * n);
    const i = Math.floor(x);
    const j = Math.floor(y);
    const k = j * (n + 1) + i;
    const low = grid[k]! + (grid[k + 1]! - grid[k]!) * (x - i);
    const high = grid[k + n + 1]! + (grid[k + n + 2]! - grid[k + n + 1]!) * (x - i);
    return low + (high - low) * (y - j);
  };
}

/** Fills one texel with the mean of 2 × 2 samples; colour is weighted by cover so that clear parts do not darken edges. */
function average(
  sample: (s: number, t: number) => ArrayLike<number>,
  i: number,
  j: number,
  px: number,
  out: Float32Array,
  at: number,
): void {
  let a = 0;
  for (let k = 0; k < 4; k++) {
    const c = sample((i + 0.25 + 0.5 * (k & 1)) / px, (j + 0.25 + 0.5 * (k >> 1)) / px);
    const alpha = c.length > 3 ? c[3]! : 1;
    for (let q = 0; q < 3; q++) out[at + q]! += c[q]! * alpha;
    a += alpha;
  }
  for (let q = 0; q < 3; q++) out[at + q]! /= a || 1;
  out[at + 3] = a / 4;
}

/** Values of one tile. */
const tileLength = (px: number): number => px * px * 4;

/** Linear RGBA of one room: `ROOM_FACES.length` tiles of px², row 0 at the foot. Deterministic. */
export function paintRoom(styleIndex: number, px = ROOM_TILE_PX): Float32Array {
  const out = createRoom(px);
  for (const face of ROOM_FACES) paintFace(styleIndex, face, px, out);
  return out;
}

export const createRoom = (px = ROOM_TILE_PX): Float32Array => new Float32Array(ROOM_FACES.length * tileLength(px));

/** Paints one tile of a room, so that a long job can be cut in pieces. */
export function paintFace(styleIndex: number, face: RoomFace, px: number, room: Float32Array): void {
  const from = ROOM_FACES.indexOf(face) * tileLength(px);
  paintTile(STYLES[styleIndex % STYLES.length]!, face, px, room.subarray(from, from + tileLength(px)));
}

function paintTile(style: Style, face: RoomFace, px: number, out: Float32Array): void {
  if (face === 'middle' || face === 'curtain') {
    const sample =
      face === 'middle'
        ? (s: number, t: number) => middle(style, s * WIDTH_M, t * HEIGHT_M)
        : (s: number, t: number) => curtain(style, s, t);
    for (let j = 0; j < px; j++) for (let i = 0; i < px; i++) average(sample, i, j, px, out, (j * px + i) * 4);
    return;
  }
  const light = lightGrid(style, face);
  const paintBack = backWall(style);
  const albedo = (s: number, t: number) => wallAlbedo(style, face, s, t, paintBack);
  for (let j = 0; j < px; j++)
    for (let i = 0; i < px; i++) {
      const at = (j * px + i) * 4;
      if (face === 'back') average(albedo, i, j, px, out, at);
      else {
        const c = albedo((i + 0.5) / px, (j + 0.5) / px);
        for (let q = 0; q < 3; q++) out[at + q] = c[q]!;
        out[at + 3] = 1;
      }
      const e = light((i + 0.5) / px, (j + 0.5) / px);
      for (let q = 0; q < 3; q++) out[at + q]! *= e;
    }
}
