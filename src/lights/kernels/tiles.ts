import type { Beam } from '../beam.ts';
import type { ConvexBlock } from '../../scene/index.ts';
import type { TileNode } from '../tiles/node.ts';
import {
  DEPTH,
  EDGE_ROWS,
  LUX,
  MOST,
  OPEN_LUX,
  PARAM_BEAM,
  PARAM_EDGE_FROM,
  PARAM_FIXTURE,
  PARAM_FRAME,
  PARAM_GRID,
  PARAM_LAMP,
  PARAM_LENS,
  PARAM_RECT,
  PARAMS,
  ROWS,
  SHADOW,
} from './layout.ts';
import type { SceneKernels } from './scene.ts';

const SAMPLES = 1024;

/** What `seeTile` found for one tile and lamp. */
export interface TileSight {
  open: boolean;
  /** Bit i of row j set: hard shadow; absent when none is. */
  shadow: Uint32Array | undefined;
  /** Optical depth per sample; absent where no leaf lies on the way. */
  depth: Float32Array | undefined;
}

/** A lamp as the kernels read it. */
export interface KernelLamp {
  at: Float64Array;
  frame: Float64Array;
  beam: Beam;
  lensRadiusM: number;
}

/** Hard shadows and leaves between a lamp and the samples of a tile; the lamp must lie above the face. */
export function seeTile(kernels: SceneKernels, big: readonly ConvexBlock[], node: TileNode, lamp: ArrayLike<number>): TileSight {
  bringSolids(kernels, big);
  writeTile(kernels, node, lamp);
  const found = kernels.calls.seeTile();
  const { u32, f32 } = kernels;
  return {
    open: (found & 1) !== 0,
    shadow: (found & 2) !== 0 ? u32.slice(SHADOW / 4, SHADOW / 4 + 32) : undefined,
    depth: (found & 4) !== 0 ? f32.slice(DEPTH / 4, DEPTH / 4 + SAMPLES) : undefined,
  };
}

/** Lux of a tile just worked out; views into the kernels' memory, good until the next call. */
export interface TileLux {
  lux: Float32Array;
  /** Before shadow and leaves; written at open samples and at shadow edges only. */
  open: Float32Array;
  /** Highest lux in each quarter, then highest unshadowed lux at shadow edges. */
  most: Float32Array;
  /** Samples at shadow edges whose unshadowed lux is at least `edgeFromLx`. */
  edgeRows: Uint32Array;
}

/** Lux of one lamp on a tile from what its place sees. */
export function lightTile(
  kernels: SceneKernels,
  node: TileNode,
  lamp: KernelLamp,
  shadow: Uint32Array | undefined,
  depth: Float32Array | undefined,
  edgeFromLx: number,
): TileLux {
  writeTile(kernels, node, lamp.at);
  writeBeam(kernels, lamp);
  const { u32, f32, f64, calls } = kernels;
  f64[PARAMS / 8 + PARAM_EDGE_FROM] = edgeFromLx;
  if (shadow) u32.set(shadow, SHADOW / 4);
  if (depth) f32.set(depth, DEPTH / 4);
  calls.lightUp(shadow ? 1 : 0, depth ? 1 : 0);
  return {
    lux: f32.subarray(LUX / 4, LUX / 4 + SAMPLES),
    open: f32.subarray(OPEN_LUX / 4, OPEN_LUX / 4 + SAMPLES),
    most: f32.subarray(MOST / 4, MOST / 4 + 8),
    edgeRows: u32.subarray(EDGE_ROWS / 4, EDGE_ROWS / 4 + 32),
  };
}

function writeTile(kernels: SceneKernels, node: TileNode, lamp: ArrayLike<number>): void {
  const { f64, u32 } = kernels;
  const p = PARAMS / 8;
  f64.set(node.frame, p + PARAM_FRAME);
  f64[p + PARAM_LAMP] = lamp[0]!;
  f64[p + PARAM_LAMP + 1] = lamp[1]!;
  f64[p + PARAM_LAMP + 2] = lamp[2]!;
  f64[p + PARAM_RECT] = node.sMin;
  f64[p + PARAM_RECT + 1] = node.sMax;
  f64[p + PARAM_RECT + 2] = node.tMin;
  f64[p + PARAM_RECT + 3] = node.tMax;
  f64[p + PARAM_GRID] = node.ref.s0M;
  f64[p + PARAM_GRID + 1] = node.ref.t0M;
  f64[p + PARAM_GRID + 2] = node.ref.cellM;
  u32.set(node.rows, ROWS / 4);
}

/** Fixture frame, lens and beam for the next call. */
export function writeBeam(kernels: SceneKernels, lamp: KernelLamp): void {
  const p = PARAMS / 8;
  const table = kernels.beams.addressOf(lamp.beam);
  const { f64 } = kernels;
  f64.set(lamp.frame, p + PARAM_FIXTURE);
  f64[p + PARAM_LENS] = lamp.lensRadiusM;
  f64[p + PARAM_BEAM] = lamp.beam.planes;
  f64[p + PARAM_BEAM + 1] = lamp.beam.steps;
  f64[p + PARAM_BEAM + 2] = table;
}

/** Puts the bodies that hide whole tiles where the kernels find them, when they are others than last time. */
function bringSolids(kernels: SceneKernels, big: readonly ConvexBlock[]): void {
  if (kernels.solidsOf === big) return;
  kernels.solidsOf = big;
  const data: number[] = [];
  for (const { planes } of big) data.push(planes.length / 4, ...planes);
  const at = kernels.take(Math.max(4, data.length * 4));
  kernels.f32.set(data, at / 4);
  kernels.calls.setSolids(at, big.length);
}
