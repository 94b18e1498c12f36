import { luminanceOf } from '../../exposure/index.ts';
import type { Vec3 } from '../../scene/index.ts';
import { beamCandela } from '../beam.ts';
import { facesServedNear } from '../flush.ts';
import type { TriangleHit } from '../rays/index.ts';
import type { EyeLight, PointLight } from '../types.ts';
import { directLx, unitRadiosity } from './patchLight.ts';
import type { Emitter } from './emitter.ts';
import { unit } from './look.ts';
import { globeDirectLx, lineDirectLx } from './shaped.ts';
import type { Lit, SolverState } from './state.ts';

/** Size of a cell of the lens beside its distance. */
const LENS_CELL = 0.12;

/** Hard visibility × mean leaf transmittance between two points. */
export function transmittance(state: SolverState, from: Vec3, to: Vec3): number {
  const d: Vec3 = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
  const l = Math.hypot(...d);
  if (l < 1e-9) return 1;
  const u: Vec3 = [d[0] / l, d[1] / l, d[2] / l];
  if (state.caster.blocked(...from, ...u, l - 1e-4)) return 0;
  return state.context.leavesOn ? state.caster.leafTransmittance(...from, ...u, l) : 1;
}

/** k-th of n points of the lens disc, equal areas, square to the axis. */
function lensPoint(emitter: Emitter, ring: number, spoke: number, rings: number, spokes: number): Vec3 {
  const rho = emitter.lensRadiusM * Math.sqrt((ring + 0.5) / rings);
  const a = (2 * Math.PI * (spoke + (ring & 1) * 0.5)) / spokes;
  const F = emitter.frame;
  const at = (k: number): number => emitter.at[k]! + rho * (Math.cos(a) * F[3 + k]! + Math.sin(a) * F[6 + k]!);
  return [at(0), at(1), at(2)];
}

/** Candela toward a point. */
function candelaToward(emitter: Emitter, p: Vec3): number {
  const x = p[0] - emitter.at[0]!;
  const y = p[1] - emitter.at[1]!;
  const z = p[2] - emitter.at[2]!;
  const d = Math.sqrt(x * x + y * y + z * z);
  if (d < 1e-9) return 0;
  const F = emitter.frame;
  return beamCandela(
    emitter.beam,
    (x * F[0]! + y * F[1]! + z * F[2]!) / d,
    x * F[3]! + y * F[4]! + z * F[5]!,
    x * F[6]! + y * F[7]! + z * F[8]!,
  );
}

/**
 * Direct lux of one source at full output, exact: within ten lens radii by integration over the lens, beyond by
 * I·cosθ/(d² + r²); soft shadows by rays over the lens where centre and rim disagree.
 */
export function exactDirectLx(state: SolverState, lit: Lit, p: Vec3, n: Vec3): number {
  const { emitter } = lit;
  const { shape } = emitter;
  if (shape.kind === 'line') return lineDirectLx(state, emitter, shape.half, p, n);
  if (shape.kind === 'globe') return globeDirectLx(state, emitter, shape.radiusM, p, n);
  const d = Math.hypot(emitter.at[0]! - p[0], emitter.at[1]! - p[1], emitter.at[2]! - p[2]);
  const r = emitter.lensRadiusM;
  if (r > 0 && d < 10 * r) return overLens(state, emitter, p, n);
  const centre = directLx(state, lit, p[0], p[1], p[2], n);
  if (r === 0) return centre;
  const share = seenShare(state, emitter, p, n, centre > 0);
  if (share === (centre > 0 ? 1 : 0)) return centre;
  return share * unshadowed(state, emitter, p, n, d);
}

function unshadowed(state: SolverState, emitter: Emitter, p: Vec3, n: Vec3, d: number): number {
  const h = [0, 1, 2].reduce((sum, k) => sum + (emitter.at[k]! - p[k]!) * n[k]!, 0);
  if (h <= 0) return 0;
  const u: Vec3 = [(emitter.at[0]! - p[0]) / d, (emitter.at[1]! - p[1]) / d, (emitter.at[2]! - p[2]) / d];
  const T = state.context.leavesOn ? state.caster.leafTransmittance(...p, ...u, d) : 1;
  return ((candelaToward(emitter, p) * h) / (d * (d * d + emitter.lensRadiusM ** 2))) * T;
}

