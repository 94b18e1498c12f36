import { Vector3, Vector4 } from 'three';
import { describe, expect, it } from 'vitest';
import {
  buildScene,
  type CameraPose,
  createEmptyProperty,
  parseProperty,
  serialiseProperty,
  type Vec3,
} from '../../src/scene/index.ts';
import { createCamera, placeCamera } from '../../src/view/camera.ts';
import { clipBelow, mirroredPose, partOf } from '../../src/view/water/mirrorPlane.ts';
import { seenFrom, sheetsOf } from '../../src/view/water/sheets.ts';
import { sheetFragment } from '../../src/view/water/waterShader.ts';

const LEVEL = -0.1;
const POSES: CameraPose[] = [
  { eye: [1, 1.6, 11], lookAt: [0, 2.2, 0], fieldDeg: 60 },
  { eye: [4, 0.45, 9], lookAt: [-2, 0.9, 1], fieldDeg: 76 },
  { eye: [3, 6, 5], lookAt: [1, 0, 0], fieldDeg: 50 },
];
const POINTS: Vec3[] = [
  [-2, 3, 0],
  [1.5, 0.4, -1],
  [0, 5, -6],
];

function cameraAt(pose: CameraPose, shift: [number, number]): ReturnType<typeof createCamera> {
  const camera = createCamera();
  placeCamera(camera, pose, 1440, 900, shift);
  return camera;
}
const onScreen = (p: Vec3, camera: ReturnType<typeof createCamera>): Vector3 =>
  new Vector3(...p).applyMatrix4(camera.matrixWorldInverse).applyMatrix4(camera.projectionMatrix);

