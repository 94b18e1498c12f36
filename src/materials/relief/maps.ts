import type { ReliefLaying, ReliefRecipe } from './recipe.ts';

/** Texels a side of normals and horizon; the response is kept at half of that. */
export const RELIEF_TEXELS = 512;
export const RESPONSE_TEXELS = RELIEF_TEXELS / 2;
/** Azimuths toward the light, counter-clockwise from +s, 45° apart. */
export const RELIEF_AZIMUTHS = 8;
/** Sines of elevation above the face at which the response is kept, 0.045 to 0.5 in even steps of their logarithm. */
export const RESPONSE_SINES: readonly number[] = [0, 1, 2, 3].map((k) => 0.045 * (0.5 / 0.045) ** (k / 3));
/** Cotangents of those elevations: what a plain slope answers is linear in them, so they are interpolated. */
export const RESPONSE_COTANGENTS: readonly number[] = RESPONSE_SINES.map((s) => Math.sqrt(1 - s * s) / s);
/** Response stored as byte × this / 255. */
export const RESPONSE_RANGE = 6;

/** What the shader needs of one relief; all arrays row by row from t = 0. */
export interface ReliefMaps {
  laying: ReliefLaying;
  /** RGBA: normal along s, along t, sky share left in the relief (1 = open), share of the unit's colour. */
  shape: Float32Array;
  /** Sine of the horizon's elevation, byte; two layers of RGBA, azimuths 0…3 and 4…7. */
  horizon: Uint8Array;
  /** Response by 4 elevations × 2 halves of azimuths, 8 layers of RGBA at half the texels. */
  response: Uint8Array;
  meanUnitShare: number;
  /**
   * What brings the mean response back to 1, by kept elevation, and the mean of the open share. Loose surfaces only (1
   * elsewhere): the reflectance of grass or gravel is measured over its whole rough face, own shadows included.
   */
  gain: [number, number, number, number];
  openGain: number;
}

/**
 * Everything the picture reads of one relief, worked out from its heights.
 *
 * Response R(azimuth, elevation) = visible · max(0, n′·l) / (n·l), with n′ the relief's normal, n the face's: a linear
 * quantity, so its mips are its true means.
 */
export function createReliefMaps(recipe: ReliefRecipe, texels = RELIEF_TEXELS): ReliefMaps {
  const { heightM, unitShare } = recipe.shape(texels);
  const slopes = slopesOf(heightM, texels, recipe.widthM / texels, recipe.heightM / texels);
  const horizonSine = horizonsOf(heightM, texels, recipe.widthM / texels, recipe.heightM / texels);
  const count = texels * texels;
  const shape = new Float32Array(count * 4);
  const horizon = new Uint8Array(count * 8);
  let unitSum = 0;
  let openSum = 0;
  for (let i = 0; i < count; i++) {
    const inverse = 1 / Math.hypot(slopes[2 * i]!, slopes[2 * i + 1]!, 1);
    let covered = 0;
    for (let a = 0; a < RELIEF_AZIMUTHS; a++) {
      const sine = horizonSine[a * count + i]!;
      covered += sine * sine;
      horizon[(a >> 2) * count * 4 + i * 4 + (a & 3)] = Math.round(sine * 255);
    }
    shape[4 * i] = -slopes[2 * i]! * inverse;
    shape[4 * i + 1] = -slopes[2 * i + 1]! * inverse;
    shape[4 * i + 2] = 1 - covered / RELIEF_AZIMUTHS;
    shape[4 * i + 3] = unitShare[i]!;
    unitSum += unitShare[i]!;
    openSum += shape[4 * i + 2]!;
  }
  const { response, gain } = responseOf(shape, horizonSine, texels, recipe);
  const openGain = recipe.loose ? count / openSum : 1;
  return { laying: layingOf(recipe), shape, horizon, response, meanUnitShare: unitSum / count, gain, openGain };
}

function layingOf(recipe: ReliefRecipe): ReliefLaying {
  const { name, widthM, heightM, bond, pitchSM, pitchTM, ratioLimit, unitSpread } = recipe;
  return { name, widthM, heightM, bond, pitchSM, pitchTM, ratioLimit, unitSpread };
}

/** Central differences, repeating: dh/ds, dh/dt per texel. */
function slopesOf(h: Float32Array, n: number, ds: number, dt: number): Float32Array {
  const out = new Float32Array(n * n * 2);
  for (let y = 0; y < n; y++) {
    const up = ((y + 1) & (n - 1)) * n;
    const down = ((y - 1) & (n - 1)) * n;
    for (let x = 0; x < n; x++) {
      const o = y * n + x;
      out[2 * o] = (h[y * n + ((x + 1) & (n - 1))]! - h[y * n + ((x - 1) & (n - 1))]!) / (2 * ds);
      out[2 * o + 1] = (h[up + x]! - h[down + x]!) / (2 * dt);
    }
  }
  return out;
}

const MARCH = [1, 2, 3, 4, 5, 6, 8, 10, 12, 14, 17, 20, 24, 28, 33, 38, 44, 51, 59, 68];

