import { PerspectiveCamera, Vector3 } from 'three';
import { describe, expect, it } from 'vitest';
import type { CameraPose } from '../../src/scene/index.ts';
import { frustumOf, placeCamera } from '../../src/view/camera.ts';

const street: CameraPose = { eye: [6, 1.6, 18], lookAt: [4, 5, 0], fieldDeg: 55 };

function onScreen(pose: CameraPose, point: [number, number, number]): Vector3 {
  const camera = new PerspectiveCamera();
  placeCamera(camera, pose, 1440, 900);
  return new Vector3(...point).project(camera);
}

describe('level camera with lens shift', () => {
  it('has what is looked at in the middle of the picture', () => {
    const p = onScreen(street, street.lookAt);
    expect(p.x).toBeCloseTo(0, 5);
    expect(p.y).toBeCloseTo(0, 5);
  });

  it('keeps uprights upright', () => {
    const foot = onScreen(street, [0, 0, 0]);
    const top = onScreen(street, [0, 8, 0]);
    expect(top.x).toBeCloseTo(foot.x, 6);
    expect(top.y).toBeGreaterThan(foot.y);
  });

  it('tilts when it looks steeply down, and still centres', () => {
    const steep: CameraPose = { eye: [0, 10, 5], lookAt: [0, 0, 0], fieldDeg: 55 };
    expect(frustumOf(steep, 1.6).forward[1]).toBeLessThan(-0.8);
    const p = onScreen(steep, [0, 0, 0]);
    expect(p.x).toBeCloseTo(0, 5);
    expect(p.y).toBeCloseTo(0, 5);
    const straightDown: CameraPose = { eye: [0, 10, 0], lookAt: [0, 0, 0], fieldDeg: 55 };
    expect(Number.isFinite(onScreen(straightDown, [1, 0, 1]).x)).toBe(true);
  });

  it('spans the stated horizontal field', () => {
    // Closed form: half width = tan(B/2) at one metre.
    const f = frustumOf({ ...street, lookAt: [6, 1.6, 0] }, 1.6);
    expect((Math.atan(f.right) * 360) / Math.PI).toBeCloseTo(55, 9);
  });

  it('shifts by parts of a pixel', () => {
    const camera = new PerspectiveCamera();
    placeCamera(camera, street, 1440, 900, [0.5, 0]);
    const p = new Vector3(...street.lookAt).project(camera);
    expect((p.x * 1440) / 2).toBeCloseTo(-0.5, 3);
  });
});