function seenShare(state: SolverState, emitter: Emitter, p: Vec3, n: Vec3, centreSeen: boolean): number {
  const sees = (l: Vec3): boolean => state.caster.sees(...p, ...n, ...l);
  const F = emitter.frame;
  let rim = 0;
  for (let k = 0; k < 4; k++) {
    const a = (k * Math.PI) / 2;
    const at = (c: number): number => emitter.at[c]! + emitter.lensRadiusM * (Math.cos(a) * F[3 + c]! + Math.sin(a) * F[6 + c]!);
    if (sees([at(0), at(1), at(2)])) rim++;
  }
  if (rim === (centreSeen ? 4 : 0)) return centreSeen ? 1 : 0;
  let seen = 0;
  for (let k = 0; k < 64; k++) if (sees(lensPoint(emitter, k >> 3, k & 7, 8, 8))) seen++;
  return seen / 64;
}

/**
 * ∫ I(w)·cosθ/(A·d²) dA over the lens, exact for an even one: cells of the disc (ρ² by angle, so areas are products) are
 * halved across their longer side until they are small beside their distance.
 */
function overLens(state: SolverState, emitter: Emitter, p: Vec3, n: Vec3): number {
  const r = emitter.lensRadiusM;
  const shifted: Emitter = { ...emitter, at: Float64Array.from(emitter.at) };
  const F = emitter.frame;
  const cells = [0, 1, 0, 2 * Math.PI];
  let sum = 0;
  while (cells.length > 0) {
    const a1 = cells.pop()!;
    const a0 = cells.pop()!;
    const x1 = cells.pop()!;
    const x0 = cells.pop()!;
    const rho = r * Math.sqrt((x0 + x1) / 2);
    const a = (a0 + a1) / 2;
    for (let k = 0; k < 3; k++) {
      shifted.at[k] = emitter.at[k]! + rho * (Math.cos(a) * F[3 + k]! + Math.sin(a) * F[6 + k]!);
    }
    const d: Vec3 = [shifted.at[0]! - p[0], shifted.at[1]! - p[1], shifted.at[2]! - p[2]];
    const dist = Math.hypot(...d);
    const across = r * (Math.sqrt(x1) - Math.sqrt(x0));
    const along = r * Math.sqrt(x1) * (a1 - a0);
    const largest = Math.min(LENS_CELL * dist, 0.5 * r);
    if (Math.max(across, along) > largest && across * along > 1e-6 * r * r) {
      if (across > along) cells.push(x0, (x0 + x1) / 2, a0, a1, (x0 + x1) / 2, x1, a0, a1);
      else cells.push(x0, x1, a0, a, x0, x1, a, a1);
      continue;
    }
    const h = d[0] * n[0] + d[1] * n[1] + d[2] * n[2];
    if (h <= 0 || !state.caster.sees(...p, ...n, shifted.at[0]!, shifted.at[1]!, shifted.at[2]!)) continue;
    const T = state.context.leavesOn ? state.caster.leafTransmittance(...p, d[0] / dist, d[1] / dist, d[2] / dist, dist) : 1;
    sum += (candelaToward(shifted, p) * h * T * (x1 - x0) * (a1 - a0)) / (2 * Math.PI * dist ** 3);
  }
  return sum;
}

/** Light at a point by rays of its own, never the atlas. */
export function exactAt(
  state: SolverState,
  at: Vec3,
  normal: Vec3,
  options: { only?: readonly string[]; sky?: boolean } = {},
): PointLight {
  const n = unit(normal);
  const lits = state.order.filter((lit) => !options.only || options.only.includes(lit.source.id));
  const { bounce, conditions } = state;
  const bouncing = bounce.patches.length > 0 && bounce.raysPerPatch > 0;
  const radiosities = bouncing ? lits.filter((lit) => lit.source.weight > 0).map((lit) => unitRadiosity(state, lit)) : [];
  const gathered = radiosities.length > 0 ? bounce.gatherManyAt(at, n, radiosities, { leaves: conditions.leaves }) : [];
  let next = 0;
  const bySource = lits.map((lit) => {
    const w = lit.source.weight;
    if (w === 0) return { id: lit.source.id, directLx: 0, bouncedLx: 0 };
    const rgb = bouncing ? gathered[next++]! : ([0, 0, 0] as const);
    const bounced = luminanceOf([rgb[0] * lit.colour[0], rgb[1] * lit.colour[1], rgb[2] * lit.colour[2]]);
    return { id: lit.source.id, directLx: w * exactDirectLx(state, lit, at, n), bouncedLx: w * bounced };
  });
  const directLx = bySource.reduce((sum, s) => sum + s.directLx, 0);
  const bouncedLx = bySource.reduce((sum, s) => sum + s.bouncedLx, 0);
  const { skyLx, windowsLx } = options.sky ? ambientAt(state, at, n, bouncing) : { skyLx: 0, windowsLx: 0 };
  return { totalLx: directLx + bouncedLx + skyLx + windowsLx, directLx, bouncedLx, skyLx, windowsLx, bySource };
}

