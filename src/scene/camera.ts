import type { Vec3 } from './records/index.ts';

/** Level camera with lens shift, so that uprights stay upright while |pitch| is small. */
export interface CameraPose {
  eye: Vec3;
  lookAt: Vec3;
  /** Horizontal field of the picture, full angle. */
  fieldDeg: number;
}
