import type { Vec3 } from '../../scene/index.ts';
import { beamCandela } from '../beam.ts';
import type { Emitter } from './emitter.ts';
import type { SolverState } from './state.ts';

/** Longest piece of a line beside its distance, and fewest pieces of a part where its shadow may be soft. */
const PIECE = 0.15;
const FEWEST_PIECES = 4;
/** Rings and spokes of rays over a globe that is partly hidden. */
const GLOBE_RINGS = 12;
const GLOBE_SPOKES = 16;

/** Candela of an emitter seen from `at`, toward a point `toward` metres away. */
function candelaFrom(emitter: Emitter, at: Vec3, p: Vec3, distanceM: number): number {
  const [x, y, z] = [p[0] - at[0], p[1] - at[1], p[2] - at[2]];
  const F = emitter.frame;
  return beamCandela(
    emitter.beam,
    (x * F[0]! + y * F[1]! + z * F[2]!) / distanceM,
    x * F[3]! + y * F[4]! + z * F[5]!,
    x * F[6]! + y * F[7]! + z * F[8]!,
  );
}

/**
 * Direct lux at full output of one part of a line, by pieces small beside their distance, each with its own visibility.
 *
 *     E = (1/ℓ) ∫ I(ω)·cosθ/(d² + r²) dℓ        r half the strip's width
 */
export function lineDirectLx(state: SolverState, emitter: Emitter, half: Vec3, p: Vec3, n: Vec3): number {
  const lengthM = 2 * Math.hypot(...half);
  const r2 = emitter.lensRadiusM ** 2;
  const stack = Array.from({ length: FEWEST_PIECES }, (_, k) => [(2 * k) / FEWEST_PIECES - 1, (2 * (k + 1)) / FEWEST_PIECES - 1]);
  let sum = 0;
  for (let piece = stack.pop(); piece; piece = stack.pop()) {
    const [a, b] = piece as [number, number];
    const t = (a + b) / 2;
    const at: Vec3 = [emitter.at[0]! + t * half[0], emitter.at[1]! + t * half[1], emitter.at[2]! + t * half[2]];
    const d: Vec3 = [at[0] - p[0], at[1] - p[1], at[2] - p[2]];
    const dist = Math.max(1e-9, Math.hypot(...d));
    if (((b - a) / 2) * lengthM > PIECE * dist && b - a > 1e-3) {
      stack.push([a, t], [t, b]);
      continue;
    }
    const h = d[0] * n[0] + d[1] * n[1] + d[2] * n[2];
    if (h <= 0 || !state.caster.sees(...p, ...n, ...at)) continue;
    const T = state.context.leavesOn ? state.caster.leafTransmittance(...p, d[0] / dist, d[1] / dist, d[2] / dist, dist) : 1;
    sum += ((b - a) / 2) * ((candelaFrom(emitter, at, p, dist) * h * T) / (dist * (dist * dist + r2)));
  }
  return sum;
}

/**
 * Direct lux at full output of an even globe of radius R: I·cosθ/d² where all of it is seen (exact for an even sphere), else
 * by rays spread over its cone, so that occluders and the receiver's own horizon cut it softly.
 */
export function globeDirectLx(state: SolverState, emitter: Emitter, radiusM: number, p: Vec3, n: Vec3): number {
  const centre: Vec3 = [emitter.at[0]!, emitter.at[1]!, emitter.at[2]!];
  const d: Vec3 = [centre[0] - p[0], centre[1] - p[1], centre[2] - p[2]];
  const dist = Math.max(1e-9, Math.hypot(...d));
  const I = candelaFrom(emitter, centre, p, dist);
  if (I <= 0 || dist <= radiusM) return 0;
  const w: Vec3 = [d[0] / dist, d[1] / dist, d[2] / dist];
  const cosTheta = w[0] * n[0] + w[1] * n[1] + w[2] * n[2];
  const sinCone = radiusM / dist;
  if (cosTheta <= -sinCone) return 0;
  const { u, v } = square(w);
  // Points of the disc that the globe shows, at the depth of its centre; half the rays at its rim.
  const onDisc = (ring: number, spoke: number, rings: number, spokes: number): Vec3 => {
    const cone = 1 - (1 - Math.sqrt(1 - sinCone * sinCone)) * ((ring + 0.5) / rings);
    const rho = (dist * Math.sqrt(1 - cone * cone)) / cone;
    const a = (2 * Math.PI * (spoke + 0.5 * (ring & 1))) / spokes;
    return [0, 1, 2].map((k) => centre[k]! + rho * (Math.cos(a) * u[k]! + Math.sin(a) * v[k]!)) as [number, number, number];
  };
  const sees = (l: Vec3): boolean => state.caster.sees(...p, ...n, ...l);
  const T = state.context.leavesOn ? state.caster.leafTransmittance(...p, ...w, dist) : 1;
  const whole = cosTheta >= sinCone && sees(centre) && [0, 1, 2, 3, 4, 5].every((k) => sees(onDisc(15, k, 16, 6)));
  if (whole) return (I * cosTheta * T) / (dist * dist);
  let sum = 0;
  for (let ring = 0; ring < GLOBE_RINGS; ring++) {
    for (let spoke = 0; spoke < GLOBE_SPOKES; spoke++) {
      const l = onDisc(ring, spoke, GLOBE_RINGS, GLOBE_SPOKES);
      const q: Vec3 = [l[0] - p[0], l[1] - p[1], l[2] - p[2]];
      const cos = (q[0] * n[0] + q[1] * n[1] + q[2] * n[2]) / Math.hypot(...q);
      if (cos > 0 && sees(l)) sum += cos;
    }
  }
  // L·Ω·mean(cos): L = I/(πR²), Ω = 2π(1 − cos of the cone).
  const solidAngle = 2 * Math.PI * (1 - Math.sqrt(1 - sinCone * sinCone));
  return ((I * T * solidAngle) / (Math.PI * radiusM * radiusM)) * (sum / (GLOBE_RINGS * GLOBE_SPOKES));
}

/** Two unit vectors square to one and to each other. */
function square(w: Vec3): { u: Vec3; v: Vec3 } {
  const a: Vec3 = Math.abs(w[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0];
  const u: Vec3 = [a[1] * w[2] - a[2] * w[1], a[2] * w[0] - a[0] * w[2], a[0] * w[1] - a[1] * w[0]];
  const l = Math.hypot(...u);
  const e: Vec3 = [u[0] / l, u[1] / l, u[2] / l];
  return { u: e, v: [w[1] * e[2] - w[2] * e[1], w[2] * e[0] - w[0] * e[2], w[0] * e[1] - w[1] * e[0]] };
}
