import type { DistributionRecord, FixtureRecord } from '../scene/index.ts';
import { beamExponent, beamFigures, candelaAt, distributionFluxLm } from './distribution.ts';

type Lens = FixtureRecord['lens'];
type Shield = FixtureRecord['shield'];

const DEG = Math.PI / 180;
/** Light a frosted lens passes, and the share of it that it scatters; common practice, no source. */
const FROSTED = { passes: 0.85, scatters: 0.7, lobeDeg: 36 };
/** Light a linear spread lens passes, and how far it spreads to each side; common practice, no source. */
const LINEAR = { passes: 0.9, halfSpreadDeg: 30, steps: 31 };
const CLEAR: Lens = { kind: 'clear', rollDeg: 0 };
const OPEN: Shield = { kind: 'none', cutOffDeg: 45, rollDeg: 0 };
/** Open share of a louvre's cells seen straight on; common practice, no source. */
const LOUVRE_OPEN = 0.85;
const AXIAL_STEPS = 4096;
const PLANE_STEPS = 512;
const PLANES = 144;

/**
 * What leaves the fixture, ready for lookup: lamp, lens and shield in one table over q = √(1 − cos γ) and C.
 * q runs evenly from 0 to √2, so narrow beams get fine steps and no arc cosine is needed.
 */
export interface Beam {
  /** 1 for an axially symmetric beam. */
  planes: number;
  /** Table steps; each plane holds steps + 1 numbers. */
  steps: number;
  /** candela[plane·(steps + 1) + k]. */
  candela: Float32Array;
  /** Largest intensity at q_k or beyond, any plane: bounds what can lie outside a cone. */
  largestBeyond: Float32Array;
  peakCd: number;
  /** Flux that leaves the fixture, lens and shield included. */
  fluxLm: number;
}

/**
 * Compiles lamp, lens and shield into one table. Lens and shield only redistribute or take light:
 * the flux never rises above the lamp's.
 *
 * - frosted: .85 of the light passes; .7 of that is scattered into a cosⁿ lobe of √(B² + 36²) full beam angle.
 * - linear spread: .9 passes, turned by ±30° (triangular weight) about the axis square to its spread.
 * - shroud: share of the lens disc seen through the tube's mouth, two equal circles that part:
 *   (2/π)(acos q − q√(1−q²)), q = tan γ / tan(cut-off).
 * - louvre: the same for each cell, times its open share .85.
 * - half shield: share of the disc seen over a straight edge on one side.
 *
 * Azimuth 0 is the fixture's own "right"; 90° its "up" (see `fixtureFrame`). Spread runs along azimuth 0 and a half
 * shield stands at 90°, both turned by their `rollDeg`.
 */
export function compileBeam(distribution: DistributionRecord, lens: Lens, shield: Shield): Beam {
  const axial = isAxial(distribution) && lens.kind !== 'linearSpread' && shield.kind !== 'halfShield';
  const lensed = lensCandela(distribution, lens);
  const steps = axial ? AXIAL_STEPS : PLANE_STEPS;
  const planes = axial ? 1 : PLANES;
  const candela = new Float32Array(planes * (steps + 1));
  for (let p = 0; p < planes; p++) {
    const c = (p / planes) * 2 * Math.PI;
    for (let k = 0; k <= steps; k++) {
      const gamma = gammaAt(k, steps);
      candela[p * (steps + 1) + k] = lensed(gamma, c) * shieldShare(shield, gamma, c);
    }
  }
  return finish(candela, planes, steps, lens.kind === 'clear' && shield.kind === 'none' ? distribution : undefined);
}

function isAxial(distribution: DistributionRecord): boolean {
  return distribution.kind === 'model' || distribution.cDeg.length === 1;
}

function gammaAt(k: number, steps: number): number {
  const q = (k / steps) * Math.SQRT2;
  return Math.acos(Math.max(-1, 1 - q * q));
}

