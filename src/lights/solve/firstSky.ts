import { SKY_BASIS_COUNT, skyBasis } from '../../exposure/index.ts';
import { pointCovered, pointInFace, type SceneModel } from '../../scene/index.ts';
import { cosineDirection, frameOf, sobol } from '../bounce/sequence.ts';
import type { Caster } from '../rays/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { type Conditions, TILE_SAMPLES } from '../types.ts';

/** Places along a face at most this far apart, metres; rays each. */
const STEP_M = 2.4;
const MOST_STEPS = 20;
const RAYS = 32;
const STAND_OFF_M = 0.01;
const FAR_M = 1e4;

/** Illuminance of the sky functions at 1 cd/m² on a lattice of one face, direct and occluded. */
interface FaceSky {
  columns: number;
  rows: number;
  stepS: number;
  stepT: number;
  /** `SKY_BASIS_COUNT` numbers a place. */
  on: Float32Array;
  bare: Float32Array;
}

/** Coarse sky of every sampled face: stands in until patches are known. */
export type FirstSky = ReadonlyMap<number, FaceSky>;

/** Traces the coarse sky; yields after each row of places. Moon and windows wait for the patches. */
export function* traceFirstSky(scene: SceneModel, caster: Caster): Generator<void, FirstSky, void> {
  const out = new Map<number, FaceSky>();
  for (let index = 0; index < scene.faces.length; index++) {
    const face = scene.faces[index]!;
    if (!face.sampled) continue;
    const columns = Math.min(MOST_STEPS, Math.max(1, Math.ceil(face.widthM / STEP_M)));
    const rows = Math.min(MOST_STEPS, Math.max(1, Math.ceil(face.heightM / STEP_M)));
    const size = columns * rows * SKY_BASIS_COUNT;
    const sky: FaceSky = {
      columns,
      rows,
      stepS: face.widthM / columns,
      stepT: face.heightM / rows,
      on: new Float32Array(size),
      bare: new Float32Array(size),
    };
    const frame = frameOf(face.normal);
    const known = new Uint8Array(columns * rows);
    for (let b = 0; b < rows; b++) {
      for (let a = 0; a < columns; a++) {
        const [s, t] = [(a + 0.5) * sky.stepS, (b + 0.5) * sky.stepT];
        if (!pointInFace(face, s, t) || pointCovered(face, s, t)) continue;
        const p = [0, 1, 2].map((k) => face.origin[k]! + s * face.u[k]! + t * face.v[k]! + STAND_OFF_M * face.normal[k]!) as [
          number,
          number,
          number,
        ];
        tracePlace(caster, p, frame, sky, b * columns + a);
        known[b * columns + a] = 1;
      }
      yield;
    }
    fillUnknown(sky, known);
    out.set(index, sky);
  }
  return out;
}

const pair = new Float64Array(2);
const direction = new Float64Array(3);
const basis = new Float64Array(SKY_BASIS_COUNT);

function tracePlace(caster: Caster, p: readonly [number, number, number], frame: Float64Array, sky: FaceSky, place: number) {
  for (let k = 0; k < RAYS; k++) {
    sobol(k, place, pair);
    cosineDirection(pair[0]!, pair[1]!, frame, direction);
    const [x, y, z] = [direction[0]!, direction[1]!, direction[2]!];
    if (y <= 0 || caster.blocked(p[0], p[1], p[2], x, y, z, FAR_M)) continue;
    const T = caster.leafTransmittance(p[0], p[1], p[2], x, y, z, FAR_M);
    skyBasis(x, y, z, basis);
    for (let c = 0; c < SKY_BASIS_COUNT; c++) {
      const lux = (Math.PI / RAYS) * basis[c]!;
      sky.on[place * SKY_BASIS_COUNT + c]! += T * lux;
      sky.bare[place * SKY_BASIS_COUNT + c]! += lux;
    }
  }
}

/** Places off the face take the mean of their known neighbours, ring by ring. */
function fillUnknown(sky: FaceSky, known: Uint8Array): void {
  const { columns, rows } = sky;
  for (let round = 0; round < columns + rows && known.includes(1) && known.includes(0); round++) {
    const before = known.slice();
    for (let place = 0; place < known.length; place++) {
      if (before[place]) continue;
      const [i, j] = [place % columns, (place / columns) | 0];
      const near = [i > 0 ? place - 1 : -1, i < columns - 1 ? place + 1 : -1, place - columns, place + columns].filter(
        (q) => q >= 0 && q < before.length && before[q] && j >= 0,
      );
      if (near.length === 0) continue;
      known[place] = 1;
      for (const list of [sky.on, sky.bare]) {
        for (let c = 0; c < SKY_BASIS_COUNT; c++) {
          list[place * SKY_BASIS_COUNT + c] = near.reduce((sum, q) => sum + list[q * SKY_BASIS_COUNT + c]!, 0) / near.length;
        }
      }
    }
  }
}

/** Writes the coarse sky of the hour on one tile, RGB lux. */
export function applyFirstSky(
  first: FirstSky,
  node: TileNode,
  coefficients: ArrayLike<number>,
  leaves: Conditions['leaves'],
  out: Float32Array,
): void {
  const sky = first.get(node.ref.face);
  if (!sky) return;
  const { columns, rows, stepS, stepT } = sky;
  const rgb = placesRgb(leaves === 'on' ? sky.on : sky.bare, coefficients);
  const { s0M, t0M, cellM, slot } = node.ref;
  let o = slot * TILE_SAMPLES * TILE_SAMPLES * 3;
  for (let j = 0; j < TILE_SAMPLES; j++) {
    const y = Math.min(rows - 1, Math.max(0, (t0M + (j - 0.5) * cellM) / stepT - 0.5));
    const b = Math.max(0, Math.min(rows - 2, y | 0));
    const below = Math.min(rows - 1, b + 1);
    for (let i = 0; i < TILE_SAMPLES; i++, o += 3) {
      const x = Math.min(columns - 1, Math.max(0, (s0M + (i - 0.5) * cellM) / stepS - 0.5));
      const a = Math.max(0, Math.min(columns - 2, x | 0));
      const next = Math.min(columns - 1, a + 1);
      for (let c = 0; c < 3; c++) {
        const top = rgb[(b * columns + a) * 3 + c]! * (1 - x + a) + rgb[(b * columns + next) * 3 + c]! * (x - a);
        const low = rgb[(below * columns + a) * 3 + c]! * (1 - x + a) + rgb[(below * columns + next) * 3 + c]! * (x - a);
        out[o + c] = top * (1 - y + b) + low * (y - b);
      }
    }
  }
}

function placesRgb(response: Float32Array, coefficients: ArrayLike<number>): Float32Array {
  const rgb = new Float32Array((response.length / SKY_BASIS_COUNT) * 3);
  for (let p = 0; p * 3 < rgb.length; p++) {
    for (let k = 0; k < SKY_BASIS_COUNT; k++) {
      for (let c = 0; c < 3; c++) rgb[p * 3 + c]! += response[p * SKY_BASIS_COUNT + k]! * coefficients[k * 3 + c]!;
    }
  }
  return rgb;
}
