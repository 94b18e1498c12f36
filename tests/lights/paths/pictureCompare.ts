import type { Reference } from './pictureFile.ts';

/** Below this in either picture nothing is judged, cd/m²: 13 of 255 on the display at the darkest exposure of the two (EV 2). */
export const FLOOR_CD_M2 = 0.02;
/** Side of the squares of pixels that are compared by their mean, so that the dice of the reference weigh little. */
export const BLOCK_PX = 3;

/** Share |ours ÷ path-traced − 1| of what is judged, and sums over it. */
export interface Figures {
  judged: number;
  /** Of the blocks without sky: share that is judged. */
  judgedShare: number;
  median: number;
  high: number;
  within10: number;
  within25: number;
  /** Mean luminance ours ÷ path-traced. */
  mean: number;
  /** Median of the reference's own standard error, as a share. */
  noise: number;
}

export interface Blocks {
  columns: number;
  rows: number;
  ours: Float64Array;
  theirs: Float64Array;
  error: Float64Array;
  /** 1 where both are at or over the floor and no pixel sees the sky. */
  judged: Uint8Array;
  solid: number;
}

/** What is compared: `strands` false: without the light that bars, posts, trunks and limbs send on; `leaves`: share of every pixel, and whether blocks with leaves are judged or those without. */
export interface Asked {
  strands: boolean;
  leaves?: { share: Float32Array; only: boolean };
}

export type AskedName = 'all' | 'withoutStrands' | 'surfaces' | 'leaves';

/** What docs/proof.md tells of. */
export const figuresAsked = (share: Float32Array): (readonly [AskedName, Asked])[] => [
  ['all', { strands: true }],
  ['withoutStrands', { strands: false }],
  ['surfaces', { strands: false, leaves: { share, only: false } }],
  ['leaves', { strands: false, leaves: { share, only: true } }],
];

/** Blocks with less than this of leaves count as without. */
const NO_LEAVES = 0.02;

export function blocksOf(ours: Float32Array, reference: Reference, asked: Asked, sidePx = BLOCK_PX): Blocks {
  const { widthPx, heightPx, luminance, error, byStrands, isSky } = reference;
  const [columns, rows] = [Math.floor(widthPx / sidePx), Math.floor(heightPx / sidePx)];
  const out: Blocks = {
    columns,
    rows,
    ours: new Float64Array(columns * rows),
    theirs: new Float64Array(columns * rows),
    error: new Float64Array(columns * rows),
    judged: new Uint8Array(columns * rows),
    solid: 0,
  };
  const n = sidePx * sidePx;
  for (let b = 0; b < columns * rows; b++) {
    let [mine, theirs, squares, sky, leaf] = [0, 0, 0, 0, 0];
    for (let k = 0; k < n; k++) {
      const x = (b % columns) * sidePx + (k % sidePx);
      const i = (Math.floor(b / columns) * sidePx + Math.floor(k / sidePx)) * widthPx + x;
      mine += ours[i]! / n;
      theirs += (luminance[i]! - (asked.strands ? 0 : byStrands[i]!)) / n;
      squares += (error[i]! / n) ** 2;
      sky += isSky[i]!;
      leaf += (asked.leaves?.share[i] ?? 0) / n;
    }
    out.ours[b] = mine;
    out.theirs[b] = theirs;
    out.error[b] = Math.sqrt(squares);
    const isAsked = sky === 0 && (!asked.leaves || leaf >= NO_LEAVES === asked.leaves.only);
    if (isAsked) out.solid++;
    out.judged[b] = isAsked && mine >= FLOOR_CD_M2 && theirs >= FLOOR_CD_M2 ? 1 : 0;
  }
  return out;
}

export function figuresOf({ ours, theirs, error, judged, solid }: Blocks): Figures {
  const off: number[] = [];
  const noise: number[] = [];
  let [mine, all] = [0, 0];
  judged.forEach((yes, b) => {
    if (!yes) return;
    off.push(Math.abs(ours[b]! / theirs[b]! - 1));
    noise.push(error[b]! / theirs[b]!);
    mine += ours[b]!;
    all += theirs[b]!;
  });
  const at = (list: number[], share: number): number => list.sort((a, b) => a - b)[Math.floor(list.length * share)] ?? 0;
  const within = (most: number): number => off.filter((v) => v <= most).length / off.length;
  return {
    judged: off.length,
    judgedShare: off.length / solid,
    median: at(off, 0.5),
    high: at(off, 0.9),
    within10: within(0.1),
    within25: within(0.25),
    mean: mine / all,
    noise: at(noise, 0.5),
  };
}
