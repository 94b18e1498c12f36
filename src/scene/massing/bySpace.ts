import type { Strand } from './types.ts';

/** Strands left together. */
const LEAST = 4;

/**
 * The strands that throw hard shadows in their order, then the others so that neighbours in the list stand near each other:
 * halved along their longest side again and again. What lights strands looks at neighbours together.
 */
export function bySpace<T extends Pick<Strand, 'ringsM' | 'occludes'>>(strands: readonly T[]): T[] {
  const thin = strands.filter((strand) => !strand.occludes).map((strand) => ({ strand, at: middle(strand) }));
  halve(thin, 0, thin.length);
  return [...strands.filter((strand) => strand.occludes), ...thin.map(({ strand }) => strand)];
}

interface Placed {
  at: readonly number[];
}

function halve<P extends Placed>(list: P[], from: number, to: number): void {
  if (to - from <= LEAST) return;
  const part = list.slice(from, to);
  const sides = [0, 1, 2].map((c) => Math.max(...part.map((p) => p.at[c]!)) - Math.min(...part.map((p) => p.at[c]!)));
  const widest = sides.indexOf(Math.max(...sides));
  part.sort((a, b) => a.at[widest]! - b.at[widest]!);
  for (let k = 0; k < part.length; k++) list[from + k] = part[k]!;
  const half = (from + to) >> 1;
  halve(list, from, half);
  halve(list, half, to);
}

/** Middle between the first ring of a strand and its last. */
function middle({ ringsM }: Pick<Strand, 'ringsM'>): number[] {
  return [0, 1, 2].map((c) => (ringsM[c]! + ringsM[ringsM.length - 3 + c]!) / 2);
}
