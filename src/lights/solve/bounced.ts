import { skyCoefficients, skyFromCoefficients } from '../../exposure/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { beamCandela } from '../beam.ts';
import { sharesOfSamples, readPatches, writeIndirect } from './indirect.ts';
import { applyProbes, traceProbes } from './probes.ts';
import { type Lit, layerKey, type SolverState, weightRgb } from './state.ts';

type Steps = Generator<void, void, void>;

/** Bounces, sky and windows of everything now shown, on patches, tiles, leaves and strands. */
export function* solveBounced(state: SolverState): Steps {
  if (state.bounce.patches.length > 0 && state.bounce.raysPerPatch === 0) {
    for (const _ of state.bounce.build(state.options.bounceRays)) yield void _;
  }
  for (const lit of state.order) {
    bringPatchLight(state, lit);
    yield;
  }
  const key = indirectKey(state);
  const again = key !== state.indirectKey;
  const direct = again ? totalDirect(state) : undefined;
  if (direct) {
    state.indirectRgb = totalIndirect(state, direct);
    state.indirectKey = key;
    state.indirectDone.clear();
    yield;
  }
  for (const node of state.leaves) {
    if (state.indirectDone.has(node)) continue;
    bringIndirect(state, node);
    yield;
  }
  if (direct) yield* bringGroupsIndirect(state, direct);
}

function lampsKey(state: SolverState): string {
  const lits = state.order.map((lit) => `${lit.patchKey}*${weightRgb(lit).join()}`);
  return `${state.conditions.leaves}|${lits.join('|')}`;
}

function indirectKey(state: SolverState): string {
  return `${JSON.stringify(state.conditions)}|${lampsKey(state)}`;
}

/** Writes the indirect light now known on one tile. */
export function bringIndirect(state: SolverState, node: TileNode): void {
  if (state.indirectRgb.length === 0) return;
  let reading = state.readings.get(node);
  if (!reading) {
    reading = readPatches(state.bounce, node);
    state.readings.set(node, reading);
  }
  writeIndirect(reading, node, state.indirectRgb, state.atlas.field.indirectRgb);
  state.indirectDone.add(node);
  state.atlas.unfilled.add(node);
  state.atlas.dirty.add(node.ref.slot);
}

/** Mean direct lux of every patch from the samples on it; patches without a sample use points of their own. */
export function bringPatchLight(state: SolverState, lit: Lit): void {
  const key = layerKey(state, lit);
  if (lit.patchKey === key && lit.patchLx) return;
  const n = state.bounce.patches.length;
  const flux = new Float64Array(n);
  const area = new Float64Array(n);
  for (const node of state.leaves) {
    let shares = state.sampleShares.get(node);
    if (!shares) {
      const face = state.scene.faces[node.ref.face]!;
      shares = sharesOfSamples(state.bounce, node, face.widthM, face.heightM);
      state.sampleShares.set(node, shares);
    }
    const e = lit.layers.get(node)?.light?.e;
    const { sample, patch, areaM2 } = shares;
    for (let k = 0; k < patch.length; k++) area[patch[k]!]! += areaM2[k]!;
    if (e) for (let k = 0; k < patch.length; k++) flux[patch[k]!]! += e[sample[k]!]! * areaM2[k]!;
  }
  const out = new Float32Array(n);
  for (let p = 0; p < n; p++) out[p] = area[p]! > 0 ? flux[p]! / area[p]! : pointsLx(state, lit, p);
  lit.patchLx = out;
  lit.patchKey = key;
  lit.unitRadiosity = undefined;
}

function pointsLx(state: SolverState, lit: Lit, patch: number): number {
  const points = state.bounce.pointsOf(patch);
  const normal = state.scene.faces[state.bounce.patches[patch]!.face]!.normal;
  let sum = 0;
  for (let k = 0; k < points.length; k += 3) sum += directLx(state, lit, points[k]!, points[k + 1]!, points[k + 2]!, normal);
  return points.length > 0 ? (sum * 3) / points.length : 0;
}

