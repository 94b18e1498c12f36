import type { SceneModel } from '../../scene/index.ts';
import type { BounceCaster, BounceHit } from '../bounce/types.ts';
import { anyHitMany, createSceneKernels, RAY_NUMBERS, type SceneKernels } from '../kernels/index.ts';
import { gatherLeaves, type LeafBodies, opticalDepth, reachOfDepth } from './leaves.ts';
import {
  anyHit,
  buildTriangleTree,
  CONTACT_M,
  closestHit,
  distanceTo,
  type TriangleHit,
  type TriangleTree,
} from './triangles.ts';

/** Rays against one property: opaque triangles and leaves. Not re-entrant; one per thread. */
export interface Caster extends BounceCaster {
  readonly scene: SceneModel;
  readonly triangles: TriangleTree;
  readonly leaves: LeafBodies;
  /** Compiled kernels with this scene in their memory; undefined: everything runs in the f64 reference code. */
  readonly kernels: SceneKernels | undefined;
  /** Rays traced so far, all kinds. */
  rays: number;
  /**
   * True when nothing opaque lies between a surface point and a target, by the contact rule: triangles wholly below
   * the receiver plane n·x = n·p, or within 0.1 mm of it, do not count, nor those whose plane the point is within 0.1 mm
   * of. The last 0.1 mm before the target does not count either.
   */
  sees(px: number, py: number, pz: number, nx: number, ny: number, nz: number, lx: number, ly: number, lz: number): boolean;
  /** Nearest triangle, with its index in the soup; −1 when the ray escapes. */
  nearestTriangle(
    ox: number,
    oy: number,
    oz: number,
    dx: number,
    dy: number,
    dz: number,
    maxM: number,
    out: TriangleHit,
  ): boolean;
  /**
   * `blocked` for many rays, seven numbers each (origin, direction, how far): 1 where something is in the way, else 0.
   * @throws {RangeError} `rays` holds no whole number of rays, or `out` has not one place for each.
   */
  blockedMany(rays: Float32Array, out: Uint8Array): void;
  /** Optical depth of the leaves between 0 and maxM along a unit direction. */
  leafDepth(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, maxM: number): number;
}

/** Can this caster's scene be handed to the kernels? */
export function hasKernels(caster: Caster): caster is Caster & { kernels: SceneKernels } {
  return caster.kernels !== undefined;
}

/** `auto`: SIMD kernels where the machine has them; `off`: the f64 reference code. */
export type KernelChoice = 'auto' | 'off';

/** Builds the trees of a scene; the caster reads the scene, it never changes it. */
export function createCaster(scene: SceneModel, choice: KernelChoice = 'auto'): Caster {
  const triangles = buildTriangleTree(scene.occluders);
  const leaves = gatherLeaves(scene);
  const kernels = choice === 'off' ? undefined : createSceneKernels(triangles, scene.occluders, leaves);
  const caster = referenceCaster(scene, triangles, leaves);
  return kernels ? Object.assign(caster, { kernels }, kernelRays(caster, kernels)) : caster;
}

/** The same rays through the kernels, f32; the distance of a nearest hit is worked out again in f64. */
function kernelRays(
  caster: Caster,
  kernels: SceneKernels,
): Pick<Caster, 'sees' | 'blocked' | 'blockedMany' | 'nearestTriangle' | 'leafTransmittance' | 'leafDepth' | 'leafReach'> {
  const { calls, trianglePlaces } = kernels;
  const { triangles } = caster;
  return {
    sees(px, py, pz, nx, ny, nz, lx, ly, lz) {
      caster.rays++;
      const dx = lx - px;
      const dy = ly - py;
      const dz = lz - pz;
      const end = 1 - 1e-4 / Math.sqrt(dx * dx + dy * dy + dz * dz);
      return calls.anyHit(px, py, pz, dx, dy, dz, 0, end, nx, ny, nz, 0, CONTACT_M * CONTACT_M) === 0;
    },
    blocked(ox, oy, oz, dx, dy, dz, maxM) {
      caster.rays++;
      return calls.anyHit(ox, oy, oz, dx, dy, dz, 0, maxM, 0, 0, 0, 0, 0) !== 0;
    },
    blockedMany(rays, out) {
      caster.rays += countRays(rays, out);
      anyHitMany(kernels, rays, out);
    },
    nearestTriangle(ox, oy, oz, dx, dy, dz, maxM, out) {
      caster.rays++;
      out.triangle = -1;
      const lane = calls.nearest(ox, oy, oz, dx, dy, dz, 0, maxM);
      if (lane < 0) return false;
      const place = trianglePlaces[lane]!;
      out.triangle = triangles.source[place]!;
      out.distanceM = distanceTo(triangles, place, ox, oy, oz, dx, dy, dz);
      return true;
    },
    leafTransmittance: (ox, oy, oz, dx, dy, dz, maxM) => Math.exp(-calls.leafDepth(ox, oy, oz, dx, dy, dz, maxM)),
    leafDepth: (ox, oy, oz, dx, dy, dz, maxM) => calls.leafDepth(ox, oy, oz, dx, dy, dz, maxM),
    leafReach: (ox, oy, oz, dx, dy, dz, maxM, depth) => calls.leafReach(ox, oy, oz, dx, dy, dz, maxM, depth),
  };
}

