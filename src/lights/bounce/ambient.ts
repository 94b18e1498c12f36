import type { Surroundings } from '../../exposure/index.ts';
import { moonDirection, moonNormalRgb, SKY_BASIS_COUNT, skyCoefficients } from '../../exposure/index.ts';
import type { SceneModel } from '../../scene/index.ts';
import type { Conditions } from '../types.ts';
import type { Emitter } from './emitters.ts';
import { emitterLx, emitterOnLeavesLx } from './emitters.ts';
import { moonShare } from './gather.ts';
import type { PatchSet } from './patches.ts';
import { pointsOf } from './patches.ts';
import { FAR_M, type Transfer } from './transfer.ts';
import type { BounceCaster } from './types.ts';

type Leaves = Conditions['leaves'];

/** What the ambient part needs from the model; `bounce` solves RGB lux → indirect RGB lux. */
export interface AmbientSource {
  scene: SceneModel;
  caster: BounceCaster;
  set: PatchSet;
  emitters: readonly Emitter[];
  transfer(): Transfer;
  /** Evens out ray noise in place. */
  smooth(rgb: Float32Array): Float32Array;
  bounce(directRgb: ArrayLike<number>, leaves: Leaves): Float32Array;
}

/** Direct illuminance and the light it leaves on every patch, RGB lux, 3 numbers a patch. */
export interface DirectAndBounced {
  direct: Float32Array;
  bounced: Float32Array;
}

/** Responses to sky, moon and panes, kept until the transfer changes. */
export interface Ambient {
  sky(conditions: Conditions, surroundings: Surroundings): DirectAndBounced;
  panes(leaves: Leaves): DirectAndBounced;
  /** Direct light of some emitters, RGB lux. */
  panesDirect(which: readonly number[], leaves: Leaves): Float32Array;
  /** Work out the responses bit by bit, so that the first `sky` and `panes` are cheap. */
  prepare(leaves: Leaves): Generator<void, void, void>;
  /** Direct illuminance of one emitter at 1 cd/m², lux a patch. */
  paneResponse(emitter: number, leaves: Leaves): Float32Array;
  /** The transfer is new: forget what was bounced with the old one. */
  forget(): void;
}

export function createAmbient(source: AmbientSource): Ambient {
  const skies = new Map<string, DirectAndBounced>();
  const moons = new Map<string, DirectAndBounced>();
  const paneDirect = new Map<string, Float32Array>();
  const panesTotal = new Map<Leaves, DirectAndBounced>();
  const withBounces = (direct: Float32Array, leaves: Leaves): DirectAndBounced => ({
    direct,
    bounced: source.bounce(direct, leaves),
  });

  const skyResponse = (k: number, leaves: Leaves): DirectAndBounced => {
    const key = `${k} ${leaves}`;
    const kept = skies.get(key);
    if (kept) return kept;
    const transfer = source.transfer();
    const all = leaves === 'bare' ? transfer.skyBare : transfer.skyOn;
    const direct = source.smooth(white(source.set.patches.length, (i) => all[i * SKY_BASIS_COUNT + k]!));
    const made = withBounces(direct, leaves);
    skies.set(key, made);
    return made;
  };

  const moonResponse = (conditions: Conditions): DirectAndBounced => {
    const key = `${moonDirection(conditions).join(' ')} ${conditions.leaves}`;
    const kept = moons.get(key);
    if (kept) return kept;
    if (moons.size > 3) moons.clear();
    const made = withBounces(moonDirect(source, conditions), conditions.leaves);
    moons.set(key, made);
    return made;
  };

  const paneResponse = (index: number, leaves: Leaves): Float32Array => {
    const key = `${index} ${leaves}`;
    const made = paneDirect.get(key) ?? paneOnPatches(source, source.emitters[index]!, leaves === 'on', index);
    paneDirect.set(key, made);
    return made;
  };

  const panesDirect = (which: readonly number[], leaves: Leaves): Float32Array => {
    const direct = new Float32Array(source.set.patches.length * 3);
    for (const index of which) {
      const { luminanceRgb } = source.emitters[index]!;
      paneResponse(index, leaves).forEach((lx, i) => {
        for (let c = 0; c < 3; c++) direct[i * 3 + c]! += lx * luminanceRgb[c]!;
      });
    }
    return direct;
  };

  return {
    panesDirect,
    *prepare(leaves) {
      for (let k = 0; k < SKY_BASIS_COUNT; k++) {
        skyResponse(k, leaves);
        yield;
      }
      for (let index = 0; index < source.emitters.length; index++) {
        paneResponse(index, leaves);
        yield;
      }
    },
    paneResponse,
    sky(conditions, surroundings) {
      const n3 = source.set.patches.length * 3;
      const out = { direct: new Float32Array(n3), bounced: new Float32Array(n3) };
      const weights = skyCoefficients(conditions, surroundings);
      for (let k = 0; k < SKY_BASIS_COUNT; k++) {
        addWeighted(out, skyResponse(k, conditions.leaves), weights[k * 3]!, weights[k * 3 + 1]!, weights[k * 3 + 2]!);
      }
      const moon = moonNormalRgb(conditions);
      if (moon[1] > 0) addWeighted(out, moonResponse(conditions), ...moon);
      return out;
    },
    panes(leaves) {
      const kept = panesTotal.get(leaves);
      if (kept) return kept;
      const direct = panesDirect(
        source.emitters.map((_, index) => index),
        leaves,
      );
      const made = withBounces(direct, leaves);
      panesTotal.set(leaves, made);
      return made;
    },
    forget() {
      skies.clear();
      moons.clear();
      panesTotal.clear();
    },
  };
}

