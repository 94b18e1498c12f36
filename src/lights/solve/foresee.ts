import type { SceneModel } from '../../scene/index.ts';
import { childNodes, type TileNode } from '../tiles/node.ts';
import type { LampSight, SightJob } from '../types.ts';
import type { TileVisibility } from '../visibility/tile.ts';
import { gainOver } from './demand.ts';
import { createEmitter, type Emitter } from './emitter.ts';
import { GROUP_NUMBERS, STATES, TILE_NUMBERS } from './foreseen.ts';
import { mayHalve } from './kept.ts';
import { computeLayer, edgesMissing, refineEdges } from './layer.ts';
import { createSight, groupsInReach, lightGroup, type PointGroup } from './points.ts';
import { createState, type SolverState } from './state.ts';

/** Tiles looked at for one lamp at most. */
const MOST_TILES = 600;
/**
 * Looks from lamps on behalf of a solver with the same scene: visibility of tiles, with smooth edges, as fine as the lamp
 * alone asks for, and of leaves and strands.
 */
export function createForeseer(scene: SceneModel): (job: SightJob) => LampSight {
  const state = createState(scene, { tileBudget: 1 });
  return ({ source, leavesOn }) => {
    const { context, caster } = state;
    context.leavesOn = leavesOn;
    const before = caster.rays;
    const emitter = createEmitter(source, caster, state.beams);
    const seen = lookAtTiles(state, emitter);
    const sight = createSight();
    for (const k of groupsInReach(caster, emitter, state.groups)) {
      lightGroup(caster, emitter, state.groups[k]!, leavesOn, sight);
    }
    context.places.clear();
    return { placeKey: emitter.placeKey, ...packed(seen, state.groups, sight.each), rays: caster.rays - before };
  };
}

function lookAtTiles(state: SolverState, emitter: Emitter): Map<TileNode, TileVisibility> {
  const { context, scene } = state;
  const todo = [...state.roots];
  for (let n = 0; n < todo.length && n < MOST_TILES + state.roots.length; n++) {
    const node = todo[n]!;
    const layer = computeLayer(context, emitter, node);
    if (!layer) continue;
    if (mayHalve(scene, node) && gainOver(node.ref.cellM, node, [layer]) > 0) {
      node.children ??= childNodes(scene, node);
      todo.push(...node.children);
    } else if (edgesMissing(context, emitter, node, layer)) refineEdges(context, emitter, node, layer);
  }
  return context.places.get(emitter.placeKey) ?? new Map();
}

function packed(
  seen: ReadonlyMap<TileNode, TileVisibility>,
  all: readonly PointGroup[],
  depths: ReadonlyMap<PointGroup, Float32Array>,
): Pick<LampSight, 'tiles' | 'groups' | 'numbers'> {
  let length = 0;
  for (const { shadow, depth, edges } of seen.values()) {
    length += (shadow?.length ?? 0) + (depth?.length ?? 0) + 2 * (edges?.at.length ?? 0);
  }
  for (const list of depths.values()) length += list.length;
  const numbers = new Float32Array(length);
  const bits = new Uint32Array(numbers.buffer);
  let at = 0;
  const keep = (list: ArrayLike<number>, into: Float32Array | Uint32Array): number => {
    into.set(list, at);
    at += list.length;
    return at - list.length;
  };
  const tiles = new Int32Array(seen.size * TILE_NUMBERS);
  let o = 0;
  for (const [{ ref, i, j }, { state, shadow, depth, edges }] of seen) {
    const places = [shadow ? keep(shadow, bits) : -1, depth ? keep(depth, numbers) : -1, edges ? keep(edges.at, bits) : -1];
    if (edges) keep(edges.seen, numbers);
    tiles.set([ref.face, ref.level, i, j, STATES.indexOf(state), ...places, edges?.at.length ?? 0], o);
    o += TILE_NUMBERS;
  }
  const groups = new Int32Array(depths.size * GROUP_NUMBERS);
  let g = 0;
  all.forEach((points, index) => {
    const list = depths.get(points);
    if (!list) return;
    groups.set([index, keep(list, numbers), list.length], g);
    g += GROUP_NUMBERS;
  });
  return { tiles, groups, numbers };
}
