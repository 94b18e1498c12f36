import { childNodes, type TileNode } from '../tiles/node.ts';
import type { LampHelpers } from '../types.ts';
import { driftedTiles, dropSlot, mixLayer, sumAfresh, sumSoon, takeSlot } from './atlas.ts';
import { bringIndirect } from './bounced.ts';
import { bringContact, contactCell, tilesAllowed } from './contact.ts';
import { gainOver } from './demand.ts';
import { bringGroups, settleGroups } from './groups.ts';
import { handOut } from './handOut.ts';
import { forgetTile, layersAt, leavesOf, makeLayer, mayHalve, type Steps } from './kept.ts';
import { edgesMissing, type Layer, refineEdges } from './layer.ts';
import { joinContent, relightGroups, relightTiles } from './relight.ts';
import { type Kept, type Lit, layerKey, type SolverState, weightRgb } from './state.ts';

/** A wish must gain this many times more than what is given up for it, so that tiles do not flutter. */
const TRADE_FOR = 3;
/** Tiles traded in one solve: the picture must answer while the budget is full. */
const MOST_TRADES = 24;

/** Tiles looked at between two pauses. */
const TILES_A_STEP = 8;

/** Brings one source on one tile up to date: old layer out, new one in. */
function bringLayer(state: SolverState, lit: Lit, node: TileNode, key: string): Layer | undefined {
  const kept = lit.layers.get(node);
  const [r, g, b] = weightRgb(lit);
  if (kept && kept.key === key) {
    if (kept.light) mixLayer(state.atlas, node, kept.light, r, g, b);
    return kept.light;
  }
  if (kept?.light) mixLayer(state.atlas, node, kept.light, 0, 0, 0);
  if (lit.leaving) {
    if (kept?.light) sumSoon(state.atlas, node);
    lit.layers.delete(node);
    return undefined;
  }
  const made = makeLayer(state, lit, node, key);
  lit.layers.set(node, made);
  if (made.light) mixLayer(state.atlas, node, made.light, r, g, b);
  return made.light;
}

/** Direct light of all sources on the tiles there are, then on leaves and strands: the first picture. */
export function* solveDirect(state: SolverState, helpers?: LampHelpers): Steps {
  if (state.leaves.length === 0 && state.roots.length > 0) plantRoots(state);
  yield* relightTiles(state);
  const changed = [...state.lits.values()].filter((lit) => lit.done !== stampOf(state, lit));
  for (const next of handOut(state, changed, helpers)) {
    if (next) yield* bringTiles(state, next);
    else yield* pause(state);
  }
  for (const lit of state.lits.values()) yield* relightGroups(state, lit);
  for (const lit of changed) {
    yield* bringGroups(state, lit);
    lit.done = stampOf(state, lit);
    if (lit.leaving) state.lits.delete(lit.source.id);
  }
  forgetPlaces(state);
}

/** One step in which only others work. */
function* pause(state: SolverState): Steps {
  state.isWaiting = true;
  yield;
  state.isWaiting = false;
}

function* bringTiles(state: SolverState, lit: Lit): Steps {
  const key = layerKey(state, lit);
  for (let k = 0; k < state.leaves.length; k++) {
    bringLayer(state, lit, state.leaves[k]!, key);
    if (k % TILES_A_STEP === 0) yield;
  }
}

/** Finer tiles where sources that changed ask for them, then smooth shadow edges. */
export function* solveEdges(state: SolverState): Steps {
  const relit = state.order.filter((lit) => lit.refinedFor !== layerKey(state, lit));
  yield* bringContact(state, (node) => bringIndirect(state, node));
  const { trees } = state.stale;
  if (relit.length > 0 || trees.size > 0) {
    yield* joinContent(state);
    yield* refine(state, (node) => trees.has(node) || relit.some((lit) => lit.layers.get(node)?.light));
    trees.clear();
    for (const lit of relit) lit.refinedFor = layerKey(state, lit);
    // Tiles that came took over every layer.
    for (const lit of state.order) lit.done = stampOf(state, lit);
  }
  for (const lit of state.order) {
    const stamp = `${layerKey(state, lit)}|${state.treeVersion}`;
    if (lit.smoothFor === stamp) continue;
    yield* smoothLit(state, lit);
    lit.smoothFor = stamp;
  }
  state.foreseen.clear();
}

