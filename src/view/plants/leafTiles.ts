import { createDice } from '../../scene/index.ts';

/** Leaf-cluster atlas: 2 × 2 tiles, RGBA: R, G = tilt of the leaf's normal in the card (0.5 = none), B = brightness, A = cover. */
export interface LeafAtlas {
  sizePx: number;
  rgba: Uint8Array;
  /** Share of a tile that is leaf, mean over the tiles. */
  cover: number;
}

interface Leaf {
  x: number;
  y: number;
  turn: number;
  length: number;
  tiltX: number;
  tiltY: number;
  fold: number;
  brightness: number;
}

/** Scale of the leaves at which the usual cover comes out; another cover takes more rounds from here. */
const FIRST_SCALE = 0.9478509684896773;

/** A sprig of about twenty leaves in two ranks along a bent twig and two side shoots, in tile units −1 … 1. */
function layLeaves(count: number, random: () => number): Leaf[] {
  const leaves: Leaf[] = [];
  const bend = (random() - 0.5) * 1.2;
  const lean = (random() - 0.5) * 1.2;
  for (let i = 0; i < count; i++) {
    const t = (i + 0.5) / count;
    const shoot = i % 3;
    const along = -0.62 + 1.15 * t;
    const off = shoot === 0 ? 0 : (shoot === 1 ? 1 : -1) * (0.18 + 0.4 * Math.sin(Math.PI * t));
    const axis = Math.PI / 2 + bend * along + (shoot === 0 ? 0 : shoot === 1 ? -0.8 : 0.8);
    const side = i % 2 === 0 ? 1 : -1;
    const turn = axis + side * (0.55 + 0.5 * random()) + (random() - 0.5) * 0.5;
    leaves.push({
      x: off + bend * along * along * 0.35 + lean * 0.12 + (random() - 0.5) * 0.22,
      y: along + (random() - 0.5) * 0.16,
      turn,
      length: 0.42 * (0.75 + 0.5 * random()),
      tiltX: (random() - 0.5) * 1.1,
      tiltY: (random() - 0.5) * 1.1,
      fold: 0.25 + 0.35 * random(),
      brightness: 0.62 + 0.38 * random(),
    });
  }
  return leaves;
}

/** Width of a leaf at a share of its length: pointed, widest a little below the middle. */
const halfWidth = (t: number): number => 0.3 * Math.sin(Math.PI * Math.min(1, Math.max(0, t)) ** 0.8) ** 0.85;