function finish(candela: Float32Array, planes: number, steps: number, bare: DistributionRecord | undefined): Beam {
  const largestBeyond = new Float32Array(steps + 1);
  for (let k = steps; k >= 0; k--) {
    let most = k < steps ? largestBeyond[k + 1]! : 0;
    for (let p = 0; p < planes; p++) most = Math.max(most, candela[p * (steps + 1) + k]!);
    largestBeyond[k] = most;
  }
  const fluxLm = bare ? distributionFluxLm(bare) : tableFlux(candela, planes, steps);
  return { planes, steps, candela, largestBeyond, peakCd: largestBeyond[0]!, fluxLm };
}

/** Φ = ∫∫ I d(cos γ) dC with cos γ = 1 − q², so d(cos γ) = 2q dq; I linear in q on each step. */
function tableFlux(candela: Float32Array, planes: number, steps: number): number {
  const h = Math.SQRT2 / steps;
  let sum = 0;
  for (let p = 0; p < planes; p++) {
    for (let k = 0; k < steps; k++) {
      const a = candela[p * (steps + 1) + k]!;
      const b = candela[p * (steps + 1) + k + 1]!;
      const q0 = k * h;
      sum += 2 * h * (q0 * (a + b) * 0.5 + h * (a / 6 + b / 3));
    }
  }
  return (sum / planes) * 2 * Math.PI;
}

function lensCandela(distribution: DistributionRecord, lens: Lens): (gamma: number, c: number) => number {
  if (lens.kind === 'frosted') return frosted(distribution);
  if (lens.kind === 'linearSpread') return linearSpread(distribution, lens.rollDeg * DEG);
  return (gamma, c) => candelaAt(distribution, gamma, c);
}

function frosted(distribution: DistributionRecord): (gamma: number, c: number) => number {
  const bare = beamFigures(distribution).beamAngleFullDeg;
  const n = beamExponent(Math.min(170, Math.hypot(Math.min(bare, 170), FROSTED.lobeDeg)));
  const lobePeak = (FROSTED.passes * FROSTED.scatters * distributionFluxLm(distribution) * (n + 1)) / (2 * Math.PI);
  return (gamma, c) => {
    const straight = FROSTED.passes * (1 - FROSTED.scatters) * candelaAt(distribution, gamma, c);
    const cosGamma = Math.cos(gamma);
    return straight + (cosGamma > 0 ? lobePeak * cosGamma ** n : 0);
  };
}

function linearSpread(distribution: DistributionRecord, rollRad: number): (gamma: number, c: number) => number {
  const bare = compileBeam(distribution, CLEAR, OPEN);
  const cosRoll = Math.cos(rollRad);
  const sinRoll = Math.sin(rollRad);
  return (gamma, c) => {
    if (gamma >= Math.PI / 2) return 0;
    const a = Math.sin(gamma) * Math.cos(c - rollRad);
    const b = Math.sin(gamma) * Math.sin(c - rollRad);
    const z = Math.cos(gamma);
    let sum = 0;
    let weight = 0;
    for (let i = 0; i < LINEAR.steps; i++) {
      const x = (2 * (i + 0.5)) / LINEAR.steps - 1;
      const w = 1 - Math.abs(x);
      const turn = x * LINEAR.halfSpreadDeg * DEG;
      const ar = a * Math.cos(turn) - z * Math.sin(turn);
      const zr = a * Math.sin(turn) + z * Math.cos(turn);
      sum += w * beamCandela(bare, Math.min(1, zr), ar * cosRoll - b * sinRoll, b * cosRoll + ar * sinRoll);
      weight += w;
    }
    return (LINEAR.passes * sum) / weight;
  };
}