function ambientAt(state: SolverState, at: Vec3, n: Vec3, bouncing: boolean): { skyLx: number; windowsLx: number } {
  const { bounce, conditions, options } = state;
  let skyLx = luminanceOf(bounce.skyAt(at, n, conditions, options.surroundings));
  let windowsLx = luminanceOf(bounce.panesAt(at, n, conditions.leaves));
  if (bouncing) {
    const { skyRgb, panesRgb } = bounce.ambientRadiosity(conditions, options.surroundings);
    const [sky, panes] = bounce.gatherManyAt(at, n, [skyRgb, panesRgb], { leaves: conditions.leaves });
    skyLx += luminanceOf(sky!);
    windowsLx += luminanceOf(panes!);
  }
  return { skyLx, windowsLx };
}

/** Light at an eye from each source, normal to the ray, weight included. */
export function eyeLight(state: SolverState, at: Vec3, gaze: Vec3, only?: readonly string[]): EyeLight[] {
  const g = unit(gaze);
  const asked = only ? state.order.filter((lit) => only.includes(lit.source.id)) : state.order;
  return asked.map((lit) => {
    const { emitter, source } = lit;
    const d: Vec3 = [emitter.at[0]! - at[0], emitter.at[1]! - at[1], emitter.at[2]! - at[2]];
    const dist = Math.max(1e-9, Math.hypot(...d));
    const toward: Vec3 = [d[0] / dist, d[1] / dist, d[2] / dist];
    const passes = lensTransmittance(state, emitter, at, toward);
    const I = candelaToward(emitter, at) * source.weight;
    const r = emitter.lensRadiusM;
    const F = emitter.frame;
    const cosLens = -(toward[0] * F[0]! + toward[1] * F[1]! + toward[2] * F[2]!);
    return {
      id: source.id,
      eyeIlluminanceLx: (I * passes) / (dist * dist + r * r),
      angleFromGazeDeg:
        (Math.acos(Math.min(1, Math.max(-1, toward[0] * g[0] + toward[1] * g[1] + toward[2] * g[2]))) * 180) / Math.PI,
      transmittance: passes,
      luminanceCdM2: r > 0 && cosLens > 1e-3 ? I / (Math.PI * r * r * cosLens) : 0,
    };
  });
}

/** Share of the lens seen from a point × leaves on the way: centre and sixteen points of the disc. */
function lensTransmittance(state: SolverState, emitter: Emitter, at: Vec3, toward: Vec3): number {
  // The opening lies on the fixture's face: look at it from 1 mm in front.
  const front = (l: Vec3): Vec3 => [l[0] - toward[0] * 1e-3, l[1] - toward[1] * 1e-3, l[2] - toward[2] * 1e-3];
  const centre: Vec3 = [emitter.at[0]!, emitter.at[1]!, emitter.at[2]!];
  if (emitter.lensRadiusM === 0) return transmittance(state, at, front(centre));
  let sum = 0;
  for (let k = 0; k < 16; k++) sum += transmittance(state, at, front(lensPoint(emitter, k >> 3, k & 7, 2, 8)));
  return sum / 16;
}

const GAMMA_STRATA = 64;
const C_STRATA = 32;
const NEAR_M = 0.5;

