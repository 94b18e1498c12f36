import { skyCoefficients } from '../../exposure/index.ts';
import type { SceneModel } from '../../scene/index.ts';
import type { Conditions, Rgb } from '../types.ts';
import { createAmbient } from './ambient.ts';
import { createBright } from './bright.ts';
import { emitterLx, emittersOf } from './emitters.ts';
import { gatherMoon, gatherPatches, gatherSky } from './gather.ts';
import { interpolate, linkCells, patchAt } from './grid.ts';
import { patchSteps, pointsOf } from './patches.ts';
import { frameOf } from './sequence.ts';
import type { Smoother } from './smooth.ts';
import { createSheets } from './sheets.ts';
import { createSmoother } from './smooth.ts';
import { balanceOf, solveBounces } from './solve.ts';
import type { RayTally, Transfer } from './transfer.ts';
import { balancedTransfer, emptyTally, hasLeaves, noTransfer, shootRays } from './transfer.ts';
import type { BounceCaster, BounceModel, BounceOptions, PatchWeights } from './types.ts';

const DEFAULTS = {
  patchM: 0.3,
  farPatchM: 2,
  graded: true,
  energyLeft: 0.0004,
  mostPatches: 6500,
  rays: 256,
  exactRays: 512,
  paneRays: 32,
};

/**
 * Light that has met a surface, the sky and lit windows, on coarse patches of every face of a scene.
 * Nothing is traced before `build`; until then there is no bounced light and no sky (all zero).
 * @see tests/lights/bounce.test.ts
 */