function stampOf(state: SolverState, lit: Lit): string {
  return `${layerKey(state, lit)}|${weightRgb(lit).join()}|${state.treeVersion}`;
}

function plantRoots(state: SolverState): void {
  for (const root of state.roots) takeSlot(state.atlas, root);
  state.leaves = [...state.roots];
  state.tilesChanged = true;
}

/** Lists the tiles now in use in the field, where that changed. A new list, so that its identity tells. */
export function publishTiles(state: SolverState): void {
  if (!state.tilesChanged) return;
  state.tilesChanged = false;
  state.atlas.field.tiles = state.leaves.map((node) => node.ref);
  state.stats.tiles = state.leaves.length;
  state.stats.samples = state.leaves.reduce((sum, node) => sum + node.validCount, 0);
}

interface Wish {
  node: TileNode;
  gain: number;
}

/** Splits the tiles that gain most, while there are slots; then trades away tiles that gain least. */
function* refine(state: SolverState, asks: (node: TileNode) => boolean): Steps {
  const heap: Wish[] = [];
  const consider = (node: TileNode): void => {
    if (node.children || !mayHalve(state.scene, node)) return;
    const gain = gainOver(node.ref.cellM, node, layersAt(state, node), contactCell(state, node));
    if (gain > 0) pushWish(heap, { node, gain });
  };
  for (const node of [...state.leaves]) {
    if (!asks(node)) continue;
    consider(node);
    yield;
  }
  yield* keepBudget(state);
  let grew = false;
  let trades = MOST_TRADES;
  let least: Wish[] | undefined;
  state.stats.tilesLeftCoarse = 0;
  while (heap.length > 0) {
    const wish = popWish(heap);
    if (isFull(state)) {
      least ??= yield* tradeable(state);
      if (trades-- === 0 || !makeRoom(state, least, wish)) {
        state.stats.tilesLeftCoarse = heap.length + 1;
        break;
      }
    }
    yield* splitTile(state, wish.node);
    grew = true;
    for (const child of wish.node.children ?? []) consider(child);
  }
  if (grew) {
    state.leaves = leavesOf(state.roots);
    state.treeVersion++;
    state.tilesChanged = true;
  }
}

/** Joins what gains least where the massing brought more tiles than the budget allows. */
function* keepBudget(state: SolverState): Steps {
  const most = Math.max(tilesAllowed(state), state.roots.length);
  if (state.leaves.length <= most) return;
  const list = yield* tradeable(state);
  while (state.leaves.length > most) {
    const least = list.pop();
    if (!least) return;
    const { children } = least.node;
    if (children?.every((c) => !c.children)) joinTile(state, least.node, children);
    yield;
  }
}

function isFull(state: SolverState): boolean {
  return state.atlas.free.length < 4 || state.leaves.length + 3 > tilesAllowed(state);
}

function* splitTile(state: SolverState, node: TileNode): Steps {
  const children = childNodes(state.scene, node);
  const lits = [...state.lits.values()];
  const keys = lits.map((lit) => layerKey(state, lit));
  const nothing = keys.map((key): Kept<Layer> => ({ key, light: undefined, droppedLm: 0 }));
  const reaches = lits.map((lit) => !lit.leaving && lit.layers.get(node)?.light !== undefined);
  const fresh: Kept<Layer>[][] = [];
  for (const child of children) {
    fresh.push(lits.map((lit, k) => (reaches[k] ? makeLayer(state, lit, child, keys[k]!) : nothing[k]!)));
    yield;
  }
  // From here on without a pause: the parent goes and its quarters come in one step.
  node.children = children;
  for (const lit of lits) lit.layers.delete(node);
  forgetTile(state, node);
  dropSlot(state.atlas, node);
  for (const child of children) {
    takeSlot(state.atlas, child);
    bringIndirect(state, child);
  }
  lits.forEach((lit, k) => {
    const rgb = weightRgb(lit);
    children.forEach((child, c) => {
      const made = fresh[c]![k]!;
      lit.layers.set(child, made);
      if (made.light) mixLayer(state.atlas, child, made.light, ...rgb);
    });
  });
  replaceLeaf(state.leaves, node, children);
  state.tilesChanged = true;
}

