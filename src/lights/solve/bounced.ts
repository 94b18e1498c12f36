import { skyCoefficients, skyFromCoefficients } from '../../exposure/index.ts';
import { createPatchMixer } from '../kernels/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';
import { touchIndirect } from './atlas.ts';
import { applyFirstSky, traceFirstSky } from './firstSky.ts';
import { applyContact, contactOf, shadeFirstSky } from './contact.ts';
import { readPatches, writeIndirect } from './indirect.ts';
import { addPaneLight, bringPaneLight } from './paneLight.ts';
import { bringPatchLight, bringShares } from './patchLight.ts';
import { applyProbes, markStale, traceProbes } from './probes.ts';
import type { SolverState } from './state.ts';
import { lampsKey, sharpen, sumBounced } from './sumBounced.ts';

type Steps = Generator<void, void, void>;

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;

/** Few patches can have more rays: up to so many of them twice or four times the asked. */
const DOUBLE_UP_TO = 4500;
const FOURFOLD_UP_TO = 1500;
/** Rays a patch has before the first bounced picture; the rest follow while nothing else is to do. */
const FIRST_RAYS = 64;
/** A patch counts as changed beyond this share of its light, and this many lux. */
const CHANGED_SHARE = 0.005;
const CHANGED_LX = 0.0005;
const TILES_A_STEP = 4;

/** Light of the sky on the tiles before any patch is known, so that the first picture of a dusk is not black. */
export function* solveFirstSky(state: SolverState): Steps {
  if (state.indirectRgb.length > 0 || state.firstSky) return;
  state.firstSky = yield* traceFirstSky(state.scene, state.caster);
  for (const node of state.leaves) {
    bringIndirect(state, node);
    yield;
  }
}

/** Bounces, sky and windows of everything now shown, on patches, tiles, leaves and strands. */
export function* solveBounced(state: SolverState): Steps {
  yield* state.lazyBounce.prepare();
  if (state.bounce.raysPerPatch === 0) yield* buildBounce(state, Math.min(FIRST_RAYS, state.options.bounceRays));
  yield* bringBounced(state);
}

/** All rays of the patches, and once more what depends on them. Goes on where an overtaken solve left off. */
export function* refineBounced(state: SolverState): Steps {
  const patches = state.bounce.patches.length;
  const rays = state.options.bounceRays * (patches <= FOURFOLD_UP_TO ? 4 : patches <= DOUBLE_UP_TO ? 2 : 1);
  if (state.bounce.raysPerPatch >= rays) return;
  yield* buildBounce(state, rays);
  yield* bringBounced(state);
}

function* buildBounce(state: SolverState, rays: number): Steps {
  if (state.bounce.patches.length === 0) return;
  state.building ??= state.bounce.build(rays);
  while (!state.building.next().done) yield;
  state.building = undefined;
  for (const lit of state.lits.values()) lit.unit = undefined;
}

function* bringBounced(state: SolverState): Steps {
  if (state.bounce.patches.length === 0) return;
  yield* bringShares(state);
  for (const lit of state.order) {
    if (bringPatchLight(state, lit)) yield;
  }
  const key = `${JSON.stringify(state.conditions)}|${lampsKey(state)}`;
  if (key !== state.indirectKey) {
    yield* sharpen(state);
    yield* state.bounce.prepareAmbient(state.conditions.leaves);
    sumIndirect(state);
    state.indirectKey = key;
    noteChanges(state);
    yield;
  }
  let written = 0;
  for (const node of state.leaves) {
    if (state.indirectDone.has(node)) continue;
    bringIndirect(state, node);
    if (++written % TILES_A_STEP === 0) yield;
  }
  yield* bringPaneLight(
    state,
    (node) => readingOf(state, node),
    (node) => bringIndirect(state, node),
  );
  yield* bringGroupsIndirect(state);
}

/** Writes the indirect light now known on one tile. */
export function bringIndirect(state: SolverState, node: TileNode): void {
  if (state.indirectRgb.length === 0) {
    if (!state.firstSky) return;
    const coefficients = skyCoefficients(state.conditions, state.options.surroundings);
    const { indirectRgb } = state.atlas.field;
    applyFirstSky(state.firstSky, node, coefficients, state.conditions.leaves, indirectRgb);
    shadeFirstSky(state, node, indirectRgb, node.ref.slot * SAMPLES * 3);
    touchIndirect(state.atlas, node);
    return;
  }
  const { indirectRgb } = state.atlas.field;
  const tile = node.ref.slot * SAMPLES * 3;
  const reading = readingOf(state, node);
  writeIndirect(reading, state.shownRgb, indirectRgb, tile, state.mixer);
  addPaneLight(state, node);
  applyContact(reading, indirectRgb, tile);
  state.indirectDone.add(node);
  touchIndirect(state.atlas, node);
}

function readingOf(state: SolverState, node: TileNode) {
  let reading = state.readings.get(node);
  if (!reading) {
    state.mixer ??= state.caster.kernels && createPatchMixer(state.bounce.patches.length);
    reading = readPatches(state.bounce, node, state.mixer);
    reading.contact = contactOf(state, node, reading);
    state.readings.set(node, reading);
  }
  return reading;
}