/** Direct lux of one source at full output at a point, one shadow ray to the centre of the lens. */
export function directLx(
  state: SolverState,
  lit: Lit,
  x: number,
  y: number,
  z: number,
  normal: readonly [number, number, number],
): number {
  const { at, frame: F, beam, lensRadiusM: r } = lit.emitter;
  const dx = at[0]! - x;
  const dy = at[1]! - y;
  const dz = at[2]! - z;
  const h = dx * normal[0] + dy * normal[1] + dz * normal[2];
  if (h <= 0) return 0;
  const d2 = dx * dx + dy * dy + dz * dz;
  const d = Math.sqrt(d2);
  const I = beamCandela(
    beam,
    -(dx * F[0]! + dy * F[1]! + dz * F[2]!) / d,
    -(dx * F[3]! + dy * F[4]! + dz * F[5]!),
    -(dx * F[6]! + dy * F[7]! + dz * F[8]!),
  );
  if (I <= 0 || !state.caster.sees(x, y, z, normal[0], normal[1], normal[2], at[0]!, at[1]!, at[2]!)) return 0;
  const depth = state.context.leavesOn ? state.caster.leafDepth(x, y, z, dx / d, dy / d, dz / d, d) : 0;
  return ((I * h) / (d * (d2 + r * r))) * Math.exp(-depth);
}

function totalDirect(state: SolverState): Float32Array {
  const total = new Float32Array(state.bounce.patches.length * 3);
  for (const lit of state.order) {
    const [r, g, b] = weightRgb(lit);
    const lx = lit.patchLx!;
    for (let p = 0; p < lx.length; p++) {
      if (lx[p] === 0) continue;
      total[p * 3]! += r * lx[p]!;
      total[p * 3 + 1]! += g * lx[p]!;
      total[p * 3 + 2]! += b * lx[p]!;
    }
  }
  return total;
}

function totalIndirect(state: SolverState, direct: Float32Array): Float32Array {
  const { bounce, conditions } = state;
  const lamps = lampsKey(state);
  if (state.bouncedKey !== lamps) {
    state.bouncedRgb = bounce.bouncedRgb(direct, conditions.leaves);
    state.bouncedKey = lamps;
  }
  const out = Float32Array.from(state.bouncedRgb);
  const ambient = bounce.ambient(conditions, state.options.surroundings);
  for (let k = 0; k < out.length; k++) out[k]! += ambient.skyRgb[k]! + ambient.panesRgb[k]!;
  return out;
}

function* bringGroupsIndirect(state: SolverState, direct: Float32Array): Steps {
  if (state.groups.length === 0) return;
  if (!state.probes) {
    const steps = traceProbes(state.scene, state.caster, state.bounce, state.groups);
    for (;;) {
      const step = steps.next();
      if (step.done) {
        state.probes = step.value;
        break;
      }
      yield;
    }
  }
  const radiosity = state.bounce.radiosity(direct, state.indirectRgb);
  const coefficients = skyCoefficients(state.conditions, state.options.surroundings);
  applyProbes(
    state.probes,
    radiosity,
    (x, y, z) => skyFromCoefficients(coefficients, x, y, z),
    state.context.leavesOn,
    state.groupsIndirect,
  );
  state.cardsDirty = true;
  state.strandsDirty = true;
}

/** Radiosity of the patches under one source alone, white, full output; bounces included. */
export function unitRadiosity(state: SolverState, lit: Lit): Float32Array {
  if (lit.unitRadiosity) return lit.unitRadiosity;
  bringPatchLight(state, lit);
  const direct = new Float32Array(lit.patchLx!.length * 3);
  for (let k = 0; k < direct.length; k++) direct[k] = lit.patchLx![(k / 3) | 0]!;
  lit.unitRadiosity = state.bounce.radiosity(direct, state.bounce.bounced(lit.patchLx!, state.conditions.leaves));
  return lit.unitRadiosity;
}
