import type { Vec2, Vec3 } from '../records/index.ts';
import { faceCoordinates, facePoint } from './face.ts';
import { convexHull } from './polygon.ts';
import { cutSolid, type Solid } from './solid.ts';
import type { Face } from './types.ts';
import { along, dot } from './vec.ts';

/** A body hides the part of a face that its cut with the plane this far in front of the face takes up, metres. */
const CONTACT_M = 0.001;
const STRIPS = 24;
const LEAST_STRIP_M = 0.05;

const LIES_FLAT = new Set<Face['kind']>(['ground', 'water']);
/** Length of the strips that follow sloping ground along the foot of a wall. */
const FOOT_STEP_M = 1;

type Rect = Face['covers'][number];

/** Height of the ground at a plan point; undefined where there is none. */
export type HeightAt = (x: number, z: number) => number | undefined;

/** Marks on every face the rectangles hidden by bodies fixed to it or standing on it. */
export function markCovers(faces: readonly Face[], solids: readonly Solid[], heightAt: HeightAt): void {
  for (const face of faces) {
    coverBelowGround(face, heightAt);
    const { min, max } = faceBounds(face);
    for (const solid of solids) {
      if (solid.hides === 'nothing' || solid.spares?.has(face.partId)) continue;
      if (solid.hides === 'ground' && !LIES_FLAT.has(face.kind)) continue;
      if (apart(min, max, solid)) continue;
      face.covers.push(...coversOf(face, solid));
    }
  }
}

/** Hides the foot of an upright face that reaches into the ground, in level strips. */
function coverBelowGround(face: Face, heightAt: HeightAt): void {
  if (face.kind === 'kerb' || Math.abs(face.normal[1]) > 0.01 || face.v[1] < 0.99) return;
  const steps = Math.ceil(face.widthM / FOOT_STEP_M);
  const groundT = (s: number): number => {
    const foot = along(facePoint(face, s, 0), face.normal, 0.01);
    return ((heightAt(foot[0], foot[2]) ?? -Infinity) - foot[1]) / face.v[1];
  };
  let before = groundT(0);
  for (let k = 1; k <= steps; k++) {
    const after = groundT((face.widthM * k) / steps);
    const t1 = Math.min(before, after, face.heightM);
    if (t1 > CONTACT_M) face.covers.push({ s0: (face.widthM * (k - 1)) / steps, t0: 0, s1: (face.widthM * k) / steps, t1 });
    before = after;
  }
}

function faceBounds(face: Face): { min: Vec3; max: Vec3 } {
  const min: Vec3 = [Infinity, Infinity, Infinity];
  const max: Vec3 = [-Infinity, -Infinity, -Infinity];
  for (const [s, t] of face.loops.flat()) {
    const p = facePoint(face, s, t);
    for (let k = 0; k < 3; k++) {
      min[k] = Math.min(min[k]!, p[k]! - 2 * CONTACT_M);
      max[k] = Math.max(max[k]!, p[k]! + 2 * CONTACT_M);
    }
  }
  return { min, max };
}

function apart(min: Vec3, max: Vec3, solid: Solid): boolean {
  for (let k = 0; k < 3; k++) if (solid.max[k]! < min[k]! || solid.min[k]! > max[k]!) return true;
  return false;
}

function coversOf(face: Face, solid: Solid): Rect[] {
  const cut = cutSolid(solid, face.normal, dot(face.normal, face.origin) + CONTACT_M);
  if (cut.length < 3) return [];
  const hull = convexHull(
    cut.map((p): Vec2 => {
      const { s, t } = faceCoordinates(face, p);
      return [s, t];
    }),
  );
  if (hull.length < 3) return [];
  return rectsInside(hull)
    .map((r) => ({
      s0: Math.max(0, r.s0),
      t0: Math.max(0, r.t0),
      s1: Math.min(face.widthM, r.s1),
      t1: Math.min(face.heightM, r.t1),
    }))
    .filter((r) => r.s1 - r.s0 > CONTACT_M && r.t1 - r.t0 > CONTACT_M);
}

/** An upright rectangle as itself, any other convex polygon as level strips that lie wholly inside it. */
function rectsInside(hull: Vec2[]): Rect[] {
  const ss = hull.map((p) => p[0]);
  const ts = hull.map((p) => p[1]);
  const box = { s0: Math.min(...ss), t0: Math.min(...ts), s1: Math.max(...ss), t1: Math.max(...ts) };
  const near = (a: number, b: number) => Math.abs(a - b) < 1e-4;
  const upright =
    hull.length > 3 && hull.every(([s, t]) => (near(s, box.s0) || near(s, box.s1)) && (near(t, box.t0) || near(t, box.t1)));
  if (upright) return [box];
  const rows = Math.max(1, Math.min(STRIPS, Math.floor((box.t1 - box.t0) / LEAST_STRIP_M)));
  const rects: Rect[] = [];
  for (let k = 0; k < rows; k++) {
    const t0 = box.t0 + ((box.t1 - box.t0) * k) / rows;
    const t1 = box.t0 + ((box.t1 - box.t0) * (k + 1)) / rows;
    const low = spanAt(hull, t0);
    const high = spanAt(hull, t1);
    const s0 = Math.max(low[0], high[0]);
    const s1 = Math.min(low[1], high[1]);
    if (s1 > s0) rects.push({ s0, t0, s1, t1 });
  }
  return rects;
}

/** Extent of a convex polygon along the level line t. */
function spanAt(hull: Vec2[], t: number): [number, number] {
  let low = Infinity;
  let high = -Infinity;
  hull.forEach((a, i) => {
    const b = hull[(i + 1) % hull.length]!;
    if (Math.min(a[1], b[1]) > t + 1e-9 || Math.max(a[1], b[1]) < t - 1e-9) return;
    const same = Math.abs(a[1] - b[1]) < 1e-12;
    const ends = same ? [a[0], b[0]] : [a[0] + ((t - a[1]) * (b[0] - a[0])) / (b[1] - a[1])];
    low = Math.min(low, ...ends);
    high = Math.max(high, ...ends);
  });
  return [low, high];
}