function countRays(rays: Float32Array, out: Uint8Array): number {
  const n = rays.length / RAY_NUMBERS;
  if (!Number.isInteger(n)) throw new RangeError(`rays: ${rays.length} numbers, not a multiple of ${RAY_NUMBERS}`);
  if (out.length !== n) throw new RangeError(`out: ${out.length} places for ${n} rays`);
  return n;
}

function referenceCaster(scene: SceneModel, triangles: TriangleTree, leaves: LeafBodies): Caster {
  const hit: TriangleHit = { distanceM: 0, triangle: -1 };
  const caster: Caster = {
    scene,
    triangles,
    leaves,
    kernels: undefined,
    rays: 0,
    sees(px, py, pz, nx, ny, nz, lx, ly, lz) {
      caster.rays++;
      const dx = lx - px;
      const dy = ly - py;
      const dz = lz - pz;
      const end = 1 - 1e-4 / Math.sqrt(dx * dx + dy * dy + dz * dz);
      return !anyHit(triangles, px, py, pz, dx, dy, dz, 0, end, nx, ny, nz, nx * px + ny * py + nz * pz);
    },
    nearestTriangle(ox, oy, oz, dx, dy, dz, maxM, out) {
      caster.rays++;
      return closestHit(triangles, ox, oy, oz, dx, dy, dz, 0, maxM, 0, 0, 0, -1, out);
    },
    nearest(ox, oy, oz, dx, dy, dz, maxM, out) {
      if (!caster.nearestTriangle(ox, oy, oz, dx, dy, dz, maxM, hit)) return false;
      placeHit(scene, hit, ox, oy, oz, dx, dy, dz, out);
      return true;
    },
    blocked(ox, oy, oz, dx, dy, dz, maxM) {
      caster.rays++;
      return anyHit(triangles, ox, oy, oz, dx, dy, dz, 0, maxM, 0, 0, 0, -1);
    },
    blockedMany(rays, out) {
      const n = countRays(rays, out);
      for (let k = 0; k < n; k++) {
        const [x, y, z, dx, dy, dz, maxM] = rays.subarray(k * RAY_NUMBERS, (k + 1) * RAY_NUMBERS);
        out[k] = caster.blocked(x!, y!, z!, dx!, dy!, dz!, maxM!) ? 1 : 0;
      }
    },
    leafTransmittance(ox, oy, oz, dx, dy, dz, maxM) {
      return Math.exp(-opticalDepth(leaves, ox, oy, oz, dx, dy, dz, maxM));
    },
    leafDepth(ox, oy, oz, dx, dy, dz, maxM) {
      return opticalDepth(leaves, ox, oy, oz, dx, dy, dz, maxM);
    },
    leafReach(ox, oy, oz, dx, dy, dz, maxM, depth) {
      return reachOfDepth(leaves, ox, oy, oz, dx, dy, dz, maxM, depth);
    },
  };
  return caster;
}

/** Turns a triangle hit into a place on its face. */
function placeHit(
  scene: SceneModel,
  hit: TriangleHit,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
  out: BounceHit,
): void {
  out.distanceM = hit.distanceM;
  out.face = scene.occluders.face[hit.triangle]!;
  const face = out.face >= 0 ? scene.faces[out.face] : undefined;
  if (!face) {
    out.face = -1;
    out.s = 0;
    out.t = 0;
    out.fromFront = true;
    return;
  }
  const x = ox + dx * hit.distanceM - face.origin[0];
  const y = oy + dy * hit.distanceM - face.origin[1];
  const z = oz + dz * hit.distanceM - face.origin[2];
  out.s = x * face.u[0] + y * face.u[1] + z * face.u[2];
  out.t = x * face.v[0] + y * face.v[1] + z * face.v[2];
  out.fromFront = dx * face.normal[0] + dy * face.normal[1] + dz * face.normal[2] < 0;
}
