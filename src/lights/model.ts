import type { SceneModel } from '../scene/index.ts';
import { adoptScene, bringCaster } from './solve/adopt.ts';
import { solveNewBounces } from './solve/adoptBounces.ts';
import { fillTouched } from './solve/atlas.ts';
import { refineBounced, solveBounced, solveFirstSky } from './solve/bounced.ts';
import { publishTiles, settle, solveDirect, solveEdges } from './solve/direct.ts';
import { markCrossed, sumSeconds } from './solve/crossed.ts';
import { exactAt, eyeLight, fluxOf, transmittance } from './solve/exact.ts';
import { cast, luminanceAlong, sampleField, sampleLayer } from './solve/look.ts';
import { adoptSources, createState, type LightModelOptions, type SolverState } from './solve/state.ts';
import type { LampHelpers, LightModel, SolveStage, SolveStep } from './types.ts';

export type { LightModelOptions } from './solve/state.ts';

/** Work between two pauses of the solver, milliseconds. */
const SLICE_MS = 4;

/**
 * Creates the light model of one massing. Nothing is computed before `solve`.
 *
 * Every source becomes a layer: its lux at full output on every sample, leaf card and strand vertex. The field is the sum
 * of layers × weight × colour, kept up to date by taking old layers out and putting new ones in, and summed afresh when
 * settled. Visibility is kept by place: a new aim, lamp, dim or colour traces nothing but edges it had not yet smoothed.
 *
 * At every pause the field is whole: `field.tiles` lists the tiles that cover each face exactly once, a new array whenever
 * that set changed. Sky and windows are part of `indirectRgb`.
 */
export function createLightModel(scene: SceneModel, options: LightModelOptions = {}): LightModel {
  const state = createState(scene, options);
  /** For calls that trace: with the caster of the massing now in use. */
  const ready = (): SolverState => {
    bringCaster(state);
    return state;
  };
  return {
    get scene() {
      return state.scene;
    },
    adoptScene: (next, surroundings) => {
      if (surroundings !== undefined) state.options.surroundings = surroundings;
      const added = adoptScene(state, next);
      publishTiles(state);
      return added;
    },
    field: state.atlas.field,
    stats: Object.defineProperties(state.stats, {
      bytes: { get: () => bytesHeld(state), enumerable: true },
      rays: { get: () => state.caster.rays, enumerable: true },
      droppedFluxLm: { get: () => droppedFlux(state), enumerable: true },
    }),
    setSources: (sources, conditions) => adoptSources(ready(), sources, conditions),
    solve: (helpers) => solve(ready(), helpers),
    solveAll() {
      for (const _ of solve(ready())) void _;
    },
    takeDirty: () => takeDirty(state),
    cast: (from, direction, maxM) => cast(ready(), from, direction, maxM),
    transmittance: (from, to) => transmittance(ready(), from, to),
    sampleField: (face, s, t) => sampleField(state, face, s, t),
    sampleLayer: (id, face, s, t) => sampleLayer(state, id, face, s, t),
    luminanceAlong: (from, direction) => luminanceAlong(ready(), from, direction),
    exactAt: (at, normal, how) => exactAt(ready(), at, normal, how),
    eyeLight: (at, gaze, only) => eyeLight(ready(), at, gaze, only),
    fluxOf: (id) => fluxOf(ready(), id),
  };
}

function* solve(state: SolverState, helpers?: LampHelpers): Generator<SolveStep, void, void> {
  const begun = performance.now();
  yield* stage(
    state,
    'direct',
    firstPicture(state, helpers),
    state.lits.size * Math.max(state.roots.length, state.leaves.length),
  );
  yield* stage(state, 'edges', solveEdges(state), state.leaves.length);
  state.stats.directMs = performance.now() - begun;
  const bounceBegun = performance.now();
  yield* stage(state, 'bounced', bouncesOf(state), state.leaves.length);
  state.stats.bounceMs = performance.now() - bounceBegun;
  const mixBegun = performance.now();
  for (const step of stage(state, 'settled', settleAll(state), state.leaves.length)) {
    if (step.done < step.of) yield step;
  }
  state.stats.mixMs = performance.now() - mixBegun;
  yield { stage: 'settled', done: 1, of: 1 };
}

/** After a change of the massing the old bounces stay in view until the new ones are ready. */
function* bouncesOf(state: SolverState): Generator<void, void, void> {
  yield* solveNewBounces(state);
  yield* solveBounced(state);
}

/** Direct light on the tiles there are, and before the first patches a coarse sky. */
function* firstPicture(state: SolverState, helpers: LampHelpers | undefined): Generator<void, void, void> {
  yield* solveDirect(state, helpers);
  yield* solveFirstSky(state);
}

/** What can wait: all rays of the patches, and sums afresh. */
function* settleAll(state: SolverState): Generator<void, void, void> {
  yield* refineBounced(state);
  yield* settle(state);
  yield* markCrossed(state);
}