function white(n: number, of: (patch: number) => number): Float32Array {
  const out = new Float32Array(n * 3);
  for (let i = 0; i < n; i++) out.fill(of(i), i * 3, i * 3 + 3);
  return out;
}

function addWeighted(out: DirectAndBounced, r: DirectAndBounced, red: number, green: number, blue: number): void {
  for (let i = 0; i < out.direct.length; i += 3) {
    out.direct[i]! += red * r.direct[i]!;
    out.direct[i + 1]! += green * r.direct[i + 1]!;
    out.direct[i + 2]! += blue * r.direct[i + 2]!;
    out.bounced[i]! += red * r.bounced[i]!;
    out.bounced[i + 1]! += green * r.bounced[i + 1]!;
    out.bounced[i + 2]! += blue * r.bounced[i + 2]!;
  }
}

/** Share of the moon's normal illuminance on each patch, mean over its points. */
function moonDirect(source: AmbientSource, conditions: Conditions): Float32Array {
  const toward = moonDirection(conditions);
  const { set } = source;
  return white(set.patches.length, (patch) => {
    if (patch >= set.flat) return conditions.leaves === 'on' ? moonOnLeaves(source, patch, toward) : 0;
    const normal = source.scene.faces[source.set.patches[patch]!.face]!.normal;
    if (normal[0] * toward[0] + normal[1] * toward[1] + normal[2] * toward[2] <= 0) return 0;
    const points = pointsOf(source.set, source.scene, patch);
    let sum = 0;
    for (let k = 0; k < points.length; k += 3) {
      sum += moonShare(source.caster, points.subarray(k, k + 3), normal, toward, conditions.leaves === 'on');
    }
    return (sum * 3) / points.length;
  });
}

/** A quarter of what reaches the leaves normal to its direction. */
function moonOnLeaves(source: AmbientSource, patch: number, toward: readonly [number, number, number]): number {
  const points = pointsOf(source.set, source.scene, patch);
  let sum = 0;
  for (let k = 0; k < points.length; k += 3) {
    const [x, y, z] = [points[k]!, points[k + 1]!, points[k + 2]!];
    if (source.caster.blocked(x, y, z, ...toward, FAR_M)) continue;
    sum += source.caster.leafTransmittance(x, y, z, ...toward, FAR_M);
  }
  return (0.25 * sum * 3) / points.length;
}

/** Points a patch × rays a point toward an emitter: more where it is near and its light falls off within the patch. */
const NEAR = { points: 8, rays: 4, withinReach: 4 } as const;
const FAR = { points: 4, rays: 2 } as const;
/** What a pane of 100 cd/m² cannot bring more than 0.003 lx, it brings nothing. */
const LEAST_LX = 3e-5;

/** Direct illuminance of one emitter at 1 cd/m² on every patch, lux. */
function paneOnPatches(source: AmbientSource, e: Emitter, leaves: boolean, index: number): Float32Array {
  const { scene, set } = source;
  const out = new Float32Array(set.patches.length);
  for (let patch = 0; patch < out.length; patch++) {
    if (patch >= set.flat) {
      // Leaves lie every way: what a pane brings them is told by one place among them.
      const among = set.leaves.spots[patch - set.flat]!;
      if (!leaves || e.areaM2 < LEAST_LX * squareTo(e, among)) continue;
      out[patch] = emitterOnLeavesLx(e, source.caster, pointsOf(set, scene, patch, FAR.points), patch);
      continue;
    }
    const normal = scene.faces[set.patches[patch]!.face]!.normal;
    const first = pointsOf(set, scene, patch, 1);
    const [x, y, z] = [first[0]! - e.centre[0], first[1]! - e.centre[1], first[2]! - e.centre[2]];
    const d = Math.hypot(x, y, z);
    const slack = e.reachM + Math.sqrt(set.areaM2[patch]!) + 1;
    const before = x * e.normal[0] + y * e.normal[1] + z * e.normal[2];
    const toward = -(x * normal[0] + y * normal[1] + z * normal[2]);
    if (before < -slack || toward < -slack) continue;
    const clear = Math.max(1e-3, d - slack);
    const most = (e.areaM2 * Math.min(1, (before + slack) / clear) * Math.min(1, (toward + slack) / clear)) / (clear * clear);
    if (d > slack && most < LEAST_LX) continue;
    const plan = d < NEAR.withinReach * (e.reachM + 0.5) ? NEAR : FAR;
    const points = pointsOf(set, scene, patch, plan.points);
    let sum = 0;
    for (let k = 0; k < points.length; k += 3) {
      sum += emitterLx(e, source.caster, points.subarray(k, k + 3), normal, plan.rays, patch * 31 + k + index, leaves);
    }
    out[patch] = (sum * 3) / points.length;
  }
  return out;
}

function squareTo(e: Emitter, p: ArrayLike<number>): number {
  return (p[0]! - e.centre[0]) ** 2 + (p[1]! - e.centre[1]) ** 2 + (p[2]! - e.centre[2]) ** 2;
}
