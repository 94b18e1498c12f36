import { PerspectiveCamera } from 'three';
import type { CameraPose, Vec3 } from '../scene/index.ts';

/** Up to this pitch the camera stays level and the picture is shifted instead, so that uprights stay upright. */
export const LEVEL_UP_TO_RAD = (35 * Math.PI) / 180;
export const NEAR_M = 0.05;
export const FAR_M = 2000;

/** Edges of the picture as tangents, on the plane one metre ahead, and where the camera points. */
export interface Frustum {
  left: number;
  right: number;
  bottom: number;
  top: number;
  /** Unit vector. */
  forward: Vec3;
}

/**
 * Level camera with lens shift: it looks along the heading, and the picture's centre is moved by tan(pitch), so the point
 * looked at stands in the middle. Steeper than `LEVEL_UP_TO_RAD` it tilts.
 */
export function frustumOf(pose: CameraPose, aspect: number): Frustum {
  const dx = pose.lookAt[0] - pose.eye[0];
  const dy = pose.lookAt[1] - pose.eye[1];
  const dz = pose.lookAt[2] - pose.eye[2];
  const level = Math.hypot(dx, dz);
  const halfWidth = Math.tan((pose.fieldDeg * Math.PI) / 360);
  const halfHeight = halfWidth / aspect;
  const size = Math.hypot(dx, dy, dz);
  if (size === 0) return { left: -halfWidth, right: halfWidth, bottom: -halfHeight, top: halfHeight, forward: [0, 0, -1] };
  const pitch = Math.atan2(dy, level);
  if (Math.abs(pitch) > LEVEL_UP_TO_RAD) {
    const forward: Vec3 = [dx / size, dy / size, dz / size];
    return { left: -halfWidth, right: halfWidth, bottom: -halfHeight, top: halfHeight, forward };
  }
  const shift = dy / level;
  return {
    left: -halfWidth,
    right: halfWidth,
    bottom: shift - halfHeight,
    top: shift + halfHeight,
    forward: [dx / level, 0, dz / level],
  };
}

/** Sets a three.js camera; `jitterPx` moves the picture by parts of a pixel of the given size, for averaging. */
export function placeCamera(
  camera: PerspectiveCamera,
  pose: CameraPose,
  widthPx: number,
  heightPx: number,
  jitterPx: readonly [number, number] = [0, 0],
): void {
  const f = frustumOf(pose, widthPx / heightPx);
  const jx = (jitterPx[0] * (f.right - f.left)) / widthPx;
  const jy = (jitterPx[1] * (f.top - f.bottom)) / heightPx;
  camera.position.set(...pose.eye);
  camera.up.set(0, 1, 0);
  if (Math.hypot(f.forward[0], f.forward[2]) < 1e-6) camera.up.set(0, 0, -1);
  camera.lookAt(pose.eye[0] + f.forward[0], pose.eye[1] + f.forward[1], pose.eye[2] + f.forward[2]);
  camera.near = NEAR_M;
  camera.far = FAR_M;
  camera.projectionMatrix.makePerspective(
    (f.left + jx) * NEAR_M,
    (f.right + jx) * NEAR_M,
    (f.top + jy) * NEAR_M,
    (f.bottom + jy) * NEAR_M,
    NEAR_M,
    FAR_M,
  );
  camera.projectionMatrixInverse.copy(camera.projectionMatrix).invert();
  camera.updateMatrixWorld(true);
}

/** Camera of the stage; its matrices come from `placeCamera` alone. */
export function createCamera(): PerspectiveCamera {
  const camera = new PerspectiveCamera();
  camera.matrixAutoUpdate = true;
  return camera;
}
