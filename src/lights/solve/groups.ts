import { MOST_CHANGES } from './atlas.ts';
import { createSight, type GroupSight, groupsInReach, lightGroup, type PointGroup } from './points.ts';
import { type GroupLayer, type Lit, layerKey, type SolverState, weightRgb } from './state.ts';

/** Groups between two pauses. */
const GROUPS_A_STEP = 16;

/** Leaf cards and strand rings of one source: old light out, new light in. */
export function* bringGroups(state: SolverState, lit: Lit): Generator<void, void, void> {
  const key = layerKey(state, lit);
  if (lit.leaving) state.groupChanges.fill(MOST_CHANGES);
  if (lit.groupsKey !== key) {
    mixAll(state, lit, 0, 0, 0);
    lit.groups.clear();
    lit.groupsKey = key;
    lit.groupsDone = 0;
  }
  if (lit.leaving) return;
  const [r, g, b] = weightRgb(lit);
  mixAll(state, lit, r, g, b);
  const sight = sightFrom(state, lit.emitter.placeKey);
  const reached = groupsInReach(state.caster, lit.emitter, state.groups);
  let since = 0;
  for (const index of reached) {
    // An overtaken solve goes on where it was left.
    if (index < lit.groupsDone) continue;
    const points = state.groups[index]!;
    lit.groupsDone = index + 1;
    const light = lightGroup(state.caster, lit.emitter, points, state.context.leavesOn, sight);
    if (light) {
      const layer = { light, mixed: new Float64Array(3) };
      lit.groups.set(points, layer);
      mixGroup(state, points, layer, r, g, b);
    }
    if (++since % GROUPS_A_STEP === 0) yield;
  }
  lit.groupsDone = state.groups.length;
}

function mixAll(state: SolverState, lit: Lit, r: number, g: number, b: number): void {
  let [cards, strands] = [0, 0];
  for (const [points, layer] of lit.groups) {
    if (!mixGroup(state, points, layer, r, g, b)) continue;
    if (points.kind === 'cards') cards = 1;
    else strands = 1;
  }
  state.groupChanges[0]! += cards;
  state.groupChanges[1]! += strands;
}

/** What a place is known to see of the groups; empty at first. */
export function sightFrom(state: SolverState, placeKey: string): GroupSight {
  let sight = state.context.groupPlaces.get(placeKey);
  if (!sight) {
    sight = createSight();
    state.context.groupPlaces.set(placeKey, sight);
  }
  return sight;
}

/** Brings one group's weight in the sum to (r, g, b); true when it stood there before with another. */
export function mixGroup(state: SolverState, points: PointGroup, layer: GroupLayer, r: number, g: number, b: number): boolean {
  const { mixed, light } = layer;
  const [dr, dg, db] = [r - mixed[0]!, g - mixed[1]!, b - mixed[2]!];
  if (dr === 0 && dg === 0 && db === 0) return false;
  const stood = mixed[0] !== 0 || mixed[1] !== 0 || mixed[2] !== 0;
  mixed[0] = r;
  mixed[1] = g;
  mixed[2] = b;
  addGroup(state, points, light, dr, dg, db);
  state.groupsDirty.add(points);
  return stood;
}

function addGroup(state: SolverState, points: PointGroup, light: Float32Array, r: number, g: number, b: number): void {
  const cards = points.kind === 'cards';
  const out = cards ? state.atlas.cardsDirect : state.atlas.strandsDirect;
  let o = points.first * (cards ? 6 : 3);
  for (let i = 0; i < light.length; i++, o += 3) {
    const E = light[i]!;
    if (E === 0) continue;
    out[o]! += r * E;
    out[o + 1]! += g * E;
    out[o + 2]! += b * E;
  }
}

/** Sums leaves and strands afresh after 32 changes of sources, so that nothing drifts. */
export function settleGroups(state: SolverState): void {
  const kinds = ['cards', 'strand'] as const;
  kinds.forEach((kind, k) => {
    if (state.groupChanges[k]! < MOST_CHANGES) return;
    state.groupChanges[k] = 0;
    const cards = kind === 'cards';
    (cards ? state.atlas.cardsDirect : state.atlas.strandsDirect).fill(0);
    for (const lit of state.order) {
      for (const [points, { light, mixed }] of lit.groups) {
        if (points.kind === kind) addGroup(state, points, light, mixed[0]!, mixed[1]!, mixed[2]!);
      }
    }
    if (cards) state.cardsDirty = true;
    else state.strandsDirty = true;
  });
}
