import type { Surroundings } from '../../exposure/index.ts';
import type { Conditions, Rgb } from '../types.ts';
import type { Emitter } from './emitters.ts';

/**
 * What the bounces ask of a ray caster: the nearest opaque surface and the leaves on the way. Directions are unit vectors.
 */
export interface BounceCaster {
  /**
   * Nearest triangle along a ray, or `undefined` when the ray escapes. `face` −1: a strand or hidden shell;
   * (s, t) is the place on that face. `fromFront`: the ray meets the side that the face's normal points to.
   */
  nearest(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, maxM: number, out: BounceHit): boolean;
  /** True when something opaque lies between 0 and maxM. */
  blocked(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, maxM: number): boolean;
  /** Mean transmittance of the leaves between 0 and maxM, leaves on: exp(−G·Ω·LAD·path), 0…1. */
  leafTransmittance(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, maxM: number): number;
  /** How far along a unit direction the leaves have an optical depth; maxM where they never have. */
  leafReach(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, maxM: number, depth: number): number;
}

/** Filled in by `BounceCaster.nearest`, reused between calls. */
export interface BounceHit {
  distanceM: number;
  face: number;
  s: number;
  t: number;
  fromFront: boolean;
}

/** One patch: a rectangle of a face's grid, clipped to the face; or a cell of leaves. */
export interface Patch {
  /** −1 for a cell of leaves. */
  face: number;
  /** A cell of leaves: its `areaM2` is two-sided leaf area × Ω, its light the mean over both sides of its leaves. */
  leaves: boolean;
  /** Grid rectangle on the face; the patch is that part of it which lies on the face and is not covered. */
  s0M: number;
  t0M: number;
  s1M: number;
  t1M: number;
  areaM2: number;
  /** Area-mean diffuse reflectance of the materials on it. */
  reflectanceRgb: Rgb;
}

/**
 * Weighted patches round a place: at most four. The arrays are reused by the next call: copy what you keep.
 * `count` 0: the face has no patch.
 */
export interface PatchWeights {
  count: number;
  patch: Int32Array;
  weight: Float32Array;
}

/** Indirect light of hour and windows on every patch, RGB lux (3 numbers a patch), bounces included. */
export interface AmbientLight {
  /** Sky and moon, with all their bounces. */
  skyRgb: Float32Array;
  /** Lit panes and luminous panels, with all their bounces. */
  panesRgb: Float32Array;
}

export interface BounceProgress {
  done: number;
  of: number;
}

/** Where the light of one patch vector went, lumens (luminance-weighted). */
export interface BounceBalance {
  emittedLm: number;
  /** Absorbed by sampled surfaces. */
  absorbedLm: number;
  /** Left through openings and the sky. */
  escapedLm: number;
  /** Taken by leaves on the way, and by strands and hidden backs. */
  takenLm: number;
  /** Still on its way when the iteration stopped. */
  leftLm: number;
}

export interface BounceOptions {
  /** Patch size near buildings, metres (0.3). */
  patchM?: number;
  /** Finer patches along edges where another surface rises (true). */
  graded?: boolean;
  /** Patch size far from them (2). */
  farPatchM?: number;
  /** Most patches; sizes grow until they fit (7500). */
  mostPatches?: number;
  /** Stop when this share of the energy is left (0.0004; the accuracy bar is 0.001). */
  energyLeft?: number;
}

/**
 * Light that has met a surface, sky and lit windows, on coarse patches. Built once per massing.
 * All light is linear RGB lux; `patchDirectLx` is the illuminance that one unit of a white source brings to each patch.
 */
export interface BounceModel {
  readonly patches: readonly Patch[];
  /** Lit panes and luminous panels. */
  readonly emitters: readonly Emitter[];
  /** Direct light of some of them on the patches alone, RGB lux, 3 numbers a patch. */
  emitterDirectRgb(which: readonly number[], leaves: Conditions['leaves']): Float32Array;
  /** Rays each patch has shot so far; 0 before the first build. */
  readonly raysPerPatch: number;