export function createBounceModel(scene: SceneModel, caster: BounceCaster, options: BounceOptions = {}): BounceModel {
  const steps = bounceModelSteps(scene, caster, options);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** `createBounceModel` bit by bit: yields while patches are cut and linked. */
export function* bounceModelSteps(
  scene: SceneModel,
  caster: BounceCaster,
  options: BounceOptions = {},
): Generator<void, BounceModel, void> {
  const { patchM, farPatchM, graded, energyLeft, mostPatches } = { ...DEFAULTS, ...options };
  const set = yield* patchSteps(scene, caster, { patchM, farPatchM, graded }, mostPatches);
  yield* linkCells(scene, caster, set.grids);
  const n = set.patches.length;
  const leafy = hasLeaves(scene);
  const turnOver = createSheets(scene);
  const emitters = emittersOf(scene);
  let tally: RayTally = emptyTally(n);
  let transfer: Transfer = noTransfer(n);
  let smoother: Smoother = createSmoother(scene, set, tally);
  const found: PatchWeights = { count: 0, patch: new Int32Array(4), weight: new Float32Array(4) };

  const bright = createBright(scene, caster, set, leafy);
  const bounce = (directRgb: ArrayLike<number>, leaves: Conditions['leaves'], left = energyLeft): Float32Array => {
    requireLength(directRgb, n * 3, 'direct light, 3 numbers a patch');
    return smoother.smooth(solveBounces(set, transfer, directRgb, leaves, left, bright.rows));
  };
  const ambient = createAmbient({
    scene,
    caster,
    set,
    emitters,
    transfer: () => transfer,
    bounce,
    smooth: (rgb) => smoother.smooth(rgb),
  });

  function* build(rays: number = DEFAULTS.rays) {
    if (!(Number.isInteger(rays) && rays > 0)) throw new RangeError(`rays ${rays}: a whole number above 0 is accepted`);
    if (rays <= tally.rays) return;
    const next = yield* shootRays(scene, caster, set, tally, rays);
    const whole = { done: n, of: n };
    const balancing = balancedTransfer(set, next, leafy);
    for (;;) {
      const step = balancing.next();
      if (step.done) {
        const smooth = createSmoother(scene, set, next);
        [tally, transfer, smoother] = [next, step.value, smooth];
        bright.rescale(transfer);
        break;
      }
      yield whole;
    }
    ambient.forget();
  }

  const radiosity = (directRgb: ArrayLike<number>, indirectRgb: ArrayLike<number>): Float32Array => {
    requireLength(directRgb, n * 3, 'direct light, 3 numbers a patch');
    requireLength(indirectRgb, n * 3, 'indirect light, 3 numbers a patch');
    const out = new Float32Array(n * 3);
    for (let k = 0; k < out.length; k++) out[k] = set.reflectance[k]! * (directRgb[k]! + indirectRgb[k]!);
    return out;
  };

  const gatherManyAt: BounceModel['gatherManyAt'] = (point, normal, radiosities, how = {}) =>
    gatherPatches(
      set,
      caster,
      point,
      normal,
      radiosities,
      how.rays ?? DEFAULTS.exactRays,
      leafy && how.leaves !== 'bare',
      turnOver,
    );

  return {
    patches: set.patches,
    emitters,
    emitterDirectRgb: (which, leaves) => ambient.panesDirect(which, leaves),
    get raysPerPatch() {
      return tally.rays;
    },
    build,
    buildAll(rays) {
      for (const _ of build(rays)) void _;
    },
    patchAt: (face, s, t) => patchAt(set.grids[face], s, t, false),
    patchMet(hit) {
      turnOver(hit);
      return hit.face >= 0 && hit.fromFront ? patchAt(set.grids[hit.face], hit.s, hit.t, false) : -1;
    },
    leavesMet(ox, oy, oz, dx, dy, dz, reachM, T, u) {
      const cell = set.leaves.met(ox, oy, oz, dx, dy, dz, reachM, T, u);
      return cell < 0 ? -1 : set.flat + cell;
    },
    pointsOf: (patch) => Float32Array.from(pointsOf(set, scene, patch)),
    interpolate: (face, s, t) => interpolate(set.grids[face], s, t, found),
    bounced: (patchDirectLx, leaves = 'on', left = energyLeft) => bounce(whiteRgb(patchDirectLx, n), leaves, left),
    bouncedRgb: (directRgb, leaves = 'on', left = energyLeft) => bounce(directRgb, leaves, left),
    *sharpen(directRgb) {
      if (tally.rays > 0) yield* bright.sharpen(directRgb, transfer);
    },
    radiosity,
    balance: (patchDirectLx, leaves = 'on') =>
      balanceOf(set, transfer, whiteRgb(patchDirectLx, n), leaves, energyLeft, bright.rows),
    prepareAmbient: (leaves = 'on') => ambient.prepare(leaves),
    ambient(conditions, surroundings) {
      const sky = ambient.sky(conditions, surroundings);
      const panes = ambient.panes(conditions.leaves);
      return { skyRgb: summed(sky.direct, sky.bounced), panesRgb: summed(panes.direct, panes.bounced) };
    },
    ambientRadiosity(conditions, surroundings) {
      const sky = ambient.sky(conditions, surroundings);
      const panes = ambient.panes(conditions.leaves);
      return { skyRgb: radiosity(sky.direct, sky.bounced), panesRgb: radiosity(panes.direct, panes.bounced) };
    },
    gatherAt: (point, normal, patchRadiosityRgb, how) => gatherManyAt(point, normal, [patchRadiosityRgb], how)[0]!,
    gatherManyAt,
    skyAt(point, normal, conditions, surroundings, rays = DEFAULTS.exactRays) {
      const leaves = leafy && conditions.leaves === 'on';
      const sky = gatherSky(caster, point, normal, skyCoefficients(conditions, surroundings), rays, leaves);
      const moon = gatherMoon(caster, point, normal, conditions, leaves);
      return [sky[0] + moon[0], sky[1] + moon[1], sky[2] + moon[2]];
    },
    panesAt(point, normal, leaves = 'on') {
      const unit = frameOf(normal).subarray(6, 9);
      const sum: [number, number, number] = [0, 0, 0];
      emitters.forEach((e, index) => {
        const lx = emitterLx(e, caster, point, unit, DEFAULTS.paneRays, index, leafy && leaves === 'on');
        for (let c = 0; c < 3; c++) sum[c]! += lx * e.luminanceRgb[c]!;
      });
      return sum satisfies Rgb;
    },
  };
}

function requireLength(list: ArrayLike<number>, length: number, what: string): void {
  if (list.length !== length) throw new RangeError(`${what}: length ${list.length}, ${length} is accepted`);
}

function whiteRgb(lx: ArrayLike<number>, n: number): Float32Array {
  requireLength(lx, n, 'direct light, 1 number a patch');
  const out = new Float32Array(n * 3);
  for (let i = 0; i < n; i++) out.fill(lx[i]!, i * 3, i * 3 + 3);
  return out;
}

function summed(a: Float32Array, b: Float32Array): Float32Array {
  return a.map((v, k) => v + b[k]!);
}
