import { Matrix4, type PerspectiveCamera, Vector4 } from 'three';
import type { CameraPose, Vec3 } from '../../scene/index.ts';

const below = ([x, y, z]: Vec3, levelM: number): Vec3 => [x, 2 * levelM - y, z];

/**
 * Pose that sees, the right way round in x and turned over in y, what a level mirror at `levelM` shows: eye and target under
 * the mirror. A pixel's shift has to be turned over in y too.
 */
export const mirroredPose = (pose: CameraPose, levelM: number): CameraPose => ({
  ...pose,
  eye: below(pose.eye, levelM),
  lookAt: below(pose.lookAt, levelM),
});

/**
 * Moves the near plane of a placed camera into the mirror, so that nothing under it is drawn (E. Lengyel, "Oblique view
 * frustum depth projection and clipping", 2005). `projectionMatrixInverse` keeps the plain lens, whose rays are the same.
 */
export function clipBelow(camera: PerspectiveCamera, levelM: number): void {
  const plane = new Vector4(0, 1, 0, -levelM);
  plane.applyMatrix4(new Matrix4().copy(camera.matrixWorld).transpose());
  const e = camera.projectionMatrix.elements;
  const corner = new Vector4(
    (Math.sign(plane.x) + e[8]!) / e[0]!,
    (Math.sign(plane.y) + e[9]!) / e[5]!,
    -1,
    (1 + e[10]!) / e[14]!,
  );
  const scale = 2 / plane.dot(corner);
  e[2] = plane.x * scale;
  e[6] = plane.y * scale;
  e[10] = plane.z * scale + 1;
  e[14] = plane.w * scale;
}

/** Part of the picture, shares from its left and foot, that holds the points; undefined where none is in sight. */
export interface Part {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

/** Bounds of world points in a picture, grown by `margin` (shares of the picture). Points behind the eye widen it to all. */
export function partOf(points: readonly Vec3[], camera: PerspectiveCamera, margin: number): Part | undefined {
  const toClip = new Matrix4().multiplyMatrices(camera.projectionMatrix, camera.matrixWorldInverse);
  const p = new Vector4();
  let [x0, y0, x1, y1] = [1, 1, 0, 0];
  let behind = 0;
  for (const point of points) {
    p.set(...point, 1).applyMatrix4(toClip);
    if (p.w < camera.near) {
      behind += 1;
      continue;
    }
    const [x, y] = [0.5 + (0.5 * p.x) / p.w, 0.5 + (0.5 * p.y) / p.w];
    [x0, y0, x1, y1] = [Math.min(x0, x), Math.min(y0, y), Math.max(x1, x), Math.max(y1, y)];
  }
  if (behind === points.length) return undefined;
  if (behind > 0) return { x0: 0, y0: 0, x1: 1, y1: 1 };
  [x0, y0, x1, y1] = [Math.max(0, x0 - margin), Math.max(0, y0 - margin), Math.min(1, x1 + margin), Math.min(1, y1 + margin)];
  return x0 < x1 && y0 < y1 ? { x0, y0, x1, y1 } : undefined;
}