  /**
   * Shoots rays until each patch has `rays` of them (256), yielding between patches, then rebuilds the transfer.
   * Calling it again with more rays refines. What was built before stays in use until the end.
   */
  build(rays?: number): Generator<BounceProgress, void, void>;
  buildAll(rays?: number): void;

  /** Index of the patch at a place of a face, −1 when there is none. */
  patchAt(face: number, s: number, t: number): number;
  /** Patch that a ray has met, −1 where it met none: also where the two sides of a thin sheet lie in one plane. */
  patchMet(hit: BounceHit): number;
  /**
   * Cell of leaves that a ray meets within `reachM`, where it loses the share u (0…1) of all it loses; −1 for none.
   * `T`: mean transmittance over the reach.
   */
  leavesMet(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, reachM: number, T: number, u: number): number;
  /**
   * Points spread evenly over one patch, 3 numbers each in world axes, 5 mm off the face: the mean of direct light at
   * these is the patch's `patchDirectLx`; among the leaves of a cell of leaves, where it is a quarter of the light normal to the ray.
   */
  pointsOf(patch: number): Float32Array;
  /** Patches and weights round a place, bilinear on valid patches of the same face only. */
  interpolate(face: number, s: number, t: number): PatchWeights;

  /**
   * Indirect illuminance of a unit white source, RGB lux a patch (3 numbers each), without its direct light. Linear.
   * `energyLeft`: share of the direct light that may stay unsent.
   */
  bounced(patchDirectLx: ArrayLike<number>, leaves?: Conditions['leaves'], energyLeft?: number): Float32Array;
  /** The same with coloured direct light, 3 numbers a patch. */
  bouncedRgb(patchDirectRgb: ArrayLike<number>, leaves?: Conditions['leaves'], energyLeft?: number): Float32Array;
  /**
   * Works out without dice where the light of those patches goes that are bright in this light (RGB lux, 3 numbers a
   * patch). Kept: only what is newly bright costs something. Yields between patches.
   */
  sharpen(directRgb: ArrayLike<number>): Generator<void, void, void>;
  /** Radiosity (lm/m²) a patch: reflectance × (direct + indirect). `directRgb` has 3 numbers a patch. */
  radiosity(directRgb: ArrayLike<number>, indirectRgb: ArrayLike<number>): Float32Array;
  /** Flux balance of one patch vector and its bounces. */
  balance(patchDirectLx: ArrayLike<number>, leaves?: Conditions['leaves']): BounceBalance;

  /**
   * Works out the responses to sky and panes bit by bit (about 10 ms each), so that the first `ambient` is cheap too.
   * Optional: `ambient` makes what is missing at once.
   */
  prepareAmbient(leaves?: Conditions['leaves']): Generator<void, void, void>;
  /** Sky, moon and lit windows on every patch. Re-weights kept responses: cheap after the first call. */
  ambient(conditions: Conditions, surroundings: Surroundings): AmbientLight;
  /** Radiosity of the patches under ambient light alone, for `gatherAt`. */
  ambientRadiosity(conditions: Conditions, surroundings: Surroundings): { skyRgb: Float32Array; panesRgb: Float32Array };

  /** Bounced light at an exact point: RGB lux from patches of the given radiosity, rays of its own (512). */
  gatherAt(
    point: readonly number[],
    normal: readonly number[],
    patchRadiosityRgb: ArrayLike<number>,
    options?: { rays?: number; leaves?: Conditions['leaves'] },
  ): Rgb;
  /** The same for many radiosity vectors at the cost of one set of rays. */
  gatherManyAt(
    point: readonly number[],
    normal: readonly number[],
    patchRadiosityRgb: readonly ArrayLike<number>[],
    options?: { rays?: number; leaves?: Conditions['leaves'] },
  ): Rgb[];
  /** Direct sky and moon at an exact point, RGB lux, occluded by rays of its own. */
  skyAt(
    point: readonly number[],
    normal: readonly number[],
    conditions: Conditions,
    surroundings: Surroundings,
    rays?: number,
  ): Rgb;
  /** Direct light of lit panes and luminous panels at an exact point, RGB lux. */
  panesAt(point: readonly number[], normal: readonly number[], leaves?: Conditions['leaves']): Rgb;
}