/** Share of the lens that a direction sees past the shield, 0…1. */
export function shieldShare(shield: Shield, gamma: number, c: number): number {
  if (shield.kind === 'none') return 1;
  if (gamma >= Math.PI / 2 - 1e-9 && shield.kind !== 'halfShield') return 0;
  const ratio = Math.min(1e9, Math.abs(Math.tan(gamma))) / Math.tan(shield.cutOffDeg * DEG);
  if (shield.kind === 'halfShield') {
    const q = Math.min(1, Math.max(0, ratio * Math.sin(c - shield.rollDeg * DEG)));
    const u = 1 - 2 * q;
    return Math.max(0, 0.5 + (u * Math.sqrt(Math.max(0, 1 - u * u)) + Math.asin(u)) / Math.PI);
  }
  if (ratio >= 1) return 0;
  const overlap = (2 / Math.PI) * (Math.acos(ratio) - ratio * Math.sqrt(1 - ratio * ratio));
  return shield.kind === 'louvre' ? LOUVRE_OPEN * overlap : overlap;
}

/**
 * Intensity in a direction given by its cosine to the axis and its (unscaled) parts along the frame's right and up.
 * @returns candela.
 */
export function beamCandela(beam: Beam, cosGamma: number, right: number, up: number): number {
  const x = Math.sqrt(Math.max(0, 1 - cosGamma)) * (beam.steps / Math.SQRT2);
  const k = x < beam.steps ? x | 0 : beam.steps - 1;
  const f = x - k;
  const t = beam.candela;
  if (beam.planes === 1) return t[k]! + f * (t[k + 1]! - t[k]!);
  const turn = Math.atan2(up, right) / (2 * Math.PI);
  const y = (turn < 0 ? turn + 1 : turn) * beam.planes;
  const p = (y | 0) % beam.planes;
  const fp = y - (y | 0);
  const row = beam.steps + 1;
  const i = p * row + k;
  const j = ((p + 1) % beam.planes) * row + k;
  const a = t[i]! + f * (t[i + 1]! - t[i]!);
  const b = t[j]! + f * (t[j + 1]! - t[j]!);
  return a + fp * (b - a);
}

/** Largest intensity at or beyond an angle from the axis, given by its cosine. */
export function largestCandelaBeyond(beam: Beam, cosGamma: number): number {
  const x = Math.sqrt(Math.max(0, 1 - cosGamma)) * (beam.steps / Math.SQRT2);
  return beam.largestBeyond[Math.min(beam.steps, x | 0)]!;
}

/** Axis, right and up of a fixture, unit vectors in world axes; 9 numbers. */
export type FixtureFrame = Float64Array;

/**
 * Frame of a fixture: axis from place to aim; right is level; up = right × axis. A vertical axis takes +X as its right,
 * so that tilting a light back from the wall is continuous. `rollDeg` turns right and up about the axis, right toward up.
 *
 * @throws {RangeError} place and aim coincide.
 */
export function fixtureFrame(fixture: Pick<FixtureRecord, 'id' | 'at' | 'aim' | 'rollDeg'>): FixtureFrame {
  const [x, y, z] = [0, 1, 2].map((k) => fixture.aim[k]! - fixture.at[k]!) as [number, number, number];
  const l = Math.hypot(x, y, z);
  if (!(l > 1e-9)) throw new RangeError(`light(id = ${fixture.id}).aim: must differ from its place`);
  const axis = [x / l, y / l, z / l] as const;
  const level = Math.hypot(axis[0], axis[2]);
  const right = level > 1e-6 ? ([-axis[2] / level, 0, axis[0] / level] as const) : ([1, 0, 0] as const);
  const up = [
    right[1] * axis[2] - right[2] * axis[1],
    right[2] * axis[0] - right[0] * axis[2],
    right[0] * axis[1] - right[1] * axis[0],
  ] as const;
  const c = Math.cos(fixture.rollDeg * DEG);
  const s = Math.sin(fixture.rollDeg * DEG);
  const frame = new Float64Array(9);
  for (let k = 0; k < 3; k++) {
    frame[k] = axis[k]!;
    frame[3 + k] = right[k]! * c + up[k]! * s;
    frame[6 + k] = up[k]! * c - right[k]! * s;
  }
  return frame;
}
