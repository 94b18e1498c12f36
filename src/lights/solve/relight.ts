import type { TileNode } from '../tiles/node.ts';
import { sumAfresh, takeSlot } from './atlas.ts';
import { bringIndirect } from './bounced.ts';
import { contactCell } from './contact.ts';
import { gainOver } from './demand.ts';
import { mixGroup, sightFrom } from './groups.ts';
import { forgetTile, forgetTree, layersAt, leavesOf, makeLayer, type Steps } from './kept.ts';
import type { Layer } from './layer.ts';
import { groupsInReach, lightGroup } from './points.ts';
import { type Kept, type Lit, layerKey, type SolverState, weightRgb } from './state.ts';

/** Groups between two pauses. */
const GROUPS_A_STEP = 16;

/** Lights anew, tile by tile, what a change of the massing has made stale: a tile goes from its old light to its new in one. */
export function* relightTiles(state: SolverState): Steps {
  const { tiles, trees } = state.stale;
  for (const node of [...tiles]) {
    tiles.delete(node);
    if (node.children || node.ref.slot < 0) continue;
    relightTile(state, node);
    trees.add(node);
    yield;
  }
}

function relightTile(state: SolverState, node: TileNode): void {
  for (const lit of state.order) {
    const key = layerKey(state, lit);
    if (lit.layers.get(node)?.key === key) continue;
    const made = makeLayer(state, lit, node, key);
    made.light?.mixed.set(weightRgb(lit));
    lit.layers.set(node, made);
  }
  sumAfresh(state.atlas, node, layersAt(state, node));
}

/** Leaves and strands of one source that a change of the massing has made stale: old light out, new light in. */
export function* relightGroups(state: SolverState, lit: Lit): Steps {
  if (lit.leaving || lit.groupsKey !== layerKey(state, lit)) lit.staleGroups = [];
  if (lit.staleGroups.length === 0) return;
  const sight = sightFrom(state, lit.emitter.placeKey);
  const reached = new Set(Array.from(groupsInReach(state.caster, lit.emitter, state.groups), (k) => state.groups[k]!));
  for (let done = 1; lit.staleGroups.length > 0; done++) {
    const points = lit.staleGroups.pop()!;
    const old = lit.groups.get(points);
    const [r, g, b] = old?.mixed ?? weightRgb(lit);
    if (old) mixGroup(state, points, old, 0, 0, 0);
    lit.groups.delete(points);
    const light = reached.has(points) && lightGroup(state.caster, lit.emitter, points, state.context.leavesOn, sight);
    if (light) {
      const layer = { light, mixed: new Float64Array(3) };
      lit.groups.set(points, layer);
      mixGroup(state, points, layer, r!, g!, b!);
    }
    state.groupsDirty.add(points);
    if (done % GROUPS_A_STEP === 0) yield;
  }
}

/**
 * Joins tiles that came under other light and are now content with coarser cells: the same question as before a split,
 * asked from the top, so that a tree is what it would be had it grown under this light.
 */
export function* joinContent(state: SolverState): Steps {
  const { trees } = state.stale;
  if (trees.size === 0) return;
  const todo = [...state.roots];
  while (todo.length > 0) {
    const node = todo.pop()!;
    if (!node.children || !isAbove(node, trees)) continue;
    const made = contentLayers(state, node);
    if (made) joinTree(state, node, made);
    else todo.push(...node.children);
    yield;
  }
}

function isAbove(node: TileNode, tiles: ReadonlySet<TileNode>): boolean {
  if (!node.children) return tiles.has(node);
  return node.children.some((child) => isAbove(child, tiles));
}

/** Layers of all sources on a split square when none of them asks for finer cells; undefined when one does. */
function contentLayers(state: SolverState, node: TileNode): Map<Lit, Kept<Layer>> | undefined {
  if (gainOver(node.ref.cellM, node, [], contactCell(state, node)) > 0) return undefined;
  const out = new Map<Lit, Kept<Layer>>();
  const lits = [...state.lits.values()];
  const strongest = new Map(lits.map((lit) => [lit, mostOver(lit, node)]));
  lits.sort((a, b) => strongest.get(b)! - strongest.get(a)!);
  for (const lit of lits) {
    if (lit.leaving) continue;
    const made = makeLayer(state, lit, node, layerKey(state, lit));
    if (made.light && gainOver(node.ref.cellM, node, [made.light]) > 0) {
      forgetTile(state, node);
      return undefined;
    }
    out.set(lit, made);
  }
  return out;
}

function mostOver(lit: Lit, node: TileNode): number {
  if (node.children) return Math.max(0, ...node.children.map((child) => mostOver(lit, child)));
  const light = lit.layers.get(node)?.light;
  return light ? Math.max(...light.most) : 0;
}

function joinTree(state: SolverState, node: TileNode, made: Map<Lit, Kept<Layer>>): void {
  for (const child of node.children ?? []) forgetTree(state, child);
  node.children = undefined;
  takeSlot(state.atlas, node);
  bringIndirect(state, node);
  for (const [lit, kept] of made) {
    kept.light?.mixed.set(weightRgb(lit));
    lit.layers.set(node, kept);
  }
  sumAfresh(state.atlas, node, layersAt(state, node));
  state.leaves = leavesOf(state.roots);
  state.treeVersion++;
  state.tilesChanged = true;
}
