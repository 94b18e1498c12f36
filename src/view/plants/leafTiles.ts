import { createDice, type LeafSheet } from '../../scene/index.ts';
import { type Leaf, SHEETS } from './leafSheets.ts';

/** Leaf-cluster atlas: 2 × 2 tiles, RGBA: R, G = tilt of the leaf's normal in the card (0.5 = none), B = brightness, A = cover. */
export interface LeafAtlas {
  sizePx: number;
  rgba: Uint8Array;
  /** Share of a tile that is leaf, mean over the tiles. */
  cover: number;
  /** Factor of the recipe's leaves that gave it. */
  scale: number;
}

/** Half width of a leaf at a share of its length, as a share of its widest. */
const PROFILE: Record<Leaf['shape'], (t: number) => number> = {
  leaf: (t) => Math.sin(Math.PI * t ** 0.8) ** 0.85,
  oval: (t) => Math.sin(Math.PI * t) ** 0.55,
  lance: (t) => Math.sin(Math.PI * t ** 0.75) ** 0.7,
  line: (t) => 1 - 0.6 * t,
  lobed: lobes,
};

/** An ivy leaf: a long middle lobe, two side lobes, two at the stalk. */
function lobes(t: number): number {
  if (t < 0.16) return 0.62 * (t / 0.16) ** 0.6;
  if (t < 0.34) return 0.62 - 0.14 * Math.sin(((t - 0.16) / 0.18) * Math.PI);
  if (t < 0.5) return 0.62 + 0.38 * Math.sin((((t - 0.34) / 0.16) * Math.PI) / 2);
  if (t < 0.62) return 1 - 0.58 * ((t - 0.5) / 0.12);
  return 0.42 * (1 - (t - 0.62) / 0.38) ** 0.8;
}

interface Tile {
  rgba: Uint8Array;
  sizePx: number;
  x0: number;
  y0: number;
  tilePx: number;
}

function paintLeaf(tile: Tile, leaf: Leaf, length: number, wide: number): void {
  const { rgba, sizePx, x0, y0, tilePx } = tile;
  const c = Math.cos(leaf.turn);
  const s = Math.sin(leaf.turn);
  const toPx = tilePx / 2;
  const profile = PROFILE[leaf.shape];
  const px = x0 + (leaf.x + 1) * toPx;
  const py = y0 + (leaf.y + 1) * toPx;
  const margin = (wide + Math.abs(leaf.bend) * length) * toPx + 2;
  const endX = px + c * length * toPx;
  const endY = py + s * length * toPx;
  const lowX = Math.max(x0 + 1, Math.floor(Math.min(px, endX) - margin));
  const highX = Math.min(x0 + tilePx - 2, Math.ceil(Math.max(px, endX) + margin));
  const lowY = Math.max(y0 + 1, Math.floor(Math.min(py, endY) - margin));
  const highY = Math.min(y0 + tilePx - 2, Math.ceil(Math.max(py, endY) + margin));
  for (let y = lowY; y <= highY; y++) {
    for (let x = lowX; x <= highX; x++) {
      const dx = (x + 0.5 - px) / toPx;
      const dy = (y + 0.5 - py) / toPx;
      const t = (dx * c + dy * s) / length;
      if (t <= 0 || t >= 1) continue;
      const across = -dx * s + dy * c - leaf.bend * length * t * t;
      if (Math.abs(across) > wide + 1 / toPx) continue;
      const half = wide * profile(t);
      const inside = (half - Math.abs(across)) * toPx + 0.5;
      if (inside <= 0) continue;
      const i = (y * sizePx + x) * 4;
      /* A line thinner than a pixel covers only part of it. */
      const a = Math.min(1, inside, Math.max(0.2, 2 * half * toPx));
      if (a * 255 < rgba[i + 3]! * 0.6) continue;
      const hand = across > 0 ? 1 : -1;
      const curl = (t - 0.5) * 0.35;
      const nx = leaf.tiltX + hand * leaf.fold * -s + curl * c;
      const ny = leaf.tiltY + hand * leaf.fold * c + curl * s;
      const rib = Math.abs(across) < 0.025 * length && leaf.shape !== 'line' ? 1.2 : 1;
      const vein =
        leaf.shape === 'line' || leaf.shape === 'lance' ? 1 : 1 + 0.05 * Math.sin((t - (Math.abs(across) / length) * 0.9) * 55);
      rgba[i] = Math.round(255 * Math.min(1, Math.max(0, 0.5 + nx * 0.5)));
      rgba[i + 1] = Math.round(255 * Math.min(1, Math.max(0, 0.5 + ny * 0.5)));
      rgba[i + 2] = Math.round(255 * Math.min(1, leaf.brightness * rib * vein * (1 - 0.12 * t)));
      rgba[i + 3] = Math.max(rgba[i + 3]!, Math.round(255 * a));
    }
  }
}