/** Sine of the highest thing in the way, per azimuth and texel, by marching over the repeating heights. */
function horizonsOf(h: Float32Array, n: number, ds: number, dt: number): Float32Array {
  const count = n * n;
  const out = new Float32Array(count * RELIEF_AZIMUTHS);
  const step = Math.max(ds, dt);
  for (let a = 0; a < RELIEF_AZIMUTHS; a++) {
    const angle = (a / RELIEF_AZIMUTHS) * 2 * Math.PI;
    const offsets = MARCH.map((k) => {
      const dx = Math.round((Math.cos(angle) * k * step) / ds);
      const dy = Math.round((Math.sin(angle) * k * step) / dt);
      return { dx, dy, perM: 1 / Math.hypot(dx * ds, dy * dt) };
    });
    for (const { dx, dy, perM } of offsets) {
      for (let y = 0; y < n; y++) {
        const row = ((y + dy) & (n - 1)) * n;
        for (let x = 0; x < n; x++) {
          const o = y * n + x;
          const slope = (h[row + ((x + dx) & (n - 1))]! - h[o]!) * perM;
          if (slope > out[a * count + o]!) out[a * count + o] = slope;
        }
      }
    }
    for (let i = a * count; i < (a + 1) * count; i++) out[i] = out[i]! / Math.sqrt(1 + out[i]! * out[i]!);
  }
  return out;
}

/** Half the width of a shadow's soft edge, in sine of elevation: small openings a metre or two away. */
export const SHADOW_SOFTNESS = 0.012;

/** Share of a small opening left visible above a horizon, both as sines. */
export function visibleAbove(horizonSine: number, elevationSine: number): number {
  const t = Math.min(1, Math.max(0, (elevationSine - horizonSine + SHADOW_SOFTNESS) / (2 * SHADOW_SOFTNESS)));
  return t * t * (3 - 2 * t);
}

interface Response {
  response: Uint8Array;
  gain: [number, number, number, number];
}

function responseOf(shape: Float32Array, horizonSine: Float32Array, n: number, recipe: ReliefRecipe): Response {
  const half = n / 2;
  const layer = half * half * 4;
  const response = new Uint8Array(layer * RESPONSE_SINES.length * 2);
  const gain: Response['gain'] = [1, 1, 1, 1];
  const planes = Array.from({ length: RELIEF_AZIMUTHS }, () => new Float32Array(half * half));
  RESPONSE_SINES.forEach((sine, e) => {
    let sum = 0;
    planes.forEach((plane, a) => {
      sum += respond(plane, shape, horizonSine.subarray(a * n * n, (a + 1) * n * n), n, a, sine, recipe.ratioLimit);
    });
    if (recipe.loose) gain[e] = gainToOne(planes, sum / (planes.length * half * half));
    planes.forEach((plane, a) => {
      quantise(plane, half, response, (e * 2 + (a >> 2)) * layer + (a & 3), gain[e]!);
    });
  });
  return { response, gain };
}

/** Fills one plane with the response at one direction, four texels averaged into one; returns its sum. */
function respond(
  plane: Float32Array,
  shape: Float32Array,
  horizonSine: Float32Array,
  n: number,
  azimuth: number,
  sine: number,
  limit: number,
): number {
  const cosine = Math.sqrt(1 - sine * sine);
  const lx = cosine * Math.cos((azimuth / RELIEF_AZIMUTHS) * 2 * Math.PI);
  const ly = cosine * Math.sin((azimuth / RELIEF_AZIMUTHS) * 2 * Math.PI);
  const at = (i: number): number => {
    const nx = shape[4 * i]!;
    const ny = shape[4 * i + 1]!;
    const dot = nx * lx + ny * ly + Math.sqrt(Math.max(0, 1 - nx * nx - ny * ny)) * sine;
    return dot <= 0 ? 0 : Math.min(limit, dot / sine) * visibleAbove(horizonSine[i]!, sine);
  };
  const half = n / 2;
  let sum = 0;
  for (let y = 0; y < half; y++) {
    for (let x = 0; x < half; x++) {
      const o = 2 * y * n + 2 * x;
      const mean = (at(o) + at(o + 1) + at(o + n) + at(o + n + 1)) / 4;
      plane[y * half + x] = mean;
      sum += mean;
    }
  }
  return sum;
}

/** Factor that brings the mean of the planes to 1 although the largest values are cut at what a byte can hold. */
function gainToOne(planes: readonly Float32Array[], mean: number): number {
  let gain = 1 / mean;
  for (let round = 0; round < 10; round++) {
    let sum = 0;
    let count = 0;
    for (const plane of planes) {
      for (let i = 0; i < plane.length; i++) {
        sum += Math.min(RESPONSE_RANGE, plane[i]! * gain);
        count++;
      }
    }
    gain *= count / sum;
  }
  return gain;
}

/** Stores a plane as bytes; the rounding error is carried along each row, so that means survive eight bits. */
function quantise(plane: Float32Array, half: number, out: Uint8Array, base: number, gain: number): void {
  const scale = (gain * 255) / RESPONSE_RANGE;
  for (let y = 0; y < half; y++) {
    let carried = 0;
    for (let x = 0; x < half; x++) {
      const wanted = plane[y * half + x]! * scale + carried;
      const stored = Math.min(255, Math.max(0, Math.round(wanted)));
      carried = Math.max(-1, Math.min(1, wanted - stored));
      out[base + (y * half + x) * 4] = stored;
    }
  }
}

/** Mean of the stored response over the whole relief, at one kept elevation and azimuth. */
export function meanResponse(maps: ReliefMaps, elevation: number, azimuth: number): number {
  const layer = maps.response.length / (RESPONSE_SINES.length * 2);
  const base = (elevation * 2 + (azimuth >> 2)) * layer + (azimuth & 3);
  let sum = 0;
  for (let i = 0; i < layer; i += 4) sum += maps.response[base + i]!;
  return ((sum / (layer / 4)) * RESPONSE_RANGE) / 255;
}
