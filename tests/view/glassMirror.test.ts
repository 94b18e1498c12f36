import { describe, expect, it } from 'vitest';
import type { Pane, Vec3 } from '../../src/scene/index.ts';
import { glassPlanes, mirrorOfPane } from '../../src/view/panes/glassPlanes.ts';
import {
  glassGlsl,
  MIRROR_DOWN,
  MIRROR_FAR_M,
  MIRROR_TILES,
  MIRROR_UP,
  mirrorPlaceGlsl,
} from '../../src/view/panes/glassShader.ts';

function pane(id: string, x: number, more: Partial<Pane> = {}): Pane {
  return {
    ...{ id, origin: [x, 0.9, 0], u: [1, 0, 0], v: [0, 1, 0], normal: [0, 0, 1], widthM: 1, heightM: 1.5 },
    ...{ panesAcross: 2, panesUp: 1, litCdM2: 0, litCctK: 2700, frameMaterial: 0 },
    ...more,
  };
}

/** Shader text with numbers only, run as JavaScript. */
const toScript = (glsl: string): string =>
  glsl
    .replace(
      /\b(?:float|vec3) (\w+)\(([^)]*)\) \{/g,
      (_, name, args: string) => `function ${name}(${args.replace(/\b(?:float|vec3) /g, '')}) {`,
    )
    .replace(/\b(?:float|vec3) (\w+) =/g, 'let $1 =')
    .replace(/\b(sqrt|abs|max|min)\(/g, 'Math.$1(');
const reflectance = new Function(`${toScript(glassGlsl)} return glassReflectance;`)() as (cosI: number, count: number) => number;

describe('reflectance of window glass', () => {
  // Fresnel by angles and by tracing the light between surfaces one by one (geometric series): another way round.
  const traced = (angle: number, surfaces: number): number => {
    const t = Math.asin(Math.sin(angle) / 1.52);
    const s = angle === 0 ? ((1.52 - 1) / 2.52) ** 2 : (Math.sin(angle - t) / Math.sin(angle + t)) ** 2;
    const p = angle === 0 ? s : (Math.tan(angle - t) / Math.tan(angle + t)) ** 2;
    const stack = (r: number): number => {
      let [R, T] = [r, 1 - r];
      for (let k = 1; k < surfaces; k++) [R, T] = [R + (T * T * r) / (1 - R * r), (T * (1 - r)) / (1 - R * r)];
      return R;
    };
    return (stack(s) + stack(p)) / 2;
  };

  it.each([2, 4])('agrees with Fresnel and a trace between %i surfaces, 0 to 85°', (surfaces) => {
    for (let deg = 0; deg <= 85; deg += 5) {
      const angle = (deg * Math.PI) / 180;
      expect(reflectance(Math.cos(angle), surfaces)).toBeCloseTo(traced(angle, surfaces), 6);
    }
  });

  it('is 8 % for a sheet and 15 % for double glazing, straight on (makers’ tables of clear float, from memory)', () => {
    expect(reflectance(1, 2)).toBeCloseTo(0.082, 3);
    expect(reflectance(1, 4)).toBeCloseTo(0.151, 3);
  });
});

describe('mirror of a wall’s glass', () => {
  const panes = [pane('a', 0), pane('b', 4, { widthM: 3 }), pane('side', 9, { u: [0, 0, 1], normal: [1, 0, 0], widthM: 0.5 })];

  it('takes the panes of one plane together and leaves a small second plane to the sky', () => {
    const planes = glassPlanes(panes);
    expect(planes).toHaveLength(1);
    expect(planes[0]!.panes).toEqual([0, 1]);
    // Middle of glass: (0.5·1.5 + 5.5·4.5) / 6.
    expect(planes[0]!.at[0]).toBeCloseTo(4.25, 9);
    expect(mirrorOfPane(planes, panes).map((m) => m[3])).toEqual([0, 0, -1]);
  });

  /** Where the picture's own camera puts a direction: projection by its axes. */
  function byCamera(q: Vec3): [number, number] {
    const side = q[0] < 0 ? 0 : 1;
    const turn = side === 0 ? -1 : 1;
    const ahead: Vec3 = [turn * Math.SQRT1_2, 0, Math.SQRT1_2];
    // Looking out of the wall, right is toward −u.
    const right: Vec3 = [-Math.SQRT1_2, 0, turn * Math.SQRT1_2];
    const along = (a: Vec3): number => a[0] * q[0] + a[1] * q[1] + a[2] * q[2];
    const x = 0.5 + (0.5 * along(right)) / along(ahead);
    const y = (q[1] / along(ahead) + MIRROR_DOWN) / (MIRROR_DOWN + MIRROR_UP);
    return [(side + x) / MIRROR_TILES, y];
  }

  const place = new Function(
    'from',
    'd',
    'aboveGround',
    'mirror',
    toScript(mirrorPlaceGlsl)
      .replace(/function mirrorPlace\([^)]*\) \{/, '')
      .replace('from + d * t', '({ x: from[0] + d.x * t, y: from[1] + d.y * t, z: from[2] + d.z * t })')
      .replace(/\bclamp\(/g, '((v, a, b) => Math.min(b, Math.max(a, v)))(')
      .replace(/smoothstep\(0\.94, 0\.99, y\)/, '(y > 0.99 ? 1 : 0)')
      .replace('return vec3(', 'return [')
      .replace(/\);\s*\}\s*$/, '];'),
  ) as (from: Vec3, d: { x: number; y: number; z: number }, aboveGround: number, mirror: number) => [number, number, number];

  it('finds what stands opposite and what lies on the ground where its camera drew it', () => {
    const eye: Vec3 = [4.25, 0.65, 0.3];
    for (const [at, d] of [
      [
        [0.5, 0.7, 0],
        [0.3, 0.05, 1],
      ],
      [
        [5, 1, 0],
        [-0.9, 0.1, 0.6],
      ],
      [
        [2, 0.4, 0],
        [0.2, -0.35, 1],
      ],
    ] as const) {
      const size = Math.hypot(...d);
      const n = d.map((v) => v / size);
      const aboveGround = 0.9 + at[1];
      const t = n[1]! < 0 ? Math.min(MIRROR_FAR_M / n[2]!, aboveGround / -n[1]!) : MIRROR_FAR_M / n[2]!;
      const point = at.map((v, k) => v + t * n[k]! - eye[k]!) as unknown as Vec3;
      const from = at.map((v, k) => v - eye[k]!) as unknown as Vec3;
      const got = place(from, { x: n[0]!, y: n[1]!, z: n[2]! }, aboveGround, 0);
      const want = byCamera(point);
      expect(got[0]).toBeCloseTo(want[0], 6);
      expect(got[1]).toBeCloseTo(want[1], 6);
      expect(got[2]).toBe(1);
    }
  });
});
