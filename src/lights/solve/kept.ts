import type { SceneModel } from '../../scene/index.ts';
import { FINEST_LEVEL, type TileNode } from '../tiles/node.ts';
import { dropSlot } from './atlas.ts';
import { pickUp } from './foreseen.ts';
import { computeLayer, type Layer } from './layer.ts';
import type { Kept, Lit, SolverState } from './state.ts';

/** Can a tile be split at all? */
export function mayHalve(scene: SceneModel, node: TileNode): boolean {
  const face = scene.faces[node.ref.face]!;
  return node.ref.cellM / 2 >= face.finestM * 0.99 && node.ref.level < FINEST_LEVEL && node.validCount > 0;
}

/** Steps of work between which the solver may pause. */
export type Steps = Generator<void, void, void>;

/** Works out one source on one tile, with the flux that was left out. */
export function makeLayer(state: SolverState, lit: Lit, node: TileNode, key: string): Kept<Layer> {
  const { context } = state;
  pickUp(state, lit.emitter, node);
  const before = context.droppedFluxLm;
  const light = computeLayer(context, lit.emitter, node);
  return { key, light, droppedLm: context.droppedFluxLm - before };
}

/** Layers that stand in the light of one tile. */
export function layersAt(state: SolverState, node: TileNode): Layer[] {
  const out: Layer[] = [];
  for (const lit of state.lits.values()) {
    const light = lit.layers.get(node)?.light;
    if (light) out.push(light);
  }
  return out;
}

/** Forgets what a tile was found to see and read. */
export function forgetTile(state: SolverState, node: TileNode): void {
  for (const tiles of state.context.places.values()) tiles.delete(node);
  const kept = state.readings.get(node)?.kept;
  if (kept) state.mixer?.drop(kept);
  state.readings.delete(node);
  state.sampleShares.delete(node);
  state.indirectDone.delete(node);
}

/** Lets a square go with all below it, and what was kept for them. */
export function forgetTree(state: SolverState, node: TileNode): void {
  for (const child of node.children ?? []) forgetTree(state, child);
  for (const lit of state.lits.values()) lit.layers.delete(node);
  state.stale.tiles.delete(node);
  state.stale.trees.delete(node);
  forgetTile(state, node);
  if (node.ref.slot >= 0) dropSlot(state.atlas, node);
}

/** Tiles of the field below some squares. */
export function leavesOf(nodes: readonly TileNode[]): TileNode[] {
  const out: TileNode[] = [];
  const walk = (node: TileNode): void => {
    if (node.children) node.children.forEach(walk);
    else out.push(node);
  };
  nodes.forEach(walk);
  return out;
}
