import type { BoxTree } from '../rays/bvh.ts';
import { BODY_BLOCK_BYTES, EMPTY_CHILD, NODE_BYTES, TRIANGLE_BLOCK_BYTES } from './layout.ts';

/** A tree of four children a node and blocks of four items, as the kernels read it. */
export interface WideTree {
  nodes: ArrayBuffer;
  /** Item (place in the order of the tree it was made from) of each lane of each block, −1 where empty. */
  places: Int32Array;
  blocks: number;
}

const WIDTH = 4;
/** Blocks a leaf may name: three bits of its code. */
const MOST_BLOCKS = 8;
const FAR = 1e30;

/**
 * Collapses a binary tree: the largest inner child is replaced by its own two until a node has four. Leaves become blocks
 * of four items.
 *
 * @throws {RangeError} a leaf holds more than 32 items.
 */
export function widenTree(tree: BoxTree): WideTree {
  const places: number[] = [];
  const nodes: { child: number[]; code: number[] }[] = [];
  const leafCode = (node: number): number => {
    const n = tree.count[node]!;
    const from = tree.first[node]!;
    const block = places.length / WIDTH;
    const blocks = Math.ceil(n / WIDTH);
    if (blocks > MOST_BLOCKS) throw new RangeError(`tree leaf with ${n} items: at most ${MOST_BLOCKS * WIDTH}`);
    for (let i = 0; i < blocks * WIDTH; i++) places.push(i < n ? from + i : -1);
    return ~((block << 3) | (blocks - 1));
  };
  const build = (root: number): number => {
    const index = nodes.length;
    const child = tree.count[root]! > 0 || tree.order.length === 0 ? [root] : fourBelow(tree, root);
    const code: number[] = [];
    nodes.push({ child, code });
    for (const c of child) {
      if (tree.order.length === 0) code.push(EMPTY_CHILD);
      else code.push(tree.count[c]! > 0 ? leafCode(c) : build(c));
    }
    return index;
  };
  build(0);
  return { nodes: packNodes(tree, nodes), places: Int32Array.from(places), blocks: places.length / WIDTH };
}

function fourBelow(tree: BoxTree, root: number): number[] {
  const out = [tree.first[root]!, tree.first[root]! + 1];
  while (out.length < WIDTH) {
    let largest = -1;
    let area = -1;
    out.forEach((node, k) => {
      if (tree.count[node]! > 0) return;
      const a = halfArea(tree.bounds, node * 6);
      if (a > area) {
        area = a;
        largest = k;
      }
    });
    if (largest < 0) break;
    const first = tree.first[out[largest]!]!;
    out.splice(largest, 1, first, first + 1);
  }
  return out;
}

function halfArea(b: Float32Array, at: number): number {
  const x = b[at + 3]! - b[at]!;
  const y = b[at + 4]! - b[at + 1]!;
  const z = b[at + 5]! - b[at + 2]!;
  return x * y + y * z + z * x;
}

/** Boxes side by side; an empty child has its box inside out, so that no test takes it. */
function packNodes(tree: BoxTree, nodes: { child: number[]; code: number[] }[]): ArrayBuffer {
  const out = new ArrayBuffer(nodes.length * NODE_BYTES);
  const f = new Float32Array(out);
  const i = new Int32Array(out);
  nodes.forEach(({ child, code }, n) => {
    const at = (n * NODE_BYTES) / 4;
    for (let c = 0; c < WIDTH; c++) {
      const empty = c >= child.length || code[c] === EMPTY_CHILD;
      for (let k = 0; k < 3; k++) {
        f[at + k * 8 + c] = empty ? FAR : tree.bounds[child[c]! * 6 + k]!;
        f[at + k * 8 + 4 + c] = empty ? -FAR : tree.bounds[child[c]! * 6 + 3 + k]!;
      }
      i[at + 24 + c] = empty ? EMPTY_CHILD : code[c]!;
    }
  });
  return out;
}

/** Blocks of triangles; empty lanes hold a triangle without area. `corners`: first vertex and the edges from it. */
export function packTriangles(wide: WideTree, source: Uint32Array, positions: Float32Array): Float32Array {
  const out = new Float32Array((wide.blocks * TRIANGLE_BLOCK_BYTES) / 4);
  wide.places.forEach((place, lane) => {
    if (place < 0) return;
    const at = ((lane >> 2) * TRIANGLE_BLOCK_BYTES) / 4 + (lane & 3);
    for (let k = 0; k < 9; k++) out[at + k * WIDTH] = positions[source[place]! * 9 + k]!;
  });
  return out;
}

/** Blocks of leaf bodies: `data` as in `LeafBodies`; empty lanes take no light. */
export function packBodies(wide: WideTree, order: Uint32Array, data: Float64Array): Float32Array {
  const out = new Float32Array((wide.blocks * BODY_BLOCK_BYTES) / 4);
  wide.places.forEach((place, lane) => {
    const at = ((lane >> 2) * BODY_BLOCK_BYTES) / 4 + (lane & 3);
    const from = place < 0 ? -1 : order[place]! * 7;
    for (let k = 0; k < 3; k++) {
      out[at + k * WIDTH] = from < 0 ? FAR / 1e15 : data[from + k]!;
      out[at + (3 + k) * WIDTH] = from < 0 ? 1 : 1 / data[from + 3 + k]!;
    }
    out[at + 6 * WIDTH] = from < 0 ? 0 : data[from + 6]!;
  });
  return out;
}