/** Flux balance of one source by 2,048 rays from the lens, strata of equal flux. Lumens with the weight included. */
export function fluxOf(
  state: SolverState,
  sourceId: string,
): { emittedLm: number; surfacesLm: number; leavesLm: number; skyLm: number; nearLostLm: number } {
  const lit = state.lits.get(sourceId);
  if (!lit) throw new RangeError(`source ${sourceId}: not among the ${state.order.length} sources set`);
  const { emitter, source } = lit;
  const emittedLm = emitter.beam.fluxLm * source.weight;
  const out = { emittedLm, surfacesLm: 0, leavesLm: 0, skyLm: 0, nearLostLm: 0 };
  if (emittedLm <= 0) return out;
  const hit: TriangleHit = { distanceM: 0, triangle: -1 };
  const served = facesServedNear(state.scene, source.fixture);
  let total = 0;
  const rays: { d: Vec3; flux: number }[] = [];
  const cosines = equalFluxCosines(emitter);
  for (let g = 0; g < GAMMA_STRATA; g++) {
    for (let c = 0; c < C_STRATA; c++) {
      const ray = fluxRay(emitter, cosines[g]!, ((c + ((g * 0.618) % 1)) / C_STRATA) * 2 * Math.PI);
      rays.push(ray);
      total += ray.flux;
    }
  }
  for (const { d, flux } of rays) {
    if (flux === 0) continue;
    const lm = (flux / total) * emittedLm;
    const [x, y, z] = [emitter.at[0]!, emitter.at[1]!, emitter.at[2]!];
    const met = state.caster.nearestTriangle(x, y, z, ...d, 1e5, hit);
    const reach = met ? hit.distanceM : 1e4;
    const passes = state.context.leavesOn ? state.caster.leafTransmittance(x, y, z, ...d, reach) : 1;
    out.leavesLm += lm * (1 - passes);
    // What misses everything and goes down lands on ground beyond the property.
    if (met || d[1] <= 0) out.surfacesLm += lm * passes;
    else out.skyLm += lm * passes;
    if (met && reach < NEAR_M && !served.has(state.scene.occluders.face[hit.triangle]!) && !isTarget(state, lit, hit.triangle))
      out.nearLostLm += lm * passes;
    if (state.context.leavesOn)
      out.nearLostLm += lm * (1 - state.caster.leafTransmittance(x, y, z, ...d, Math.min(NEAR_M, reach)));
  }
  return out;
}

function isTarget(state: SolverState, lit: Lit, triangle: number): boolean {
  const { targetId } = lit.source.fixture;
  if (!targetId) return false;
  const { occluders, faces } = state.scene;
  const face = faces[occluders.face[triangle]!];
  return targetId === occluders.partIds[occluders.part[triangle]!] || targetId === face?.id || targetId === face?.partId;
}

/** Middle of each of the strata of equal flux, as cosine of the angle from the axis. */
function equalFluxCosines(emitter: Emitter): Float64Array {
  const { beam } = emitter;
  const q = (k: number): number => (k / beam.steps) * Math.SQRT2;
  const sums = new Float64Array(beam.steps + 1);
  for (let k = 0; k < beam.steps; k++) {
    let mean = 0;
    for (let p = 0; p < beam.planes; p++) {
      const at = p * (beam.steps + 1) + k;
      mean += (beam.candela[at]! + beam.candela[at + 1]!) / (2 * beam.planes);
    }
    sums[k + 1] = sums[k]! + mean * (q(k + 1) ** 2 - q(k) ** 2);
  }
  const out = new Float64Array(GAMMA_STRATA);
  let k = 0;
  for (let g = 0; g < GAMMA_STRATA; g++) {
    const wanted = ((g + 0.5) / GAMMA_STRATA) * sums[beam.steps]!;
    while (k < beam.steps - 1 && sums[k + 1]! < wanted) k++;
    const f = sums[k + 1]! > sums[k]! ? (wanted - sums[k]!) / (sums[k + 1]! - sums[k]!) : 0;
    out[g] = 1 - (q(k) ** 2 + f * (q(k + 1) ** 2 - q(k) ** 2));
  }
  return out;
}

/** Direction and its share of its stratum: intensity there over the mean intensity round the axis. */
function fluxRay(emitter: Emitter, cos: number, c: number): { d: Vec3; flux: number } {
  const sin = Math.sqrt(Math.max(0, 1 - cos * cos));
  const F = emitter.frame;
  const right = Math.cos(c) * sin;
  const up = Math.sin(c) * sin;
  const at = (k: number): number => cos * F[k]! + right * F[3 + k]! + up * F[6 + k]!;
  const d: Vec3 = [at(0), at(1), at(2)];
  if (emitter.beam.planes === 1) return { d, flux: 1 };
  let mean = 0;
  for (let k = 0; k < 24; k++)
    mean += beamCandela(emitter.beam, cos, Math.cos((k * Math.PI) / 12), Math.sin((k * Math.PI) / 12)) / 24;
  return { d, flux: mean > 0 ? beamCandela(emitter.beam, cos, right, up) / mean : 0 };
}
