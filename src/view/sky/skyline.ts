import { createDice } from '../../scene/index.ts';

/** Distant layers from near to far: how high things stand and how far away they are, metres. */
export const SKYLINE_LAYERS = [
  { distanceM: 75, lowM: 2.2, highM: 8, seed: 11 },
  { distanceM: 150, lowM: 4.5, highM: 12.5, seed: 23 },
  { distanceM: 320, lowM: 10, highM: 21, seed: 37 },
  { distanceM: 900, lowM: 26, highM: 46, seed: 51 },
] as const;
/** Houses a layer. None is near: a large dark outline would be taken for a part of the property. */
const HOUSES = [0, 12, 22, 0] as const;
export const SKYLINE_WIDTH = 4096;
/** Texture value 1 stands for this height, metres. */
export const SKYLINE_TOP_M = 50;

export interface LitWindow {
  azimuthRad: number;
  heightM: number;
  distanceM: number;
}
export interface Skyline {
  /**
   * SKYLINE_WIDTH × 2, RGBA, a channel a layer: heights as shares of SKYLINE_TOP_M, then 1 where a house tops the layer and
   * 0 where leaves do.
   */
  rows: Float32Array;
  /** Highest of each layer, metres. */
  topsM: number[];
  windows: LitWindow[];
}

/** Azimuth of a column: 0 toward −Z, growing toward +X, as the sky basis has it. */
const columnOf = (azimuthRad: number): number => ((azimuthRad / (2 * Math.PI)) * SKYLINE_WIDTH + SKYLINE_WIDTH) % SKYLINE_WIDTH;

/** Outlines of trees, bushes and a few roofs round the horizon; deterministic. */
export function drawSkyline(): Skyline {
  const rows = new Float32Array(SKYLINE_WIDTH * 8);
  const topsM: number[] = [];
  const windows: LitWindow[] = [];
  SKYLINE_LAYERS.forEach((layer, k) => {
    const random = createDice(layer.seed).next;
    const row = new Float32Array(SKYLINE_WIDTH);
    layHills(row, layer.lowM, k, random);
    const things = [80, 190, 280, 160][k]!;
    for (let i = 0; i < things; i++) {
      const at = 2 * Math.PI * random();
      const grove = 0.5 + 0.5 * Math.sin(at * 3 + k * 2) + 0.4 * Math.sin(at * 7 + k);
      if (random() > 0.25 + 0.6 * grove) continue;
      const heightM = layer.lowM + (layer.highM - layer.lowM) * (0.1 + 0.9 * random() ** 1.6) * Math.min(1, 0.5 + 0.5 * grove);
      layTree(row, at, heightM, layer.distanceM, random);
    }
    const built = new Float32Array(SKYLINE_WIDTH);
    const lit: LitWindow[] = [];
    for (let i = 0; i < HOUSES[k]!; i++) layPlot(built, row, clearing(row, rows, k, random), layer.distanceM, lit, random);
    windows.push(...lit.filter((w) => inSight(w, row, rows, k)));
    for (let i = 0; i < SKYLINE_WIDTH; i++) {
      const topM = Math.max(row[i]!, built[i]!);
      rows[i * 4 + k] = topM / SKYLINE_TOP_M;
      rows[(SKYLINE_WIDTH + i) * 4 + k] = built[i]! > row[i]! ? 1 : 0;
      topsM[k] = Math.max(topsM[k] ?? 0, topM);
    }
  });
  return { rows, topsM, windows };
}

/** Azimuth of the most open of a few places: houses stand where growth is low before them. */
function clearing(green: Float32Array, rows: Float32Array, k: number, random: () => number): number {
  let best = 0;
  let least = Infinity;
  for (let n = 0; n < 5; n++) {
    const at = 2 * Math.PI * random();
    const column = Math.floor(columnOf(at)) % SKYLINE_WIDTH;
    let rise = green[column]! / SKYLINE_LAYERS[k]!.distanceM;
    for (let j = 0; j < k; j++) rise = Math.max(rise, (rows[column * 4 + j]! * SKYLINE_TOP_M) / SKYLINE_LAYERS[j]!.distanceM);
    if (rise < least) [best, least] = [at, rise];
  }
  return best;
}

/** Eyes stand about this high. */
const EYE_M = 1.6;

/** A window shows where neither the growth before its own house nor a nearer layer stands higher. */
function inSight(window: LitWindow, green: Float32Array, rows: Float32Array, k: number): boolean {
  const column = Math.floor(columnOf(window.azimuthRad)) % SKYLINE_WIDTH;
  const rise = (window.heightM - EYE_M) / window.distanceM;
  if (green[column]! > window.heightM + 2) return false;
  return SKYLINE_LAYERS.slice(0, k).every(
    (layer, j) => (rows[column * 4 + j]! * SKYLINE_TOP_M - EYE_M) / layer.distanceM < rise - 0.6 / window.distanceM,
  );
}

