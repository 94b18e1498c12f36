/** Bounding volume hierarchy over axis-aligned boxes, flat arrays, children side by side. */
export interface BoxTree {
  /** 6 numbers a node: min x, y, z, max x, y, z. */
  bounds: Float32Array;
  /** Inner node: index of the left child (right = left + 1). Leaf: first place in `order`. */
  first: Int32Array;
  /** Leaf: how many items; inner node: 0. */
  count: Int32Array;
  /** Item indices in leaf order. */
  order: Uint32Array;
  nodes: number;
}

const BINS = 16;

/**
 * Builds a tree by the surface area heuristic over 16 bins of its longest axis.
 *
 * @param boxes 6 numbers an item: min x, y, z, max x, y, z.
 * @param leafSize items a leaf may hold at most (where they can be parted).
 * @source I. Wald, "On fast construction of SAH-based bounding volume hierarchies", 2007 (binned SAH).
 */
export function buildBoxTree(boxes: Float32Array, leafSize: number): BoxTree {
  const items = boxes.length / 6;
  const most = Math.max(1, 2 * items);
  const tree: BoxTree = {
    bounds: new Float32Array(most * 6),
    first: new Int32Array(most),
    count: new Int32Array(most),
    order: Uint32Array.from({ length: items }, (_, i) => i),
    nodes: 1,
  };
  const todo: number[] = [0, 0, items];
  while (todo.length > 0) {
    const end = todo.pop()!;
    const begin = todo.pop()!;
    const node = todo.pop()!;
    writeBounds(tree, node, boxes, begin, end);
    const middle = end - begin > leafSize ? split(tree, boxes, begin, end, leafSize) : -1;
    if (middle < 0) {
      tree.first[node] = begin;
      tree.count[node] = end - begin;
      continue;
    }
    const left = tree.nodes;
    tree.nodes += 2;
    tree.first[node] = left;
    todo.push(left, begin, middle, left + 1, middle, end);
  }
  return tree;
}

function writeBounds(tree: BoxTree, node: number, boxes: Float32Array, begin: number, end: number): void {
  const { bounds, order } = tree;
  const at = node * 6;
  bounds.fill(Infinity, at, at + 3);
  bounds.fill(-Infinity, at + 3, at + 6);
  for (let i = begin; i < end; i++) {
    const b = order[i]! * 6;
    for (let k = 0; k < 3; k++) {
      if (boxes[b + k]! < bounds[at + k]!) bounds[at + k] = boxes[b + k]!;
      if (boxes[b + 3 + k]! > bounds[at + 3 + k]!) bounds[at + 3 + k] = boxes[b + 3 + k]!;
    }
  }
}

const binCount = new Int32Array(BINS);
const binBox = new Float64Array(BINS * 6);
const rightArea = new Float64Array(BINS);
const run = new Float64Array(6);

/** Lowest and highest centre (doubled) of the items in work, three axes. */
const centres = new Float64Array(6);

/**
 * Parts `order[begin, end)` at the cheapest plane across the axis along which its centres spread most; returns the place of
 * the cut, −1 when a leaf is as cheap. (All three axes cost three times as much and save a few rays in a hundred.)
 */
function split(tree: BoxTree, boxes: Float32Array, begin: number, end: number, leafSize: number): number {
  const { order } = tree;
  const n = end - begin;
  spreadOf(order, boxes, begin, end);
  let bestAxis = -1;
  let spread = 1e-9;
  for (let axis = 0; axis < 3; axis++) {
    const width = centres[3 + axis]! - centres[axis]!;
    if (!(width > spread)) continue;
    spread = width;
    bestAxis = axis;
  }
  const bestLow = bestAxis < 0 ? 0 : centres[bestAxis]!;
  const bestScale = BINS / spread;
  let bestBin = 0;
  if (bestAxis >= 0) {
    fillBins(order, boxes, begin, end, bestAxis, bestLow, bestScale);
    bestBin = cheapestCut(n);
  }
  if (bestAxis < 0) return n > 4 * leafSize ? begin + (n >> 1) : -1;
  let left = begin;
  let right = end - 1;
  while (left <= right) {
    const item = order[left]!;
    const c = boxes[item * 6 + bestAxis]! + boxes[item * 6 + 3 + bestAxis]!;
    if (binOf(c, bestLow, bestScale) <= bestBin) left++;
    else {
      order[left] = order[right]!;
      order[right] = item;
      right--;
    }
  }
  return left > begin && left < end ? left : begin + (n >> 1);
}

function spreadOf(order: Uint32Array, boxes: Float32Array, begin: number, end: number): void {
  centres.fill(Infinity, 0, 3);
  centres.fill(-Infinity, 3, 6);
  for (let i = begin; i < end; i++) {
    const b = order[i]! * 6;
    for (let k = 0; k < 3; k++) {
      const c = boxes[b + k]! + boxes[b + 3 + k]!;
      if (c < centres[k]!) centres[k] = c;
      if (c > centres[3 + k]!) centres[3 + k] = c;
    }
  }
}

function binOf(c: number, low: number, scale: number): number {
  return Math.min(BINS - 1, Math.max(0, ((c - low) * scale) | 0));
}

function fillBins(
  order: Uint32Array,
  boxes: Float32Array,
  begin: number,
  end: number,
  axis: number,
  low: number,
  scale: number,
): void {
  binCount.fill(0);
  for (let bin = 0; bin < BINS; bin++) {
    binBox.fill(Infinity, bin * 6, bin * 6 + 3);
    binBox.fill(-Infinity, bin * 6 + 3, bin * 6 + 6);
  }
  for (let i = begin; i < end; i++) {
    const b = order[i]! * 6;
    const bin = binOf(boxes[b + axis]! + boxes[b + 3 + axis]!, low, scale);
    binCount[bin]!++;
    grow(binBox, bin * 6, boxes, b);
  }
}

function grow(box: Float64Array, at: number, from: Float32Array | Float64Array, b: number): void {
  for (let k = 0; k < 3; k++) {
    if (from[b + k]! < box[at + k]!) box[at + k] = from[b + k]!;
    if (from[b + 3 + k]! > box[at + 3 + k]!) box[at + 3 + k] = from[b + 3 + k]!;
  }
}

function halfArea(box: Float64Array): number {
  const x = box[3]! - box[0]!;
  const y = box[4]! - box[1]!;
  const z = box[5]! - box[2]!;
  return x >= 0 ? x * y + y * z + z * x : 0;
}

function resetRun(): void {
  run.fill(Infinity, 0, 3);
  run.fill(-Infinity, 3, 6);
}

/** Bin after which a cut is cheapest. */
function cheapestCut(n: number): number {
  resetRun();
  for (let bin = BINS - 1; bin > 0; bin--) {
    grow(run, 0, binBox, bin * 6);
    rightArea[bin] = halfArea(run);
  }
  resetRun();
  let cost = Infinity;
  let best = 0;
  let leftCount = 0;
  for (let bin = 0; bin < BINS - 1; bin++) {
    grow(run, 0, binBox, bin * 6);
    leftCount += binCount[bin]!;
    if (leftCount === 0 || leftCount === n) continue;
    const c = halfArea(run) * leftCount + rightArea[bin + 1]! * (n - leftCount);
    if (c < cost) {
      cost = c;
      best = bin;
    }
  }
  return best;
}