/** Puts the quarters of a tile in its place in a list, in no order. */
function replaceLeaf(leaves: TileNode[], node: TileNode, children: readonly TileNode[]): void {
  leaves[leaves.indexOf(node)] = children[0]!;
  leaves.push(...children.slice(1));
}

/** Parents of leaves only, with what splitting them gains now, least last. */
function* tradeable(state: SolverState): Generator<void, Wish[], void> {
  const list: Wish[] = [];
  const todo = [...state.roots];
  while (todo.length > 0) {
    const node = todo.pop()!;
    if (!node.children) continue;
    if (!node.children.every((c) => !c.children)) {
      todo.push(...node.children);
      continue;
    }
    const gains = node.children.map((child) =>
      gainOver(node.ref.cellM, child, layersAt(state, child), contactCell(state, child)),
    );
    list.push({ node, gain: Math.max(...gains) });
    yield;
  }
  return list.sort((a, b) => b.gain - a.gain);
}

/** Joins the quarters that gain least, when that is well below the wish. */
function makeRoom(state: SolverState, list: Wish[], wish: Wish): boolean {
  while (isFull(state)) {
    const least = list.pop();
    if (!least || least.gain * TRADE_FOR > wish.gain) return false;
    const children = least.node.children;
    if (!children?.every((c) => !c.children) || children.includes(wish.node)) continue;
    joinTile(state, least.node, children);
  }
  return true;
}

function joinTile(state: SolverState, node: TileNode, children: TileNode[]): void {
  node.children = undefined;
  for (const child of children) {
    for (const lit of state.lits.values()) lit.layers.delete(child);
    forgetTile(state, child);
    dropSlot(state.atlas, child);
  }
  takeSlot(state.atlas, node);
  bringIndirect(state, node);
  for (const lit of state.lits.values()) bringLayer(state, lit, node, layerKey(state, lit));
  state.leaves = state.leaves.filter((leaf) => !children.includes(leaf)).concat(node);
  state.tilesChanged = true;
}

function pushWish(heap: Wish[], wish: Wish): void {
  let k = heap.push(wish) - 1;
  while (k > 0) {
    const up = (k - 1) >> 1;
    if (heap[up]!.gain >= wish.gain) break;
    heap[k] = heap[up]!;
    k = up;
  }
  heap[k] = wish;
}

function popWish(heap: Wish[]): Wish {
  const top = heap[0]!;
  const last = heap.pop()!;
  if (heap.length === 0) return top;
  let k = 0;
  for (;;) {
    let child = 2 * k + 1;
    if (child >= heap.length) break;
    if (child + 1 < heap.length && heap[child + 1]!.gain > heap[child]!.gain) child++;
    if (heap[child]!.gain <= last.gain) break;
    heap[k] = heap[child]!;
    k = child;
  }
  heap[k] = last;
  return top;
}

/** Keeps the visibility of places in use and of the last few that were. */
function forgetPlaces(state: SolverState): void {
  const used = new Set(state.order.map((lit) => lit.emitter.placeKey));
  let spare = state.context.places.size - used.size - 8;
  for (const key of state.context.places.keys()) {
    if (spare <= 0) break;
    if (used.has(key)) continue;
    state.context.places.delete(key);
    state.context.groupPlaces.delete(key);
    spare--;
  }
}

/** Smooths the shadow edges of every layer of a source that has none yet. */
function* smoothLit(state: SolverState, lit: Lit): Steps {
  for (const node of state.leaves) {
    const layer = lit.layers.get(node)?.light;
    if (!layer || layer.smooth) continue;
    layer.smooth = true;
    if (!edgesMissing(state.context, lit.emitter, node, layer)) continue;
    const [r, g, b] = [...layer.mixed] as [number, number, number];
    mixLayer(state.atlas, node, layer, 0, 0, 0);
    refineEdges(state.context, lit.emitter, node, layer);
    mixLayer(state.atlas, node, layer, r, g, b);
    yield;
  }
}

/**
 * Sums afresh the tiles and groups whose rounding could show: a bound above 0.0005 lx, or 32 changes since the last full
 * sum; where a source was taken away, at once.
 */
export function* settle(state: SolverState): Steps {
  for (const node of [...driftedTiles(state.atlas)]) {
    sumAfresh(state.atlas, node, layersAt(state, node));
    yield;
  }
  settleGroups(state);
}
