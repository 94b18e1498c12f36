import type { BounceModel } from '../bounce/index.ts';
import type { Steps } from './kept.ts';
import type { SolverState } from './state.ts';

/** Rays a patch of a new massing has before its bounces take the place of the old ones. */
const FIRST_RAYS = 64;

/** Makes the bounces of a new massing while those of the old one are shown, then puts them in their place. */
export function* solveNewBounces(state: SolverState): Steps {
  const { stale } = state;
  const next = stale.bounce;
  if (!next) return;
  yield* next.prepare();
  if (next.model.patches.length > 0) {
    stale.building ??= next.model.build(Math.min(FIRST_RAYS, state.options.bounceRays));
    while (!stale.building.next().done) yield;
  }
  const old = state.bounce;
  stale.bounce = undefined;
  stale.building = undefined;
  state.lazyBounce = next;
  state.building = undefined;
  state.probes = undefined;
  state.probing = undefined;
  state.readings.clear();
  state.mixer = undefined;
  state.sampleShares.clear();
  state.indirectDone.clear();
  // Stand-ins until the new sum is there; one number too long, so that every patch then counts as changed.
  state.shownRgb = carriedOver(old, next.model, state.shownRgb);
  state.shownRadiosity = carriedOver(old, next.model, state.shownRadiosity);
  state.indirectKey = '';
  state.bouncedKey = '';
  state.bouncedBasis = '';
  state.differences = 0;
  state.bouncedLits.clear();
  state.sharpenedFor = '';
  for (const lit of state.lits.values()) {
    lit.patchLx = undefined;
    lit.patchKey = '';
    lit.unit = undefined;
    lit.bouncedAs = undefined;
  }
}

/** Values of the old patches at the middle of the new ones, RGB. */
function carriedOver(old: BounceModel, now: BounceModel, rgb: Float32Array): Float32Array {
  const out = new Float32Array(now.patches.length * 3 + 1);
  now.patches.forEach((patch, p) => {
    const found = old.interpolate(patch.face, (patch.s0M + patch.s1M) / 2, (patch.t0M + patch.t1M) / 2);
    for (let k = 0; k < found.count; k++) {
      for (let c = 0; c < 3; c++) out[p * 3 + c]! += found.weight[k]! * (rgb[found.patch[k]! * 3 + c] ?? 0);
    }
  });
  return out;
}
