import type { Vec3 } from '../../../src/scene/index.ts';

export type Triple = [number, number, number];

export interface Node {
  low: Triple;
  high: Triple;
  left: Node | undefined;
  right: Node | undefined;
  items: number[];
}

/** Boxes split at the median of their centres along the longest side. */
export function treeOf(boxes: readonly { low: Triple; high: Triple }[], items = boxes.map((_, i) => i)): Node {
  const low: Triple = [Infinity, Infinity, Infinity];
  const high: Triple = [-Infinity, -Infinity, -Infinity];
  for (const i of items) {
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k]!, boxes[i]!.low[k]!);
      high[k] = Math.max(high[k]!, boxes[i]!.high[k]!);
    }
  }
  if (items.length <= 4) return { low, high, left: undefined, right: undefined, items };
  const axis = [0, 1, 2].reduce((best, k) => (high[k]! - low[k]! > high[best]! - low[best]! ? k : best), 0);
  const middle = (i: number): number => boxes[i]!.low[axis]! + boxes[i]!.high[axis]!;
  const sorted = [...items].sort((a, b) => middle(a) - middle(b));
  const half = sorted.length >> 1;
  return { low, high, left: treeOf(boxes, sorted.slice(0, half)), right: treeOf(boxes, sorted.slice(half)), items: [] };
}

export function meetsBox({ low, high }: Node, o: Vec3, inverse: Triple, most: number): boolean {
  let near = 0;
  let far = most;
  for (let k = 0; k < 3; k++) {
    const a = (low[k]! - o[k]!) * inverse[k]!;
    const b = (high[k]! - o[k]!) * inverse[k]!;
    if (Number.isNaN(a) || Number.isNaN(b)) continue;
    if (a < b) {
      if (a > near) near = a;
      if (b < far) far = b;
    } else {
      if (b > near) near = b;
      if (a < far) far = a;
    }
    if (near > far) return false;
  }
  return true;
}
