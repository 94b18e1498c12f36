import { beamCandela } from '../beam.ts';
import type { TileNode } from '../tiles/node.ts';
import { type SampleShares, sharesOfSamples } from './indirect.ts';
import { type Lit, layerKey, type SolverState, type UnitBounced } from './state.ts';

let stamps = 0;

/** Mean direct lux of every patch from the samples on it; patches without a sample use points of their own. True if it was made now. */
export function bringPatchLight(state: SolverState, lit: Lit): boolean {
  const key = layerKey(state, lit);
  if (lit.patchKey === key && lit.patchLx) return false;
  const n = state.bounce.patches.length;
  const { areaM2: area, shares } = sharesOfTree(state);
  const flux = new Float64Array(n);
  for (const [node, { light }] of lit.layers) {
    const found = light && shares.get(node);
    if (!found) continue;
    const { sample, patch, areaM2 } = found;
    for (let k = 0; k < patch.length; k++) flux[patch[k]!]! += light.e[sample[k]!]! * areaM2[k]!;
  }
  const out = new Float32Array(n);
  for (let p = 0; p < n; p++) out[p] = area[p]! > 0 ? flux[p]! / area[p]! : pointsLx(state, lit, p);
  lit.patchLx = out;
  lit.patchKey = key;
  lit.patchStamp = ++stamps;
  return true;
}

/** Tiles whose samples are shared among the patches between two pauses. */
const TILES_A_STEP = 8;

/** Shares the samples of all tiles among the patches bit by bit, so that the first source does not wait for all of them. */
export function* bringShares(state: SolverState): Generator<void, void, void> {
  let made = 0;
  for (const node of [...state.leaves]) {
    if (state.sampleShares.has(node)) continue;
    const face = state.scene.faces[node.ref.face]!;
    state.sampleShares.set(node, sharesOfSamples(state.bounce, node, face.widthM, face.heightM));
    if (++made % TILES_A_STEP === 0) yield;
  }
}

/** Area of the samples on each patch, with the shares of every tile: the same for all sources until a tile comes or goes. */
function sharesOfTree(state: SolverState): { areaM2: Float64Array; shares: Map<TileNode, SampleShares> } {
  const shares = state.sampleShares;
  const known = state.patchAreas;
  if (known && known.tree === state.treeVersion && known.bounce === state.bounce) return { areaM2: known.areaM2, shares };
  const areaM2 = new Float64Array(state.bounce.patches.length);
  for (const node of state.leaves) {
    let found = shares.get(node);
    if (!found) {
      const face = state.scene.faces[node.ref.face]!;
      found = sharesOfSamples(state.bounce, node, face.widthM, face.heightM);
      shares.set(node, found);
    }
    for (let k = 0; k < found.patch.length; k++) areaM2[found.patch[k]!]! += found.areaM2[k]!;
  }
  state.patchAreas = { tree: state.treeVersion, bounce: state.bounce, areaM2 };
  return { areaM2, shares };
}

function pointsLx(state: SolverState, lit: Lit, patch: number): number {
  if (state.bounce.patches[patch]!.leaves) return state.context.leavesOn ? leavesLx(state, lit, patch) : 0;
  const points = pointsOfPatch(state, patch);
  const normal = state.scene.faces[state.bounce.patches[patch]!.face]!.normal;
  let sum = 0;
  for (let k = 0; k < points.length; k += 3) sum += directLx(state, lit, points[k]!, points[k + 1]!, points[k + 2]!, normal);
  return points.length > 0 ? (sum * 3) / points.length : 0;
}

const pointsKept = new WeakMap<object, (Float32Array | undefined)[]>();

/** Points of a patch without samples: every source asks for the same ones. */
function pointsOfPatch({ bounce }: SolverState, patch: number): Float32Array {
  let kept = pointsKept.get(bounce);
  if (!kept) {
    kept = [];
    pointsKept.set(bounce, kept);
  }
  kept[patch] ??= bounce.pointsOf(patch);
  return kept[patch];
}

/** Light that reaches leaves below this is left out of the bounces, lux. */
const LEAST_LEAVES_LX = 0.005;

/** Mean direct lux over both sides of the leaves of a cell, lying every way: a quarter of what comes normal to the ray. */
function leavesLx(state: SolverState, lit: Lit, patch: number): number {
  const points = pointsOfPatch(state, patch);
  const { at, frame: F, beam, lensRadiusM: r } = lit.emitter;
  let sum = 0;
  for (let k = 0; k < points.length; k += 3) {
    const [x, y, z] = [points[k]!, points[k + 1]!, points[k + 2]!];
    const [dx, dy, dz] = [at[0]! - x, at[1]! - y, at[2]! - z];
    const d2 = dx * dx + dy * dy + dz * dz;
    const d = Math.sqrt(d2);
    const I = beamCandela(
      beam,
      -(dx * F[0]! + dy * F[1]! + dz * F[2]!) / d,
      -(dx * F[3]! + dy * F[4]! + dz * F[5]!),
      -(dx * F[6]! + dy * F[7]! + dz * F[8]!),
    );
    const lx = I / (4 * Math.max(LEAST_DISTANCE_M2, d2 + r * r));
    if (lx < LEAST_LEAVES_LX || state.caster.blocked(x, y, z, dx / d, dy / d, dz / d, d - 1e-3)) continue;
    sum += lx * state.caster.leafTransmittance(x, y, z, dx / d, dy / d, dz / d, d);
  }
  return (sum * 3) / points.length;
}

/** A lamp among leaves is no nearer to any of them than this, squared. */
const LEAST_DISTANCE_M2 = 0.01;

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

/** Bounced light of one source alone from its direct light on the patches; made afresh where that is not known. */
export function unitBounced(state: SolverState, lit: Lit, patchLx: Float32Array): UnitBounced {
  const { leaves } = state.conditions;
  if (lit.unit?.patchLx !== patchLx || lit.unit.leaves !== leaves) {
    lit.unit = { patchLx, leaves, rgb: state.bounce.bounced(patchLx, leaves), differences: 0, radiosity: undefined };
  }
  return lit.unit;
}

/** Radiosity of the patches under one source alone, white, full output; bounces included. */
export function unitRadiosity(state: SolverState, lit: Lit): Float32Array {
  bringPatchLight(state, lit);
  const unit = unitBounced(state, lit, lit.patchLx!);
  if (unit.radiosity) return unit.radiosity;
  const direct = new Float32Array(unit.rgb.length);
  for (let k = 0; k < direct.length; k++) direct[k] = unit.patchLx[(k / 3) | 0]!;
  unit.radiosity = state.bounce.radiosity(direct, unit.rgb);
  return unit.radiosity;
}