function* stage(
  state: SolverState,
  name: SolveStage,
  steps: Generator<void, void, void>,
  expected: number,
): Generator<SolveStep, void, void> {
  let paused = performance.now();
  let done = 0;
  state.isWaiting = false;
  for (const _ of steps) {
    void _;
    done++;
    if (!state.isWaiting && performance.now() - paused < SLICE_MS) continue;
    publishTiles(state);
    fillTouched(state.atlas);
    // `done` reaches `of` at the end of the stage alone.
    yield { stage: name, done, of: Math.max(expected, done + 1), ...(state.isWaiting ? { waiting: true } : {}) };
    paused = performance.now();
  }
  publishTiles(state);
  fillTouched(state.atlas);
  sumGroups(state);
  yield { stage: name, done: Math.max(expected, done), of: Math.max(expected, done) };
}

/** Sums cards and strands into the field: at the end of a stage, not at every pause; only groups that changed. */
function sumGroups(state: SolverState): void {
  const { field, cardsDirect, strandsDirect } = state.atlas;
  const { cards, strands } = state.groupsIndirect;
  if (state.cardsDirty) sumInto(field.cards, cardsDirect, cards, 0, cards.length);
  if (state.strandsDirty) sumInto(field.strandRgb, strandsDirect, strands, 0, strands.length);
  for (const { kind, first, count } of state.groupsDirty) {
    if (kind === 'cards') {
      if (!state.cardsDirty) sumInto(field.cards, cardsDirect, cards, first * 6, (first + count) * 6);
      state.cardsTold = true;
    } else {
      if (!state.strandsDirty) sumInto(field.strandRgb, strandsDirect, strands, first * 3, (first + count) * 3);
      state.strandsTold = true;
    }
  }
  state.groupsDirty.clear();
  state.cardsTold ||= state.cardsDirty;
  state.strandsTold ||= state.strandsDirty;
  state.cardsDirty = false;
  state.strandsDirty = false;
}

function sumInto(out: Float32Array, direct: Float32Array, indirect: Float32Array, from: number, to: number): void {
  for (let k = from; k < to; k++) out[k] = direct[k]! + indirect[k]!;
}

function takeDirty(state: SolverState): { slots: number[]; cards: boolean; strands: boolean } {
  fillTouched(state.atlas);
  sumSeconds(state);
  const out = { slots: [...state.atlas.dirty], cards: state.cardsTold, strands: state.strandsTold };
  state.atlas.dirty.clear();
  state.cardsTold = false;
  state.strandsTold = false;
  return out;
}

/** Flux of all sources, as weighted now, that was left out of layers as too weak, lumens. */
function droppedFlux(state: SolverState): number {
  let sum = 0;
  for (const lit of state.order) {
    let lm = 0;
    for (const { droppedLm } of lit.layers.values()) lm += droppedLm;
    sum += lm * lit.source.weight;
  }
  return sum;
}

/** Bytes held: the field's arrays, layers, visibility, leaves, readings of patches, the scene's trees; records and maps by estimate. */
function bytesHeld(state: SolverState): number {
  const { field, cardsDirect, strandsDirect } = state.atlas;
  const { kernels, triangles, leaves } = state.caster;
  let bytes = field.directRgb.byteLength + field.vector.byteLength + field.indirectRgb.byteLength + field.valid.byteLength;
  bytes += 2 * cardsDirect.byteLength + field.cards.byteLength + 2 * strandsDirect.byteLength + field.strandRgb.byteLength;
  bytes += (kernels?.calls.memory.buffer.byteLength ?? 0) + (state.mixer?.byteLength ?? 0);
  for (const { bounds, first, count, order } of [triangles.tree, leaves.tree]) {
    bytes += bounds.byteLength + first.byteLength + count.byteLength + order.byteLength;
  }
  for (const { positions, normals } of state.groups) bytes += positions.byteLength + normals.byteLength + OBJECT_BYTES;
  for (const lit of state.lits.values()) {
    for (const { light } of lit.layers.values()) bytes += light ? light.e.byteLength + 4 * OBJECT_BYTES : OBJECT_BYTES / 2;
    for (const { light } of lit.groups.values()) bytes += light.byteLength + 2 * OBJECT_BYTES;
    bytes += (lit.patchLx?.byteLength ?? 0) + (lit.unit?.rgb.byteLength ?? 0) + (lit.unit?.radiosity?.byteLength ?? 0);
  }
  for (const tiles of state.context.places.values()) {
    for (const { shadow, depth, edges } of tiles.values()) {
      bytes += (shadow?.byteLength ?? 0) + (depth?.byteLength ?? 0) + (edges ? edges.at.byteLength + edges.seen.byteLength : 0);
      bytes += OBJECT_BYTES;
    }
  }
  for (const { each, shared } of state.context.groupPlaces.values()) {
    for (const depths of [each, shared]) for (const depth of depths.values()) bytes += depth.byteLength + OBJECT_BYTES;
  }
  for (const { patch, weight, used } of state.readings.values()) bytes += patch.byteLength + weight.byteLength + used.byteLength;
  for (const { sample, patch, areaM2 } of state.sampleShares.values()) {
    bytes += sample.byteLength + patch.byteLength + areaM2.byteLength;
  }
  return bytes;
}

/** A small object with its typed array and its place in a map, estimated. */
const OBJECT_BYTES = 160;