function coverOf(rgba: Uint8Array): number {
  let sum = 0;
  for (let i = 3; i < rgba.length; i += 4) sum += rgba[i]! >= 128 ? 1 : 0;
  return sum / (rgba.length / 4);
}

/**
 * Draws the atlas of one kind of leaves. They are widened until they cover `cover` of the tiles: the same share that turns cards
 * into leaf area when plants are grown, so what is drawn and what dims the light agree.
 */
export function drawLeafAtlas(sizePx: number, cover: number, sheet: LeafSheet = 'broad', seed = 7): LeafAtlas {
  const tilePx = sizePx / 2;
  const recipe = SHEETS[sheet];
  const random = createDice(seed).next;
  const tiles = [0, 1, 2, 3].map((tile) => recipe.lay(random, tile));
  let { scale } = recipe;
  let rgba = new Uint8Array(0);
  let got = 0;
  for (let round = 0; round < 9; round++) {
    rgba = new Uint8Array(sizePx * sizePx * 4);
    tiles.forEach((leaves, t) => {
      const tile: Tile = { rgba, sizePx, x0: (t % 2) * tilePx, y0: Math.floor(t / 2) * tilePx, tilePx };
      for (const leaf of leaves) {
        const length = leaf.length * (recipe.grows ? scale : 1);
        paintLeaf(tile, leaf, length, leaf.wide * leaf.length * scale);
      }
    });
    got = coverOf(rgba);
    if (Math.abs(got - cover) < 0.006 * cover) break;
    scale *= (cover / got) ** (recipe.grows ? 0.6 : 0.9);
  }
  return { sizePx, rgba, cover: got, scale };
}

export interface MipLevel {
  data: Uint8Array<ArrayBuffer>;
  width: number;
  height: number;
}

/**
 * Smaller copies of the atlas. Colour is averaged by cover, so that no dark fringe creeps in; alpha is raised until as much
 * of each level passes one half as of the first, so that crowns do not thin out with distance.
 *
 * @param breaks what becomes of leaves too fine for a level. Tufts and needle sprays break up into upright streaks, each place keeping
 *   its own share, instead of running together where blades stand close and vanishing at their tips; sprigs of leaves break up into grain,
 *   instead of running together into one large leaf of the sprig's outline.
 */
export function leafMips(atlas: LeafAtlas, breaks?: 'streaks' | 'grain'): MipLevel[] {
  const levels: MipLevel[] = [{ data: Uint8Array.from(atlas.rgba), width: atlas.sizePx, height: atlas.sizePx }];
  spreadColour(levels[0]!);
  let alpha = new Float32Array(atlas.sizePx ** 2);
  for (let i = 0; i < alpha.length; i++) alpha[i] = atlas.rgba[i * 4 + 3]! / 255;
  while (levels[levels.length - 1]!.width > 1) {
    const from = levels[levels.length - 1]!;
    const w = from.width / 2;
    const data = new Uint8Array(w * w * 4);
    const next = halved(from, alpha, data);
    let seen = next;
    if (breaks === 'streaks') seen = streaked(next, w);
    if (breaks === 'grain' && w <= GRAIN_FROM_PX) seen = grained(next, w);
    const raise = raiseFor(seen, atlas.cover);
    for (let i = 0; i < seen.length; i++) data[i * 4 + 3] = Math.min(255, Math.round(seen[i]! * raise * 255));
    levels.push({ data, width: w, height: w });
    alpha = next;
  }
  return levels;
}

