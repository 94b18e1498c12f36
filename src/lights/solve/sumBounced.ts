import type { Rgb } from '../types.ts';
import { unitBounced } from './patchLight.ts';
import { type Lit, type SolverState, weightRgb } from './state.ts';

/** Differences of direct light that are bounced alone, before all is bounced afresh. */
const MOST_DIFFERENCES = 16;
/** Beyond so many sources that changed at once all is bounced afresh: as quick, and nothing is rounded twice. */
const MOST_CHANGED = 6;
/** Share of a difference that may stay unsent, at most. */
const MOST_LEFT = 0.005;
const FULL_LEFT = 0.0005;

/** Of what the bounced light of the lamps is made. */
export function lampsKey(state: SolverState): string {
  const lits = state.order.map((lit) => `${lit.patchStamp}*${weightRgb(lit).join()}`);
  return `${state.bounce.raysPerPatch}|${state.conditions.leaves}|${lits.join('|')}`;
}

/** Looks for bright patches in all lights at full output, white: what is bright in it does not change while lights are dimmed. */
export function* sharpen(state: SolverState): Generator<void, void, void> {
  const key = `${state.bounce.raysPerPatch}|${state.order.map((lit) => lit.patchStamp).join()}`;
  if (key === state.sharpenedFor) return;
  const total = new Float32Array(state.bounce.patches.length * 3);
  for (const { patchLx } of state.order) for (let p = 0; p < patchLx!.length; p++) total[p * 3 + 1]! += patchLx![p]!;
  yield* state.bounce.sharpen(total);
  state.sharpenedFor = key;
}

/**
 * Bounced light of all lamps on the patches, `bouncedRgb`, from the direct light on them, `patchDirectRgb`. Bounces are
 * linear: a lamp that is dimmed or coloured changes the sum by its own bounced light at full output times the change of its
 * weight; a lamp that is turned or moved by what the difference of its direct light bounces.
 */
export function sumBounced(state: SolverState): void {
  const lamps = lampsKey(state);
  if (state.bouncedKey === lamps) return;
  const basis = `${state.bounce.raysPerPatch}|${state.conditions.leaves}`;
  const changed = state.bouncedBasis === basis ? changedLits(state) : [];
  const inPart = state.bouncedBasis === basis && changed.length <= MOST_CHANGED && state.differences < MOST_DIFFERENCES;
  if (inPart) for (const lit of changed) bringShare(state, lit);
  else sumAfresh(state);
  state.bouncedBasis = basis;
  state.bouncedKey = lamps;
}

function sumAfresh(state: SolverState): void {
  const { bounce, order } = state;
  const direct = new Float32Array(bounce.patches.length * 3);
  for (const lit of state.bouncedLits) lit.bouncedAs = undefined;
  state.bouncedLits = new Set(order);
  for (const lit of order) {
    const rgb = weightRgb(lit);
    lit.bouncedAs = { patchLx: lit.patchLx!, rgb };
    addWhite(direct, lit.patchLx!, rgb);
  }
  state.bouncedRgb = bounce.bouncedRgb(direct, state.conditions.leaves);
  state.patchDirectRgb = direct;
  state.differences = 0;
}

/** Sources whose direct light or weight is not what stands in the sum; those that are gone included. */
function changedLits(state: SolverState): Lit[] {
  const now = new Set(state.order);
  const isSame = (lit: Lit): boolean => {
    const [r, g, b] = weightRgb(lit);
    const as = lit.bouncedAs;
    return as?.patchLx === lit.patchLx && as?.rgb[0] === r && as.rgb[1] === g && as.rgb[2] === b;
  };
  return [...state.order.filter((lit) => !isSame(lit)), ...[...state.bouncedLits].filter((lit) => !now.has(lit))];
}

/** Brings one source in the sum from its light of before to its light now. */
function bringShare(state: SolverState, lit: Lit): void {
  const isThere = state.order.includes(lit);
  const rgb: Rgb = isThere ? weightRgb(lit) : [0, 0, 0];
  const as = lit.bouncedAs;
  const before: Rgb = as?.rgb ?? [0, 0, 0];
  if (as && isThere && as.patchLx !== lit.patchLx) moveShare(state, lit, as.patchLx, before);
  const change: Rgb = [rgb[0] - before[0], rgb[1] - before[1], rgb[2] - before[2]];
  if (change.some((v) => v !== 0)) {
    const unit = unitBounced(state, lit, isThere ? lit.patchLx! : as!.patchLx);
    addWhite(state.patchDirectRgb, unit.patchLx, change);
    addScaled(state.bouncedRgb, unit.rgb, change);
  }
  if (isThere) {
    lit.bouncedAs = { patchLx: lit.patchLx!, rgb };
    state.bouncedLits.add(lit);
  } else {
    lit.bouncedAs = undefined;
    state.bouncedLits.delete(lit);
  }
}

/** The direct light of a source fell otherwise than before: what changed is bounced, at the weight it had. */
function moveShare(state: SolverState, lit: Lit, before: Float32Array, rgb: Rgb): void {
  const { bounce, conditions } = state;
  const { leaves } = conditions;
  const now = lit.patchLx!;
  const change = new Float32Array(now.length);
  let [all, moved] = [0, 0];
  for (let p = 0; p < now.length; p++) {
    const { areaM2 } = bounce.patches[p]!;
    change[p] = now[p]! - before[p]!;
    all += state.patchDirectRgb[p * 3 + 1]! * areaM2;
    moved += Math.abs(change[p]!) * areaM2;
  }
  state.differences++;
  if (moved === 0) return;
  const left = Math.min(MOST_LEFT, Math.max(FULL_LEFT, (FULL_LEFT * all) / (4 * moved * Math.max(rgb[1], 1e-6))));
  const bounced = bounce.bounced(change, leaves, left);
  addWhite(state.patchDirectRgb, change, rgb);
  addScaled(state.bouncedRgb, bounced, rgb);
  const { unit } = lit;
  if (unit?.patchLx !== before || unit.leaves !== leaves || unit.differences >= MOST_DIFFERENCES) lit.unit = undefined;
  else {
    addScaled(unit.rgb, bounced, [1, 1, 1]);
    Object.assign(unit, { patchLx: now, differences: unit.differences + 1, radiosity: undefined });
  }
}

function addWhite(sum: Float32Array, lx: Float32Array, [r, g, b]: Rgb): void {
  for (let p = 0; p < lx.length; p++) {
    const v = lx[p]!;
    if (v === 0) continue;
    sum[p * 3]! += r * v;
    sum[p * 3 + 1]! += g * v;
    sum[p * 3 + 2]! += b * v;
  }
}

function addScaled(sum: Float32Array, rgb: Float32Array, [r, g, b]: Rgb): void {
  for (let k = 0; k < sum.length; k += 3) {
    sum[k]! += r * rgb[k]!;
    sum[k + 1]! += g * rgb[k + 1]!;
    sum[k + 2]! += b * rgb[k + 2]!;
  }
}
