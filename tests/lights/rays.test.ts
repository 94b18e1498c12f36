import { describe, expect, it } from 'vitest';
import type { BounceHit } from '../../src/lights/bounce/types.ts';
import { createCaster, type TriangleHit } from '../../src/lights/rays/index.ts';
import type { Vec3 } from '../../src/scene/index.ts';
import { SceneSketch, seeded } from './testScene.ts';

/** Slow reference: plane hit, then inside by three signed areas. Shares no code with the tree. */
function bruteNearest(positions: Float32Array, o: Vec3, d: Vec3): { t: number; triangle: number; margin: number } {
  let best = { t: Infinity, triangle: -1, margin: Infinity };
  let margin = Infinity;
  for (let i = 0; i * 9 < positions.length; i++) {
    const v = (k: number): Vec3 => [positions[i * 9 + k * 3]!, positions[i * 9 + k * 3 + 1]!, positions[i * 9 + k * 3 + 2]!];
    const [a, b, c] = [v(0), v(1), v(2)];
    const n = cr(sub(b, a), sub(c, a));
    const denom = dot(n, d);
    if (denom === 0) continue;
    const t = dot(n, sub(a, o)) / denom;
    if (t <= 0) continue;
    const p: Vec3 = [o[0] + t * d[0], o[1] + t * d[1], o[2] + t * d[2]];
    const area = dot(n, n);
    const w = Math.min(
      dot(n, cr(sub(b, a), sub(p, a))) / area,
      dot(n, cr(sub(c, b), sub(p, b))) / area,
      dot(n, cr(sub(a, c), sub(p, c))) / area,
    );
    margin = Math.min(margin, Math.abs(w));
    if (w >= 0 && t < best.t) best = { t, triangle: i, margin: 0 };
  }
  return { ...best, margin };
}
const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cr = (a: Vec3, b: Vec3): Vec3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];

function clutter(seed: number, count: number) {
  const random = seeded(seed);
  const sketch = new SceneSketch();
  for (let i = 0; i < count; i++) {
    const c: Vec3 = [random() * 10 - 5, random() * 10 - 5, random() * 10 - 5];
    const size = i % 10 === 0 ? 3 : 0.3;
    const v = (): Vec3 => [c[0] + (random() - 0.5) * size, c[1] + (random() - 0.5) * size, c[2] + (random() - 0.5) * size];
    sketch.triangle(v(), v(), v());
  }
  return sketch.build();
}

// The f64 reference, and the f32 kernels with what their digits leave of a metre.
describe.each([
  ['off', 1e-6],
  ['auto', 1e-4],
] as const)('ray tree against brute force, seed 7, kernels %s', (kernels, shortM) => {
  const scene = clutter(7, 800);
  const caster = createCaster(scene, kernels);
  const random = seeded(8);
  const hit: TriangleHit = { distanceM: 0, triangle: -1 };

  it('finds the same nearest triangle and the same any-hit for 1,500 rays', () => {
    let hits = 0;
    for (let i = 0; i < 1500; i++) {
      const o: Vec3 = [random() * 12 - 6, random() * 12 - 6, random() * 12 - 6];
      const raw: Vec3 = [random() - 0.5, random() - 0.5, random() - 0.5];
      const l = Math.hypot(...raw);
      const d: Vec3 = i % 7 === 0 ? [0, 0, raw[2] < 0 ? -1 : 1] : [raw[0] / l, raw[1] / l, raw[2] / l];
      const expected = bruteNearest(scene.occluders.positionsM, o, d);
      if (expected.margin < (kernels === 'off' ? 1e-9 : 1e-6)) continue;
      const found = caster.nearestTriangle(...o, ...d, Infinity, hit);
      expect(found).toBe(expected.triangle >= 0);
      expect(caster.blocked(...o, ...d, Infinity)).toBe(found);
      if (!found) continue;
      hits++;
      expect(hit.triangle).toBe(expected.triangle);
      expect(hit.distanceM).toBeCloseTo(expected.t, 9);
      expect(caster.blocked(...o, ...d, expected.t - shortM)).toBe(false);
    }
    expect(hits).toBeGreaterThan(200);
  });
});

