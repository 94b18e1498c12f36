import type { SkyConditions } from '../../exposure/index.ts';
import { moonDirection, moonNormalRgb, skyFromCoefficients } from '../../exposure/index.ts';
import type { Rgb } from '../types.ts';
import type { PatchSet } from './patches.ts';
import { interpolate } from './grid.ts';
import { cosineDirection, frameOf, sobol } from './sequence.ts';
import { FAR_M, RAY_START_M } from './transfer.ts';
import type { BounceCaster, BounceHit, PatchWeights } from './types.ts';

const hit: BounceHit = { distanceM: 0, face: -1, s: 0, t: 0, fromFront: false };
const pair = new Float64Array(2);
const direction = new Float64Array(3);
const found: PatchWeights = { count: 0, patch: new Int32Array(4), weight: new Float32Array(4) };

/** Same rays for every point: neighbouring answers then differ by the light, not by the dice. */
const SEED = 7;

/**
 * Reflected light at a free point, E = π·mean(L) over cosine-weighted rays with L = B/π of the patches they meet: the mean
 * of T·B. One set of rays serves all radiosity vectors.
 */
export function gatherPatches(
  set: PatchSet,
  caster: BounceCaster,
  point: ArrayLike<number>,
  normal: ArrayLike<number>,
  radiosities: readonly ArrayLike<number>[],
  rays: number,
  leaves: boolean,
  turnOver: (hit: BounceHit) => void,
): Rgb[] {
  const sums = radiosities.map(() => [0, 0, 0] as [number, number, number]);
  const frame = frameOf(normal);
  const [ox, oy, oz] = start(point, frame);
  for (let k = 0; k < rays; k++) {
    sobol(k, SEED, pair);
    cosineDirection(pair[0]!, pair[1]!, frame, direction);
    const [dx, dy, dz] = [direction[0]!, direction[1]!, direction[2]!];
    const struck = caster.nearest(ox, oy, oz, dx, dy, dz, FAR_M, hit);
    const reach = struck ? hit.distanceM : FAR_M;
    const T = leaves ? caster.leafTransmittance(ox, oy, oz, dx, dy, dz, reach) : 1;
    if (T < 1) {
      const cell = set.leaves.met(ox, oy, oz, dx, dy, dz, reach, T, ((k * 0.6180339887) % 1) * 0.998 + 0.001);
      if (cell >= 0) add(radiosities, sums, set.flat + cell, (1 - T) / rays);
    }
    if (!struck) continue;
    turnOver(hit);
    if (hit.face < 0 || !hit.fromFront) continue;
    interpolate(set.grids[hit.face], hit.s, hit.t, found);
    for (let w = 0; w < found.count; w++) add(radiosities, sums, found.patch[w]!, (T * found.weight[w]!) / rays);
  }
  return sums;
}

function add(radiosities: readonly ArrayLike<number>[], sums: [number, number, number][], patch: number, share: number): void {
  radiosities.forEach((B, v) => {
    for (let c = 0; c < 3; c++) sums[v]![c]! += share * B[patch * 3 + c]!;
  });
}

/** Sky light at a free point, RGB lux: π·mean(T·L(ω)) over the rays that escape upward. */
export function gatherSky(
  caster: BounceCaster,
  point: ArrayLike<number>,
  normal: ArrayLike<number>,
  coefficients: ArrayLike<number>,
  rays: number,
  leaves: boolean,
): Rgb {
  const sum: [number, number, number] = [0, 0, 0];
  const frame = frameOf(normal);
  const [ox, oy, oz] = start(point, frame);
  for (let k = 0; k < rays; k++) {
    sobol(k, SEED, pair);
    cosineDirection(pair[0]!, pair[1]!, frame, direction);
    const [dx, dy, dz] = [direction[0]!, direction[1]!, direction[2]!];
    if (dy <= 0 || caster.blocked(ox, oy, oz, dx, dy, dz, FAR_M)) continue;
    const T = leaves ? caster.leafTransmittance(ox, oy, oz, dx, dy, dz, FAR_M) : 1;
    const L = skyFromCoefficients(coefficients, dx, dy, dz);
    for (let c = 0; c < 3; c++) sum[c]! += (Math.PI * T * L[c]!) / rays;
  }
  return sum;
}

/** Moonlight at a free point, RGB lux: E⊥·cos θ where nothing opaque is in the way, through the leaves. */
export function gatherMoon(
  caster: BounceCaster,
  point: ArrayLike<number>,
  normal: ArrayLike<number>,
  conditions: SkyConditions,
  leaves: boolean,
): Rgb {
  const E = moonNormalRgb(conditions);
  const T = E[1] > 0 ? moonShare(caster, point, normal, moonDirection(conditions), leaves) : 0;
  return [E[0] * T, E[1] * T, E[2] * T];
}

/** cos θ × transmittance toward a far source. */
export function moonShare(
  caster: BounceCaster,
  point: ArrayLike<number>,
  normal: ArrayLike<number>,
  toward: Rgb,
  leaves: boolean,
): number {
  const frame = frameOf(normal);
  const cos = toward[0] * frame[6]! + toward[1] * frame[7]! + toward[2] * frame[8]!;
  if (cos <= 0) return 0;
  const [ox, oy, oz] = start(point, frame);
  if (caster.blocked(ox, oy, oz, toward[0], toward[1], toward[2], FAR_M)) return 0;
  return cos * (leaves ? caster.leafTransmittance(ox, oy, oz, toward[0], toward[1], toward[2], FAR_M) : 1);
}

/** Start a little off the surface. */
function start(point: ArrayLike<number>, frame: Float64Array): [number, number, number] {
  return [point[0]! + RAY_START_M * frame[6]!, point[1]! + RAY_START_M * frame[7]!, point[2]! + RAY_START_M * frame[8]!];
}
