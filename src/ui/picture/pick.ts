import type { Face, SceneModel, Vec2, Vec3 } from '../../scene/index.ts';
import { along, dot, sub, unit } from './vec.ts';

/** What a press in the picture meets: a face, the glass of a window, or the leaves of a plant. */
export interface Pick {
  at: Vec3;
  normal: Vec3;
  distanceM: number;
  kind: Face['kind'] | 'pane' | 'leaves';
  partId: string;
  name: string;
  /** Use of the ground patch under the press (lawn, bed, path …). */
  use?: string;
  face?: Face;
}

function inside(loops: readonly (readonly Vec2[])[], s: number, t: number): boolean {
  let odd = false;
  for (const loop of loops) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const a = loop[i] as Vec2;
      const b = loop[j] as Vec2;
      if (a[1] > t !== b[1] > t && s < ((b[0] - a[0]) * (t - a[1])) / (b[1] - a[1]) + a[0]) odd = !odd;
    }
  }
  return odd;
}

/** True where a point of a face's plane lies on the face itself, holes apart. */
export function onFace(face: Face, at: Vec3): boolean {
  const local = sub(at, face.origin);
  const [outer] = face.loops;
  return outer !== undefined && inside([outer], dot(local, face.u), dot(local, face.v));
}

interface Plane {
  origin: Vec3;
  u: Vec3;
  v: Vec3;
  normal: Vec3;
}

function meet(plane: Plane, from: Vec3, d: Vec3): { distanceM: number; s: number; t: number } | undefined {
  const facing = dot(plane.normal, d);
  if (facing > -1e-6) return undefined;
  const distanceM = dot(sub(plane.origin, from), plane.normal) / facing;
  if (distanceM <= 1e-4) return undefined;
  const local = sub(along(from, d, distanceM), plane.origin);
  return { distanceM, s: dot(local, plane.u), t: dot(local, plane.v) };
}

/**
 * First thing a ray meets, for placing and aiming by hand. Works on the flat faces, panes and leaf clumps of the massing,
 * so that a drag never waits for the worker; light itself is always read from the field.
 */
export function pick(scene: SceneModel, from: Vec3, direction: Vec3, leaves = true): Pick | undefined {
  const d = unit(direction);
  let best: Pick | undefined;
  const nearer = (distanceM: number) => best === undefined || distanceM < best.distanceM;
  for (const face of scene.faces) {
    const hit = meet(face, from, d);
    if (!hit || !nearer(hit.distanceM) || !inside(face.loops, hit.s, hit.t)) continue;
    const patch = face.patches.findLast((p) => inside([p.loop], hit.s, hit.t));
    const { distanceM } = hit;
    best = {
      at: along(from, d, distanceM),
      normal: face.normal,
      distanceM,
      kind: face.kind,
      partId: face.partId,
      name: face.name,
      use: patch?.use,
      face,
    };
  }
  for (const pane of scene.panes) {
    const hit = meet(pane, from, d);
    if (!hit || !nearer(hit.distanceM) || hit.s < 0 || hit.t < 0 || hit.s > pane.widthM || hit.t > pane.heightM) continue;
    best = {
      at: along(from, d, hit.distanceM),
      normal: pane.normal,
      distanceM: hit.distanceM,
      kind: 'pane',
      partId: pane.id,
      name: 'window',
    };
  }
  if (leaves) best = pickLeaves(scene, from, d, best) ?? best;
  return best;
}

/** Nearest leaf clump whose sphere the ray cuts well inside. */
function pickLeaves(scene: SceneModel, from: Vec3, d: Vec3, before: Pick | undefined): Pick | undefined {
  let best: Pick | undefined;
  for (const plant of scene.plants) {
    for (let i = 0; i + 4 < plant.clumps.length; i += 5) {
      const centre: Vec3 = [plant.clumps[i] ?? 0, plant.clumps[i + 1] ?? 0, plant.clumps[i + 2] ?? 0];
      const radius = (plant.clumps[i + 3] ?? 0) * 0.7;
      const toCentre = sub(centre, from);
      const middle = dot(toCentre, d);
      const off2 = dot(toCentre, toCentre) - middle * middle;
      if (middle <= 0 || off2 > radius * radius) continue;
      const distanceM = middle - Math.sqrt(radius * radius - off2);
      if (distanceM >= ((best ?? before)?.distanceM ?? Number.POSITIVE_INFINITY)) continue;
      const at = along(from, d, distanceM);
      best = { at, normal: unit(sub(at, centre)), distanceM, kind: 'leaves', partId: plant.id, name: plant.name };
    }
  }
  return best;
}