/** Σ bounced lamps + sky + windows on the patches. */
function sumIndirect(state: SolverState): void {
  const { bounce, conditions } = state;
  sumBounced(state);
  const ambient = bounce.ambient(conditions, state.options.surroundings);
  const out = new Float32Array(state.bouncedRgb.length);
  for (let k = 0; k < out.length; k++) out[k] = Math.max(0, state.bouncedRgb[k]!) + ambient.skyRgb[k]! + ambient.panesRgb[k]!;
  state.indirectRgb = out;
}

/** Takes over patches whose light changed visibly, and marks the tiles and groups that read them. */
function noteChanges(state: SolverState): void {
  const { indirectRgb, patchDirectRgb, bounce } = state;
  if (state.shownRgb.length !== indirectRgb.length) {
    state.shownRgb = new Float32Array(indirectRgb.length).fill(Number.NaN);
    state.shownRadiosity = new Float32Array(indirectRgb.length).fill(Number.NaN);
  }
  const changed = takeChanged(state.shownRgb, indirectRgb);
  state.mixer?.unload();
  for (const [node, { used }] of state.readings) {
    if (state.indirectDone.has(node) && readsAny(used, changed)) state.indirectDone.delete(node);
  }
  const lit = takeChanged(state.shownRadiosity, bounce.radiosity(patchDirectRgb, indirectRgb));
  const probes = state.probes;
  const sky = skyKey(state);
  if (!probes) return;
  if (sky !== state.groupsSky) state.groupsStale.fill(1);
  else markStale(probes, lit, state.groupsStale);
}

function readsAny(used: Int32Array, changed: Uint8Array): boolean {
  for (let k = 0; k < used.length; k++) if (changed[used[k]!]) return true;
  return false;
}

const skyKey = (state: SolverState): string => JSON.stringify(state.conditions);

function takeChanged(shown: Float32Array, now: Float32Array): Uint8Array {
  const changed = new Uint8Array(now.length / 3);
  for (let p = 0; p < changed.length; p++) {
    const k = p * 3;
    if (same(shown[k]!, now[k]!) && same(shown[k + 1]!, now[k + 1]!) && same(shown[k + 2]!, now[k + 2]!)) continue;
    changed[p] = 1;
    shown[k] = now[k]!;
    shown[k + 1] = now[k + 1]!;
    shown[k + 2] = now[k + 2]!;
  }
  return changed;
}

const same = (shown: number, now: number): boolean => Math.abs(now - shown) <= Math.max(CHANGED_LX, CHANGED_SHARE * now);

/** Few rays look out for leaves and strands: they read the mean of patches that lie within this of each other, metres. */
const BLUR_M = 0.7;
const blurGroups = new WeakMap<object, Int32Array>();

/** Radiosity shown, as means over coarse squares of each face; cells of leaves as they are. */
function blurred({ bounce, shownRadiosity }: SolverState): Float32Array {
  const { patches } = bounce;
  const groups = squaresOf(patches);
  const sums = new Float64Array(patches.length * 4);
  for (let p = 0; p < groups.length; p++) {
    const at = groups[p]! * 4;
    const area = patches[p]!.areaM2;
    sums[at]! += area;
    sums[at + 1]! += area * shownRadiosity[p * 3]!;
    sums[at + 2]! += area * shownRadiosity[p * 3 + 1]!;
    sums[at + 3]! += area * shownRadiosity[p * 3 + 2]!;
  }
  const out = new Float32Array(shownRadiosity.length);
  for (let p = 0; p < groups.length; p++) {
    const at = groups[p]! * 4;
    const area = sums[at]!;
    out[p * 3] = sums[at + 1]! / area;
    out[p * 3 + 1] = sums[at + 2]! / area;
    out[p * 3 + 2] = sums[at + 3]! / area;
  }
  return out;
}

/** The coarse square of each patch, numbered. */
function squaresOf(patches: SolverState['bounce']['patches']): Int32Array {
  let groups = blurGroups.get(patches);
  if (!groups) {
    const names = new Map<string, number>();
    groups = Int32Array.from(patches, (p, index) => {
      const square = [p.s0M + p.s1M, p.t0M + p.t1M].map((twice) => Math.floor(twice / 2 / BLUR_M));
      const name = p.leaves ? `leaves ${index}` : `${p.face} ${square.join(' ')}`;
      const group = names.get(name) ?? names.size;
      names.set(name, group);
      return group;
    });
    blurGroups.set(patches, groups);
  }
  return groups;
}

function* bringGroupsIndirect(state: SolverState): Steps {
  if (state.groups.length === 0) return;
  if (!state.probes) {
    state.probing ??= traceProbes(state.scene, state.caster, state.bounce, state.groups);
    for (;;) {
      const step = state.probing.next();
      if (step.done) {
        state.probes = step.value;
        break;
      }
      yield;
    }
    state.probing = undefined;
    state.groupsStale = new Uint8Array(state.groups.length).fill(1);
  }
  if (!state.groupsStale.includes(1)) return;
  const coefficients = skyCoefficients(state.conditions, state.options.surroundings);
  state.groupsSky = skyKey(state);
  yield* applyProbes(
    state.probes,
    state.groupsStale,
    blurred(state),
    (x, y, z) => skyFromCoefficients(coefficients, x, y, z),
    state.context.leavesOn,
    state.groupsIndirect,
  );
  state.cardsDirty = true;
  state.strandsDirty = true;
}