function paintLeaf(
  rgba: Uint8Array,
  sizePx: number,
  originX: number,
  originY: number,
  tilePx: number,
  leaf: Leaf,
  scale: number,
): void {
  const length = leaf.length * scale;
  const c = Math.cos(leaf.turn);
  const s = Math.sin(leaf.turn);
  const toPx = tilePx / 2;
  const reach = Math.ceil(length * toPx) + 1;
  const px = originX + (leaf.x + 1) * toPx;
  const py = originY + (leaf.y + 1) * toPx;
  for (let y = Math.floor(py - reach); y <= py + reach; y++) {
    for (let x = Math.floor(px - reach); x <= px + reach; x++) {
      if (x < originX + 1 || y < originY + 1 || x >= originX + tilePx - 1 || y >= originY + tilePx - 1) continue;
      const dx = (x + 0.5 - px) / toPx / length;
      const dy = (y + 0.5 - py) / toPx / length;
      const along = dx * c + dy * s;
      const across = -dx * s + dy * c;
      const wide = halfWidth(along);
      const inside = (wide - Math.abs(across)) * length * toPx + 0.5;
      if (inside <= 0 || along <= 0 || along >= 1) continue;
      const half = across > 0 ? 1 : -1;
      const curl = (along - 0.5) * 0.35;
      const nx = leaf.tiltX + half * leaf.fold * -s + curl * c;
      const ny = leaf.tiltY + half * leaf.fold * c + curl * s;
      const rib = Math.abs(across) < 0.025 ? 1.2 : 1;
      const vein = 1 + 0.05 * Math.sin((along - Math.abs(across) * 0.9) * 55);
      const i = (y * sizePx + x) * 4;
      const a = Math.min(1, inside);
      if (a * 255 < rgba[i + 3]! * 0.6) continue;
      rgba[i] = Math.round(255 * Math.min(1, Math.max(0, 0.5 + nx * 0.5)));
      rgba[i + 1] = Math.round(255 * Math.min(1, Math.max(0, 0.5 + ny * 0.5)));
      rgba[i + 2] = Math.round(255 * Math.min(1, leaf.brightness * rib * vein * (1 - 0.12 * along)));
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
 * Draws the atlas. Leaves are scaled until they cover `cover` of the tiles: the same share that turns cards into leaf area
 * when plants are grown, so what is drawn and what dims the light agree.
 */
export function drawLeafAtlas(sizePx: number, cover: number, seed = 7): LeafAtlas {
  const tilePx = sizePx / 2;
  const random = createDice(seed).next;
  const tiles = [0, 1, 2, 3].map(() => layLeaves(20, random));
  let scale = FIRST_SCALE;
  let rgba = new Uint8Array(0);
  let got = 0;
  for (let round = 0; round < 7; round++) {
    rgba = new Uint8Array(sizePx * sizePx * 4);
    tiles.forEach((leaves, t) => {
      for (const leaf of leaves) paintLeaf(rgba, sizePx, (t % 2) * tilePx, Math.floor(t / 2) * tilePx, tilePx, leaf, scale);
    });
    got = coverOf(rgba);
    if (Math.abs(got - cover) < 0.002) break;
    scale *= (cover / got) ** 0.6;
  }
  return { sizePx, rgba, cover: got };
}

export interface MipLevel {
  data: Uint8Array<ArrayBuffer>;
  width: number;
  height: number;
}

/**
 * Smaller copies of the atlas. Colour is averaged by cover, so that no dark fringe creeps in; alpha is raised until as much
 * of each level passes one half as of the first, so that crowns do not thin out with distance.
 */
export function leafMips(atlas: LeafAtlas): MipLevel[] {
  const levels: MipLevel[] = [{ data: Uint8Array.from(atlas.rgba), width: atlas.sizePx, height: atlas.sizePx }];
  spreadColour(levels[0]!);
  let alpha = Float32Array.from({ length: atlas.sizePx ** 2 }, (_, i) => atlas.rgba[i * 4 + 3]! / 255);
  while (levels[levels.length - 1]!.width > 1) {
    const from = levels[levels.length - 1]!;
    const w = from.width / 2;
    const data = new Uint8Array(w * w * 4);
    const next = new Float32Array(w * w);
    for (let y = 0; y < w; y++)
      for (let x = 0; x < w; x++) {
        const at = [0, 1, from.width, from.width + 1].map((d) => 2 * y * from.width + 2 * x + d);
        const o = y * w + x;
        let sum = 0;
        for (const i of at) sum += alpha[i]!;
        next[o] = sum / 4;
        for (let c = 0; c < 3; c++) {
          let mix = 0;
          for (const i of at) mix += from.data[i * 4 + c]! * (alpha[i]! + 0.01);
          data[o * 4 + c] = Math.round(mix / (sum + 0.04));
        }
      }
    const raise = raiseFor(next, atlas.cover);
    for (let i = 0; i < next.length; i++) data[i * 4 + 3] = Math.min(255, Math.round(next[i]! * raise * 255));
    levels.push({ data, width: w, height: w });
    alpha = next;
  }
  return levels;
}

/** Factor that lets the wanted share of a level pass one half. */
function raiseFor(alpha: Float32Array, cover: number): number {
  const sorted = Float32Array.from(alpha).sort();
  const at = sorted[Math.min(sorted.length - 1, Math.floor((1 - cover) * sorted.length))]!;
  return Math.min(4, Math.max(0.5, 0.5 / Math.max(at, 0.05)));
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