describe.each(['off', 'auto'] as const)('many rays at once, kernels %s', (kernels) => {
  const caster = createCaster(clutter(9, 400), kernels);

  it('answer as one by one; refuse lists that do not fit', () => {
    const random = seeded(12);
    const rays = Float32Array.from({ length: 3000 * 7 }, (_, k) => (k % 7 === 6 ? 1 : 8 * random() - 4));
    const out = new Uint8Array(3000);
    caster.blockedMany(rays, out);
    for (let k = 0; k < 3000; k++) {
      const [x, y, z, dx, dy, dz, far] = rays.subarray(k * 7, k * 7 + 7);
      expect(out[k]).toBe(caster.blocked(x!, y!, z!, dx!, dy!, dz!, far!) ? 1 : 0);
    }
    expect(out.reduce((a, b) => a + b, 0)).toBeGreaterThan(200);
    expect(() => caster.blockedMany(rays.subarray(1), out)).toThrow(/multiple of 7/);
    expect(() => caster.blockedMany(rays, out.subarray(1))).toThrow(/2999 places/);
  });
});

describe.each(['off', 'auto'] as const)('contact rule, kernels %s', (kernels) => {
  it('ignores the face a point lies on and a skin 0.05 mm above it, and sees a sheet 2 mm above it', () => {
    const build = (gap: number) => {
      const sketch = new SceneSketch();
      sketch.rect([-1, 0, 1], [2, 0, 0], [0, 0, -2]);
      sketch.rect([-1, gap, 1], [2, 0, 0], [0, 0, -2]);
      return createCaster(sketch.build(), kernels);
    };
    expect(build(0.00005).sees(0.1, 0, 0.2, 0, 1, 0, 0.7, 2, 0.1)).toBe(true);
    expect(build(0.002).sees(0.1, 0, 0.2, 0, 1, 0, 0.7, 2, 0.1)).toBe(false);
  });

  it('gives the place on the face and its side', () => {
    const sketch = new SceneSketch();
    sketch.rect([-1, 0, 1], [2, 0, 0], [0, 0, -2]);
    const caster = createCaster(sketch.build(), kernels);
    const out: BounceHit = {
      distanceM: 0,
      face: -1,
      s: 0,
      t: 0,
      fromFront: false,
    };
    expect(caster.nearest(0.25, 3, 0.5, 0, -1, 0, 10, out)).toBe(true);
    expect(out).toMatchObject({ face: 0, fromFront: true });
    expect([out.distanceM, out.s, out.t]).toEqual([3, 1.25, 0.5]);
    expect(caster.nearest(0.25, -3, 0.5, 0, 1, 0, 10, out)).toBe(true);
    expect(out.fromFront).toBe(false);
  });
});

describe.each([
  ['off', 10],
  ['auto', 6],
] as const)('leaves on a ray, kernels %s', (kernels, digits) => {
  it('Beer–Lambert along a diameter and an off-centre chord (facts.md 8.2: G .5, LAD .5, path 3 m → .4724)', () => {
    const sketch = new SceneSketch();
    const scene = sketch.build();
    scene.ellipsoids.push({
      id: 'crown',
      centre: [0, 5, 0],
      radiiM: [1.5, 2, 2.5],
      leafAreaDensityM2M3: 0.5,
      clumping: 1,
    });
    const caster = createCaster(scene, kernels);
    expect(caster.leafTransmittance(-10, 5, 0, 1, 0, 0, 20)).toBeCloseTo(0.4724, 4);
    // LAD 1, path 2 m → .3679: the chord at half the height of the ellipsoid is 2·1.5·√(1 − ¼) m.
    expect(caster.leafDepth(-10, 6, 0, 1, 0, 0, 20)).toBeCloseTo(0.25 * 3 * Math.sqrt(0.75), digits);
    // A ray that ends at the centre passes half the chord.
    expect(caster.leafDepth(-10, 5, 0, 1, 0, 0, 10)).toBeCloseTo(0.25 * 1.5, digits);
  });

  it('finds where on the way a depth is reached: evenly inside a crown, past the gap between two', () => {
    const scene = new SceneSketch().build();
    const crown = (id: string, x: number) => ({
      id,
      centre: [x, 5, 0] as [number, number, number],
      radiiM: [1.5, 2, 2.5] as [number, number, number],
      leafAreaDensityM2M3: 0.5,
      clumping: 1,
    });
    scene.ellipsoids.push(crown('near', 0), crown('far', 6));
    const caster = createCaster(scene, kernels);
    const reach = (depth: number, maxM = 20) => caster.leafReach(-10, 5, 0, 1, 0, 0, maxM, depth);
    // Depth grows by G·LAD = ¼ a metre from x = −1.5 to 1.5, and again from 4.5 to 7.5.
    expect(reach(0.25)).toBeCloseTo(9.5, 2);
    expect(reach(0.75 + 0.25)).toBeCloseTo(15.5, 2);
    expect(reach(1.6)).toBe(20);
    expect(reach(0.75, 11)).toBe(11);
  });
});