describe('mirror in a level sheet', () => {
  it.each(POSES)('shows a point where its image under the sheet would be seen (law of reflection) %#', (pose) => {
    const direct = cameraAt(pose, [0.25, -0.375]);
    const mirror = cameraAt(mirroredPose(pose, LEVEL), [0.25, 0.375]);
    for (const p of POINTS) {
      const image = onScreen([p[0], 2 * LEVEL - p[1], p[2]], direct);
      const shown = onScreen(p, mirror);
      expect(shown.x).toBeCloseTo(image.x, 9);
      expect(shown.y).toBeCloseTo(-image.y, 9);
    }
  });

  it.each(POSES)('cuts off what lies under the sheet and keeps the rays of the lens %#', (pose) => {
    const mirror = cameraAt(mirroredPose(pose, LEVEL), [0, 0]);
    const before = POINTS.map((p) => onScreen(p, mirror));
    clipBelow(mirror, LEVEL);
    POINTS.forEach((p, i) => {
      const after = onScreen(p, mirror);
      expect(after.x).toBeCloseTo(before[i]!.x, 9);
      expect(after.y).toBeCloseTo(before[i]!.y, 9);
      expect(after.z).toBeGreaterThan(-1);
      expect(after.z).toBeLessThan(1);
      const clip = (y: number) =>
        new Vector4(p[0], y, p[2], 1).applyMatrix4(mirror.matrixWorldInverse).applyMatrix4(mirror.projectionMatrix);
      const [on, under] = [clip(LEVEL), clip(LEVEL - 0.05)];
      expect(on.z / on.w).toBeCloseTo(-1, 6);
      expect(under.z).toBeLessThan(-under.w);
    });
  });

  it('finds the part of the picture that a sheet takes, and none behind the eye', () => {
    const camera = cameraAt({ eye: [0, 1.6, 10], lookAt: [0, 1.6, 0], fieldDeg: 60 }, [0, 0]);
    const part = partOf(
      [
        [-1, 0, 0],
        [1, 0, 0],
        [1, 0, 2],
        [-1, 0, 2],
      ],
      camera,
      0,
    )!;
    // tan 30° = .5774 at the picture's edge: 1 m at 8 m is .125/.5774 of the half width.
    expect(part.x1).toBeCloseTo(0.5 + (0.5 * 0.125) / Math.tan(Math.PI / 6), 6);
    expect(part.x0 + part.x1).toBeCloseTo(1, 9);
    expect(part.y1).toBeLessThan(0.5);
    expect(partOf([[0, 0, 12]], camera, 0)).toBeUndefined();
    expect(
      partOf(
        [
          [0, 0, 12],
          [0, 0, 5],
        ],
        camera,
        0,
      ),
    ).toEqual({ x0: 0, y0: 0, x1: 1, y1: 1 });
  });

  it('takes water by height, hard floors as one sheet, and leaves lawn and gravel dry', () => {
    const sheets = sheetsOf(
      buildScene(
        propertyWith({
          ground: {
            levels: [
              {
                id: 'plot',
                outline: [
                  [-9, -9],
                  [9, -9],
                  [9, 9],
                  [-9, 9],
                ],
                heightM: 0,
                material: 'lawn',
              },
            ],
            patches: [
              {
                id: 'terrace',
                use: 'paving',
                outline: [
                  [-4, -4],
                  [4, -4],
                  [4, 0],
                  [-4, 0],
                ],
                material: 'paving',
              },
              {
                id: 'bed',
                use: 'gravel',
                outline: [
                  [-4, 4],
                  [4, 4],
                  [4, 6],
                  [-4, 6],
                ],
                material: 'gravel',
              },
            ],
          },
          water: [
            {
              id: 'pool',
              name: 'pool',
              kind: 'pool',
              outline: [
                [5, -2],
                [8, -2],
                [8, 2],
                [5, 2],
              ],
              levelM: -0.1,
            },
          ],
        }),
      ),
    );
    expect(sheets.map(({ kind, levelM }) => [kind, levelM])).toEqual([
      ['water', -0.1],
      ['paving', 0],
    ]);
    expect(planArea(sheets[0]!.positionsM)).toBeCloseTo(12, 6);
    expect(planArea(sheets[1]!.positionsM)).toBeCloseTo(32, 6);
    expect(seenFrom(sheets[0]!, POSES[0]!)).toBe(true);
    expect(seenFrom(sheets[0]!, mirroredPose(POSES[0]!, LEVEL))).toBe(false);
  });

  it('mirrors as water does: 2.04 % straight down, half of ((n² − 1)/(n² + 1))² at Brewster’s angle, all at grazing', () => {
    // The shader text itself, its few operations rewritten as JavaScript.
    const text = sheetFragment(false);
    const body = text.slice(text.indexOf('float reflectance(float cosI) {') + 31, text.indexOf('void main'));
    const reflectance = new Function(
      'cosI',
      body
        .slice(0, body.lastIndexOf('}'))
        .replace(/float /g, 'const ')
        .replace('sqrt', 'Math.sqrt'),
    ) as (cosI: number) => number;
    const n = 1.333;
    expect(reflectance(1)).toBeCloseTo(((n - 1) / (n + 1)) ** 2, 9);
    expect(reflectance(1)).toBeCloseTo(0.0204, 4);
    expect(reflectance(Math.cos(Math.atan(n)))).toBeCloseTo(((n * n - 1) / (n * n + 1)) ** 2 / 2, 9);
    expect(reflectance(1e-6)).toBeGreaterThan(0.999);
  });
});

function propertyWith(parts: object) {
  const parsed = parseProperty(JSON.stringify({ ...JSON.parse(serialiseProperty(createEmptyProperty('test'))), ...parts }));
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.errors[0]));
  return parsed.document;
}

function planArea(positions: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < positions.length; i += 9) {
    const [ax, az, bx, bz, cx, cz] = [0, 2, 3, 5, 6, 8].map((k) => positions[i + k]!) as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    sum += Math.abs((bx - ax) * (cz - az) - (cx - ax) * (bz - az)) / 2;
  }
  return sum;
}
