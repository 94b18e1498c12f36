import type { SceneModel } from '../../scene/index.ts';
import type { BounceModel } from '../bounce/index.ts';
import { createCaster } from '../rays/index.ts';
import { graftGroups } from './adoptGroups.ts';
import { graftTiles } from './adoptTiles.ts';
import type { TileNode } from '../tiles/node.ts';
import { createEmitter } from './emitter.ts';
import { createLazyBounce } from './lazyBounce.ts';
import { compareScenes, type SceneChange } from './sceneChange.ts';
import { bigBlocks, type SolverState } from './state.ts';
import { sweptBetween, sweptToward, type TileCorners, tileCorners } from './sweep.ts';

/**
 * Takes over another massing of the same property. Tiles, shadows, leaves and layers that nothing swept touches are kept;
 * the rest keeps its old light in the field until `solve` has made it anew. Traces nothing.
 *
 * @returns slots of tiles that stand where no tile stood, dark as yet.
 */
export function adoptScene(state: SolverState, scene: SceneModel): number[] {
  const before = state.scene;
  const change = compareScenes(before, scene);
  state.scene = scene;
  state.context.scene = scene;
  state.context.big = bigBlocks(scene);
  state.stale.caster = true;
  state.contact.isStale = true;
  state.contact.tracing = undefined;
  state.foreseen.clear();
  const added = graftTiles(state, change);
  const fresh = graftGroups(state, before);
  markTiles(state, change.swept);
  markGroups(state, change.swept, fresh);
  setBouncesAside(state, change);
  return added;
}

/** Makes the caster of the massing now in use, and what hangs on it. Call before anything is traced. */
export function bringCaster(state: SolverState): void {
  if (!state.stale.caster) return;
  state.stale.caster = false;
  const caster = createCaster(state.scene, state.options.kernels);
  caster.rays = state.caster.rays;
  state.caster = caster;
  state.context.caster = caster;
  for (const lit of state.lits.values()) {
    const emitter = createEmitter(lit.source, caster, state.beams);
    if (emitter.aimKey !== lit.emitter.aimKey) lit.emitter = emitter;
  }
  state.stale.building = undefined;
  if (state.indirectRgb.length > 0) state.stale.bounce = createLazyBounce(state.scene, caster);
  else {
    state.stale.bounce = undefined;
    state.lazyBounce = createLazyBounce(state.scene, caster);
    state.building = undefined;
    state.firstSky = undefined;
  }
}

/** Layers whose tile has something swept between itself and its lamp are to be made anew. */
function markTiles(state: SolverState, swept: Float64Array): void {
  const { places } = state.context;
  const used = new Set<string>();
  const cornersOf = new Map<TileNode, TileCorners>();
  for (const lit of state.lits.values()) {
    const { at, edgeRadiusM, placeKey } = lit.emitter;
    used.add(placeKey);
    const tiles = places.get(placeKey);
    for (const [node, kept] of lit.layers) {
      let corners = cornersOf.get(node);
      if (!corners) {
        corners = tileCorners(node);
        cornersOf.set(node, corners);
      }
      if (node.validCount === 0 || !sweptBetween(swept, corners, node.frame, at, edgeRadiusM)) continue;
      tiles?.delete(node);
      kept.key = '';
      state.stale.tiles.add(node);
    }
  }
  for (const key of places.keys()) if (!used.has(key)) places.delete(key);
}

function markGroups(state: SolverState, swept: Float64Array, fresh: ReadonlySet<SolverState['groups'][number]>): void {
  const { groupPlaces } = state.context;
  const used = new Set<string>();
  for (const lit of state.lits.values()) {
    const { at, edgeRadiusM, placeKey } = lit.emitter;
    used.add(placeKey);
    const sight = groupPlaces.get(placeKey);
    const waiting = new Set(lit.staleGroups);
    lit.staleGroups = state.groups.filter((points) => {
      if (fresh.has(points) || waiting.has(points)) return true;
      if (!sweptToward(swept, points.centre, points.radiusM, at, edgeRadiusM)) return false;
      sight?.each.delete(points);
      sight?.shared.delete(points);
      return true;
    });
  }
  for (const key of groupPlaces.keys()) if (!used.has(key)) groupPlaces.delete(key);
}

/** The old bounces stay in use, read through the new numbers of the faces, until those of the new massing are ready. */
function setBouncesAside(state: SolverState, change: SceneChange): void {
  state.probes = undefined;
  state.probing = undefined;
  if (state.indirectRgb.length === 0) return;
  const model = renumbered(state.lazyBounce.model, change);
  state.lazyBounce = { model, *prepare() {} };
  state.building = undefined;
}

function renumbered(model: BounceModel, change: SceneChange): BounceModel {
  const { faces, newOfOld } = change;
  const patches = model.patches.map((p) => ({ ...p, face: Math.max(0, newOfOld[p.face] ?? 0) }));
  const oldOf = (face: number): number => faces[face]?.old ?? -1;
  return Object.create(model, {
    patches: { value: patches },
    patchAt: { value: (face: number, s: number, t: number) => model.patchAt(oldOf(face), s, t) },
    interpolate: { value: (face: number, s: number, t: number) => model.interpolate(oldOf(face), s, t) },
  }) as BounceModel;
}