/** Mean of four texels each: colour, weighed by cover, into `data`; cover is returned. */
function halved(from: MipLevel, alpha: Float32Array, data: Uint8Array): Float32Array<ArrayBuffer> {
  const w = from.width / 2;
  const out = new Float32Array(w * w);
  for (let y = 0; y < w; y++) {
    for (let x = 0; x < w; x++) {
      const i = 2 * y * from.width + 2 * x;
      const k = i + from.width;
      const [a, b, c, d] = [alpha[i]!, alpha[i + 1]!, alpha[k]!, alpha[k + 1]!];
      const sum = a + b + c + d;
      const o = y * w + x;
      out[o] = sum / 4;
      for (let part = 0; part < 3; part++) {
        const p = i * 4 + part;
        const q = k * 4 + part;
        const low = from.data[p]! * (a + 0.01) + from.data[p + 4]! * (b + 0.01);
        const high = from.data[q]! * (c + 0.01) + from.data[q + 4]! * (d + 0.01);
        data[o * 4 + part] = Math.round((low + high) / (sum + 0.04));
      }
    }
  }
  return out;
}

/** Atlas width from which on leaves fall under a few texels. */
const GRAIN_FROM_PX = 64;

/** Cover against a threshold of each texel's own: the share that passes one half stays. */
function grained(cover: Float32Array<ArrayBuffer>, width: number): Float32Array<ArrayBuffer> {
  return cover.map((a, i) => {
    const limit = 0.02 + 0.96 * ((0.7548776662 * (i % width) + 0.5698402909 * Math.floor(i / width)) % 1);
    return Math.min(1, Math.max(0, 0.5 + 0.8 * (a - limit)));
  });
}

/** Cover against a threshold of each column's own, 0.02 … 0.98, which wanders a little upward: the share that passes one half stays. */
function streaked(cover: Float32Array<ArrayBuffer>, width: number): Float32Array<ArrayBuffer> {
  return cover.map((a, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    const lean = Math.floor(x + 0.23 * y * (((x >> 1) % 3) - 1));
    const limit = 0.02 + 0.96 * (((lean + width) * 0.61803398875) % 1);
    return Math.min(1, Math.max(0, 0.5 + 0.8 * (a - limit)));
  });
}

/** Steps in which cover is counted. */
const COVER_STEPS = 1 << 14;

/** Factor that lets the wanted share of a level pass one half. */
function raiseFor(alpha: Float32Array, cover: number): number {
  const count = new Uint32Array(COVER_STEPS + 1);
  for (let i = 0; i < alpha.length; i++) count[(alpha[i]! * COVER_STEPS) | 0]!++;
  const below = Math.min(alpha.length - 1, Math.floor((1 - cover) * alpha.length));
  let at = 0;
  for (let seen = count[0]!; seen <= below; seen += count[at]!) at++;
  return Math.min(4, Math.max(0.5, 0.5 / Math.max(at / COVER_STEPS, 0.05)));
}

/** Fill what is clear with the mean leaf, so that filtering at edges does not darken or flatten. */
function spreadColour(level: MipLevel): void {
  for (let i = 0; i < level.data.length; i += 4) {
    if (level.data[i + 3]! > 0) continue;
    level.data[i] = 128;
    level.data[i + 1] = 128;
    level.data[i + 2] = 205;
  }
}

/** Mean brightness of what is leaf: the shader divides by it, so that the atlas adds no light. */
export function meanBrightness(atlas: LeafAtlas): number {
  let sum = 0;
  let weight = 0;
  for (let i = 0; i < atlas.rgba.length; i += 4) {
    sum += (atlas.rgba[i + 2]! * atlas.rgba[i + 3]!) / 255;
    weight += atlas.rgba[i + 3]!;
  }
  return weight > 0 ? sum / weight : 1;
}
