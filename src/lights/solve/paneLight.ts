import { luminanceOf } from '../../exposure/index.ts';
import { type Emitter, emitterLx, polygonFactor } from '../bounce/index.ts';
import type { Vec3 } from '../../scene/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { type Conditions, TILE_SAMPLES } from '../types.ts';
import { type PatchReading, writeIndirect } from './indirect.ts';
import type { SolverState } from './state.ts';

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;
/** What stands between is looked for on a lattice of this, metres, but not at every sample, by so many rays. */
const LATTICE_M = 0.25;
const RAYS = 8;
/** Tiles that can get no more than this of an emitter keep its light from the patches, lux. */
const LEAST_LX = 0.05;
/** What the patches are off by nowhere more than this stays with them. */
const SEEN_LX = 0.004;
/** Farther than so many times its size an emitter's light is straight between lattice points. */
const FAR = 6;
const STAND_OFF_M = 0.002;

/** What a tile's samples lack of the direct light of panes and luminous panels when they read it from the patches, RGB lux. */
interface Correction {
  emitters: readonly Emitter[];
  leaves: Conditions['leaves'];
  rgb: Float32Array | undefined;
}
const corrections = new WeakMap<TileNode, Correction>();

/** Adds to the indirect light of a tile, read from the patches, what the panes near it bring its samples more or less. */
export function addPaneLight(state: SolverState, node: TileNode): void {
  const known = corrections.get(node);
  if (!known?.rgb || !isFresh(state, known)) return;
  const out = state.atlas.field.indirectRgb;
  const { rgb } = known;
  for (let k = 0, at = node.ref.slot * SAMPLES * 3; k < rgb.length; k++, at++) out[at] = Math.max(0, out[at]! + rgb[k]!);
}

const isFresh = (state: SolverState, known: Correction): boolean =>
  known.emitters === state.bounce.emitters && known.leaves === state.conditions.leaves;

/** Works out that light for tiles that have none yet; calls `done` for each that needs writing again. */
export function* bringPaneLight(
  state: SolverState,
  readingOf: (node: TileNode) => PatchReading,
  done: (node: TileNode) => void,
): Generator<void, void, void> {
  const { emitters } = state.bounce;
  if (emitters.length === 0) return;
  for (const node of [...state.leaves]) {
    const known = corrections.get(node);
    if (known && isFresh(state, known)) continue;
    const { leaves } = state.conditions;
    const near = emitters.filter((e) => mostLx(state, node, e) > LEAST_LX);
    let rgb: Float32Array | undefined;
    if (near.length > 0 && node.validCount > 0) {
      rgb = new Float32Array(SAMPLES * 3);
      for (const emitter of near) {
        addEmitter(state, node, emitter, rgb);
        yield;
      }
      takeFromPatches(state, readingOf(node), near, rgb);
      if (isUnseen(rgb)) rgb = undefined;
    }
    corrections.set(node, { emitters, leaves, rgb });
    if (rgb) done(node);
    yield;
  }
}

function isUnseen(rgb: Float32Array): boolean {
  for (let k = 0; k < rgb.length; k++) if (Math.abs(rgb[k]!) >= SEEN_LX) return false;
  return true;
}

/**
 * No sample of the tile gets more of an emitter than this, lux: E ≤ L·A·cos·cos/d², each cosine by how far the corners of one
 * rise over the plane of the other, d to the nearest the two can be; and E ≤ π·L.
 */
function mostLx(state: SolverState, node: TileNode, e: Emitter): number {
  const { origin: o, u, v, normal: n } = state.scene.faces[node.ref.face]!;
  const half = (node.ref.cellM * TILE_SAMPLES) / 2;
  const [s, t] = [node.ref.s0M + half, node.ref.t0M + half];
  const x = o[0] + s * u[0] + t * v[0] - e.centre[0];
  const y = o[1] + s * u[1] + t * v[1] - e.centre[1];
  const z = o[2] + s * u[2] + t * v[2] - e.centre[2];
  const m = e.normal;
  const out = x * m[0] + y * m[1] + z * m[2] + half * Math.abs(dot(u, m)) + half * Math.abs(dot(v, m));
  const back = Math.max(...e.corners.map((c) => (c[0] - o[0]) * n[0] + (c[1] - o[1]) * n[1] + (c[2] - o[2]) * n[2]));
  if (out <= 0 || back <= 0) return 0;
  const clear = Math.sqrt(x * x + y * y + z * z) - (half + e.reachM) * Math.SQRT2;
  const whole = Math.PI * luminanceOf(e.luminanceRgb);
  if (clear <= 0) return whole;
  const cosines = Math.min(1, out / clear) * Math.min(1, back / clear);
  return Math.min(whole, ((whole / Math.PI) * e.areaM2 * cosines) / (clear * clear));
}