/** Low growth and rising ground that the rest stands on. */
function layHills(row: Float32Array, lowM: number, k: number, random: () => number): void {
  const phases = Array.from({ length: 9 }, () => random() * 6.283);
  for (let i = 0; i < row.length; i++) {
    const a = (i / row.length) * 2 * Math.PI;
    let h = 0.62;
    phases.forEach((p, j) => {
      const f = [2, 3, 5, 9, 17, 31, 67, 127, 251][j]!;
      h += (0.34 / (1 + j * 0.75)) * Math.sin(a * f + p);
    });
    row[i] = lowM * Math.max(0.3, h) * (k === 3 ? 1 : 0.85 + 0.3 * random() * 0.3);
  }
}

/** A crown as a soft mound with shoulders: outlines only, so nothing may overhang. */
function layTree(row: Float32Array, at: number, heightM: number, distanceM: number, random: () => number): void {
  const pointed = random() < 0.12;
  const wideM = heightM * (pointed ? 0.22 : 0.55 + 0.5 * random());
  const half = (wideM / distanceM / (2 * Math.PI)) * row.length;
  const centre = columnOf(at);
  const shoulders = Array.from({ length: 5 }, () => ({
    x: random() * 1.5 - 0.75,
    y: 0.72 + 0.28 * random(),
    r: 0.3 + 0.3 * random(),
  }));
  const phase = Array.from({ length: 3 }, () => random() * 6.283);
  const metres = (2 * Math.PI * distanceM) / row.length;
  for (let i = Math.floor(centre - half); i <= centre + half; i++) {
    const x = (i - centre) / half;
    const mound = Math.max(0, 1 - x * x);
    let top = pointed ? Math.max(0, 1 - Math.abs(x)) ** 1.15 : 0.8 * mound ** 0.6;
    if (!pointed)
      for (const s of shoulders) {
        const d = (x - s.x) / s.r;
        if (Math.abs(d) < 1) top = Math.max(top, s.y * mound ** 0.3 * (1 - 0.35 * d * d));
      }
    const m = (i - centre) * metres;
    const lump = (perM: number, p: number) => Math.abs(Math.sin(m * perM + p));
    const leaves = 0.93 + (0.5 / heightM) * (lump(0.75, phase[0]!) + 0.6 * lump(1.7, phase[1]!) + 0.35 * lump(3.9, phase[2]!));
    const column = (i + row.length) % row.length;
    row[column] = Math.max(row[column]!, heightM * top * leaves);
  }
}

/** A house with a chimney, seen from its gable or along its ridge, and trees of its garden before both its ends. */
function layPlot(
  built: Float32Array,
  green: Float32Array,
  at: number,
  distanceM: number,
  windows: LitWindow[],
  random: () => number,
): void {
  const gable = random() < 0.4;
  const wideM = gable ? 6.5 + 2.5 * random() : 9 + 4.5 * random();
  const eavesM = random() < 0.45 ? 2.8 + 0.5 * random() : 4.8 + 0.8 * random();
  const ridgeM = eavesM + 1.9 + 1.5 * random();
  /* Half length of the ridge, share of the half width: 0 shows a gable, nearly 1 a roof between two of them. */
  const hip = gable ? 0 : random() < 0.5 ? 0.4 : 0.97;
  const metres = (2 * Math.PI * distanceM) / built.length;
  const centre = columnOf(at);
  const half = wideM / 2 / metres;
  const chimney = (random() < 0.5 ? -1 : 1) * (gable ? 0.3 : 0.8 * hip) * half;
  for (let i = Math.floor(centre - half); i <= centre + half; i++) {
    const x = Math.abs((i - centre) / half);
    const roofM = x <= hip ? ridgeM : eavesM + ((ridgeM - eavesM) * Math.max(0, 1 - x)) / (1 - hip);
    const topM = Math.abs(i - centre - chimney) * metres < 0.45 ? ridgeM + 0.7 : roofM;
    const column = (i + built.length) % built.length;
    built[column] = Math.max(built[column]!, topM);
  }
  for (const side of [-1, 1])
    layTree(
      green,
      at + (side * wideM * (0.35 + 0.3 * random())) / distanceM,
      ridgeM * (0.5 + 0.75 * random()),
      distanceM,
      random,
    );
  for (let w = 0; w < 3; w++) {
    if (random() < 0.4) continue;
    const offM = (random() - 0.5) * wideM * 0.6;
    windows.push({ azimuthRad: at + offM / distanceM, heightM: eavesM < 4 || random() < 0.3 ? 1.6 : 4.1, distanceM });
  }
}
