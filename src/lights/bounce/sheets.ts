import type { SceneModel } from '../../scene/index.ts';
import type { BounceHit } from './types.ts';

/** Faces this near in one plane, back to back, are the two sides of one sheet, metres. */
const THIN_M = 0.0015;

/**
 * Where two faces lie back to back in one plane, a ray meets either of their triangles: it has met the side that faces it.
 * Turns such a hit over in place.
 */
export function createSheets(scene: SceneModel): (hit: BounceHit) => void {
  const { faces } = scene;
  const twin = new Int32Array(faces.length).fill(-1);
  const byPlane = new Map<string, number[]>();
  faces.forEach((face, i) => {
    const sign = face.normal.find((v) => Math.abs(v) > 1e-3)! < 0 ? -1 : 1;
    const n = face.normal.map((v) => v * sign);
    const d = n[0]! * face.origin[0] + n[1]! * face.origin[1] + n[2]! * face.origin[2];
    for (const shift of [0, 1]) {
      const key = `${face.partId} ${n.map((v) => Math.round(v * 100)).join()} ${Math.floor(d / (4 * THIN_M) + shift / 2)} ${shift}`;
      const others = byPlane.get(key) ?? [];
      for (const j of others) if (twin[i] === -1 && twin[j] === -1 && backToBack(scene, i, j)) [twin[i], twin[j]] = [j, i];
      others.push(i);
      byPlane.set(key, others);
    }
  });
  return (hit) => {
    if (hit.fromFront || hit.face < 0 || twin[hit.face]! < 0) return;
    const from = faces[hit.face]!;
    const to = faces[twin[hit.face]!]!;
    const at = [0, 1, 2].map((k) => from.origin[k]! + hit.s * from.u[k]! + hit.t * from.v[k]! - to.origin[k]!);
    hit.face = twin[hit.face]!;
    hit.s = at[0]! * to.u[0] + at[1]! * to.u[1] + at[2]! * to.u[2];
    hit.t = at[0]! * to.v[0] + at[1]! * to.v[1] + at[2]! * to.v[2];
    hit.fromFront = true;
  };
}

function backToBack(scene: SceneModel, i: number, j: number): boolean {
  const [a, b] = [scene.faces[i]!, scene.faces[j]!];
  const cos = a.normal[0] * b.normal[0] + a.normal[1] * b.normal[1] + a.normal[2] * b.normal[2];
  if (cos > -0.9999 || Math.abs(a.widthM * a.heightM - b.widthM * b.heightM) > 1e-3 * a.widthM * a.heightM) return false;
  const middle = (f: typeof a): number[] =>
    [0, 1, 2].map((k) => f.origin[k]! + (f.widthM / 2) * f.u[k]! + (f.heightM / 2) * f.v[k]!);
  const [p, q] = [middle(a), middle(b)];
  return Math.hypot(p[0]! - q[0]!, p[1]! - q[1]!, p[2]! - q[2]!) < THIN_M;
}