const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

const point = new Float64Array(3);
const open = new Float64Array(SAMPLES);

function addEmitter(state: SolverState, node: TileNode, e: Emitter, rgb: Float32Array): void {
  const face = state.scene.faces[node.ref.face]!;
  const { cellM, s0M, t0M } = node.ref;
  const stride = Math.max(2, Math.min(8, Math.round(LATTICE_M / cellM)));
  const last = TILE_SAMPLES - 1;
  const placeAt = (i: number, j: number): void => {
    for (let k = 0; k < 3; k++) {
      const onFace = face.origin[k]! + (s0M + (i - 0.5) * cellM) * face.u[k]! + (t0M + (j - 0.5) * cellM) * face.v[k]!;
      point[k] = onFace + STAND_OFF_M * face.normal[k]!;
    }
  };
  const side = Math.ceil(last / stride) + 1;
  const far = farFrom(e, face, node);
  const leaves = state.context.leavesOn;
  for (let b = 0; b < side; b++) {
    for (let a = 0; a < side; a++) {
      placeAt(Math.min(last, a * stride), Math.min(last, b * stride));
      const lx = emitterLx(e, state.caster, point, face.normal, RAYS, 3, leaves);
      const F = far ? 1 / Math.PI : polygonFactor(e.corners, e.normal, point, face.normal);
      open[b * side + a] = F > 1e-9 ? lx / (Math.PI * F) : 0;
    }
  }
  for (let j = 0; j <= last; j++) {
    const b = Math.min(side - 2, (j / stride) | 0);
    const fb = (j - b * stride) / (Math.min(last, (b + 1) * stride) - b * stride);
    for (let i = 0; i <= last; i++) {
      const a = Math.min(side - 2, (i / stride) | 0);
      const fa = (i - a * stride) / (Math.min(last, (a + 1) * stride) - a * stride);
      const low = open[b * side + a]! * (1 - fa) + open[b * side + a + 1]! * fa;
      const high = open[(b + 1) * side + a]! * (1 - fa) + open[(b + 1) * side + a + 1]! * fa;
      let lx = low * (1 - fb) + high * fb;
      if (lx === 0) continue;
      if (!far) {
        placeAt(i, j);
        lx *= Math.PI * polygonFactor(e.corners, e.normal, point, face.normal);
      }
      const o = (j * TILE_SAMPLES + i) * 3;
      for (let c = 0; c < 3; c++) rgb[o + c]! += lx * e.luminanceRgb[c]!;
    }
  }
}

function farFrom(
  e: Emitter,
  face: { origin: readonly number[]; u: readonly number[]; v: readonly number[] },
  node: TileNode,
): boolean {
  const half = (node.ref.cellM * TILE_SAMPLES) / 2;
  const d = [0, 1, 2].map(
    (k) => face.origin[k]! + (node.ref.s0M + half) * face.u[k]! + (node.ref.t0M + half) * face.v[k]! - e.centre[k]!,
  );
  return Math.hypot(...d) - half * Math.SQRT2 > FAR * e.reachM;
}

const sums = new WeakMap<readonly Emitter[], Map<string, Float32Array>>();

/** Direct light of some emitters on the patches, kept: many tiles see the same ones. */
function onPatches(state: SolverState, near: readonly Emitter[]): Float32Array {
  const { emitters } = state.bounce;
  const which = near.map((e) => emitters.indexOf(e));
  const { leaves } = state.conditions;
  const kept = sums.get(emitters) ?? new Map<string, Float32Array>();
  sums.set(emitters, kept);
  const key = `${leaves} ${which.join()}`;
  let found = kept.get(key);
  if (!found) {
    if (kept.size >= MOST_SUMS) kept.clear();
    found = state.bounce.emitterDirectRgb(which, leaves);
    kept.set(key, found);
  }
  return found;
}

const MOST_SUMS = 48;
const read = new Float32Array(SAMPLES * 3);

/** Takes off what the patches already say of these emitters. */
function takeFromPatches(state: SolverState, reading: PatchReading, near: readonly Emitter[], rgb: Float32Array): void {
  const direct = onPatches(state, near);
  read.fill(0);
  writeIndirect(reading, direct, read, 0, state.mixer);
  const { i0, i1, j0, j1 } = reading.samples;
  for (let j = 0; j < TILE_SAMPLES; j++) {
    for (let i = 0; i < TILE_SAMPLES; i++) {
      const o = (j * TILE_SAMPLES + i) * 3;
      const inside = i >= i0 && i <= i1 && j >= j0 && j <= j1;
      for (let c = 0; c < 3; c++) rgb[o + c] = inside ? rgb[o + c]! - read[o + c]! : 0;
    }
  }
}
