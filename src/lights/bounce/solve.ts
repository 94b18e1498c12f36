import type { Conditions } from '../types.ts';
import type { BrightRow } from './bright.ts';
import type { PatchSet } from './patches.ts';
import type { Transfer } from './transfer.ts';
import type { BounceBalance } from './types.ts';

/** Sweeps that no scene needs; a stop for numbers that cannot converge (reflectance 1 in a closed room). */
const MOST_SWEEPS = 2000;

/** Flux of one solve, RGB lumens: what arrived at each patch, what stayed unsent. */
interface Solved {
  /** Indirect flux that arrived, 3 numbers a patch. */
  arrived: Float64Array;
  /** Reflected flux not sent on, 3 numbers a patch: less than the wanted share in all. */
  unsent: Float64Array;
  /** Reflected flux that was sent on, 3 numbers a patch. */
  sent: Float64Array;
}

/**
 * Bounces by shooting (progressive radiosity, Cohen et al. 1988): each patch sends its reflected flux ρ·E·A along its row
 * of the transfer, what arrives is reflected and waits in its turn. A patch whose waiting flux is below its share of the
 * allowed rest stays silent, so no more than `energyLeft` of the light that came in is ever left out. Sweeps in place.
 */
function shoot(
  set: PatchSet,
  transfer: Transfer,
  leaves: Conditions['leaves'],
  directRgb: ArrayLike<number>,
  energyLeft: number,
  bright: readonly (BrightRow | undefined)[],
): Solved {
  const n = set.patches.length;
  const whole = weightsOf(transfer, leaves);
  const rho = set.reflectance;
  const arrived = new Float64Array(n * 3);
  /** Reflected direct flux less what was sent: with the reflected arrivals it makes what waits. */
  const rest = new Float64Array(n * 3);
  const sent = new Float64Array(n * 3);
  const total = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    for (let c = 0; c < 3; c++) {
      const flux = directRgb[i * 3 + c]! * set.areaM2[i]!;
      total[c]! += Math.abs(flux);
      rest[i * 3 + c] = flux * rho[i * 3 + c]!;
    }
  }
  const limit = total.map((v) => (v * energyLeft) / n) as [number, number, number];
  const [lr, lg, lb] = limit;
  for (let sweep = 0, active = true; active && sweep < MOST_SWEEPS; sweep++) {
    active = false;
    for (let i = 0; i < n; i++) {
      const k = i * 3;
      const r = rest[k]! + arrived[k]! * rho[k]!;
      const g = rest[k + 1]! + arrived[k + 1]! * rho[k + 1]!;
      const b = rest[k + 2]! + arrived[k + 2]! * rho[k + 2]!;
      if (Math.abs(r) <= lr && Math.abs(g) <= lg && Math.abs(b) <= lb) continue;
      active = true;
      sent[k]! += r;
      sent[k + 1]! += g;
      sent[k + 2]! += b;
      rest[k]! -= r;
      rest[k + 1]! -= g;
      rest[k + 2]! -= b;
      const sharp = bright[i];
      const column = sharp ? sharp.column : transfer.column;
      const weights = sharp ? (leaves === 'bare' ? sharp.bare : sharp.on) : whole;
      const end = sharp ? column.length : transfer.start[i + 1]!;
      for (let e = sharp ? 0 : transfer.start[i]!; e < end; e++) {
        const w = weights[e]!;
        const j = column[e]! * 3;
        arrived[j]! += w * r;
        arrived[j + 1]! += w * g;
        arrived[j + 2]! += w * b;
      }
    }
  }
  const unsent = rest;
  for (let k = 0; k < unsent.length; k++) unsent[k]! += arrived[k]! * rho[k]!;
  return { arrived, unsent, sent };
}

const weightsOf = (transfer: Transfer, leaves: Conditions['leaves']): Float32Array =>
  leaves === 'bare' ? transfer.bare : transfer.on;

/** Indirect illuminance of given direct illuminance, RGB lux, 3 numbers a patch. */
export function solveBounces(
  set: PatchSet,
  transfer: Transfer,
  directRgb: ArrayLike<number>,
  leaves: Conditions['leaves'],
  energyLeft: number,
  bright: readonly (BrightRow | undefined)[] = [],
): Float32Array {
  const { arrived } = shoot(set, transfer, leaves, directRgb, energyLeft, bright);
  const out = new Float32Array(arrived.length);
  for (let k = 0; k < out.length; k++) out[k] = arrived[k]! / set.areaM2[(k / 3) | 0]!;
  return out;
}

/** Where the flux of one white direct vector went, luminance-weighted lumens. */
export function balanceOf(
  set: PatchSet,
  transfer: Transfer,
  directRgb: ArrayLike<number>,
  leaves: Conditions['leaves'],
  energyLeft: number,
  bright: readonly (BrightRow | undefined)[] = [],
): BounceBalance {
  const { arrived, unsent, sent } = shoot(set, transfer, leaves, directRgb, energyLeft, bright);
  const escaped = leaves === 'bare' ? transfer.escapedBare : transfer.escapedOn;
  const weights = weightsOf(transfer, leaves);
  const out: BounceBalance = { emittedLm: 0, absorbedLm: 0, escapedLm: 0, takenLm: 0, leftLm: 0 };
  const V = [0.2126, 0.7152, 0.0722];
  for (let i = 0; i < set.patches.length; i++) {
    let landed = 0;
    for (let e = transfer.start[i]!; e < transfer.start[i + 1]!; e++) landed += weights[e]!;
    for (let c = 0; c < 3; c++) {
      const k = i * 3 + c;
      const direct = directRgb[k]! * set.areaM2[i]!;
      out.emittedLm += V[c]! * direct;
      const kept = V[c]! * (direct + arrived[k]!) * (1 - set.reflectance[k]!);
      if (i < set.flat) out.absorbedLm += kept;
      else out.takenLm += kept;
      out.escapedLm += V[c]! * sent[k]! * escaped[i]!;
      out.takenLm += V[c]! * sent[k]! * (1 - landed - escaped[i]!);
      out.leftLm += V[c]! * unsent[k]!;
    }
  }
  return out;
}
