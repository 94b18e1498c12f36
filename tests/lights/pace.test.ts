import { describe, expect, it } from 'vitest';
import { createLightModel, type LightModel, type Source } from '../../src/lights/index.ts';
import { aimCone, createCone, meetsCone } from '../../src/lights/visibility/cone.ts';
import { plant } from './leaves.fixture.ts';
import { SceneSketch, seeded } from './testScene.ts';
import { isotropic, NIGHT, testSource } from './testSource.ts';

const DUSK = { ...NIGHT, sunAltitudeDeg: -6, sunAzimuthDeg: 270 };

function yard() {
  const sketch = new SceneSketch();
  sketch.rect([-3, 0, 0], [6, 0, 0], [0, 3, 0], { reflectance: 0.4, id: 'wall' });
  sketch.rect([-3, 0, 8], [6, 0, 0], [0, 0, -8], { reflectance: 0.2, id: 'lawn' });
  return sketch.build();
}
const lamps = (weight = 1): Source[] => [
  testSource([-1.5, 0.1, 0.4], [-1.5, 3, 0.2], { id: 'a', beamAngleFullDeg: 36, lensRadiusM: 0.02, weight }),
  testSource([0.5, 0.1, 0.5], [0.5, 3, 0.2], { id: 'b', beamAngleFullDeg: 60, lensRadiusM: 0.02, spillShare: 0.1 }),
];
const model = (bounceRays = 64): LightModel => createLightModel(yard(), { bounceRays, tileBudget: 120 });

/** Runs a solve until a stage has ended. */
function solveThrough(m: LightModel, stage: string): void {
  for (const step of m.solve()) if (step.stage === stage && step.done === step.of) return;
}

describe('what is kept when little changes', () => {
  it('forty dims leave direct light as a fresh sum does, and indirect light within 0.5 % or 0.0005 lx of it per patch', () => {
    const m = model();
    for (let k = 0; k <= 40; k++) {
      m.setSources(lamps(1 - 0.02 * k), NIGHT);
      m.solveAll();
    }
    const fresh = model();
    fresh.setSources(lamps(1), NIGHT);
    fresh.solveAll();
    fresh.setSources([], NIGHT);
    fresh.solveAll();
    fresh.setSources(lamps(0.2), NIGHT);
    fresh.solveAll();
    let compared = 0;
    for (const [face, s, t] of [
      [0, 1.5, 1],
      [0, 3.4, 2],
      [0, 5.5, 2.5],
      [1, 1, 1],
      [1, 3, 7.2],
      [1, 4, 5],
    ] as const) {
      const [a, b] = [m.sampleField(face, s, t)!, fresh.sampleField(face, s, t)!];
      for (let c = 0; c < 3; c++) {
        expect(Math.abs(a.directRgb[c]! - b.directRgb[c]!)).toBeLessThan(0.0005 + 0.002 * b.directRgb[c]!);
        expect(Math.abs(a.indirectRgb[c]! - b.indirectRgb[c]!)).toBeLessThan(0.001 + 0.012 * b.indirectRgb[c]!);
        if (b.indirectRgb[c]! > 0.05) compared++;
      }
    }
    expect(compared).toBeGreaterThan(3);
  });

  it('a dim of one lamp touches few tiles when it is little, all that it lights when it is much', () => {
    const m = model();
    m.setSources(lamps(1), DUSK);
    m.solveAll();
    m.takeDirty();
    m.setSources(lamps(1), DUSK);
    m.solveAll();
    expect(m.takeDirty().slots).toEqual([]);
    m.setSources(lamps(0.5), DUSK);
    m.solveAll();
    const touched = m.takeDirty().slots.length;
    expect(touched).toBeGreaterThan(0);
  });

  it('an overtaken solve loses no ray of the patches: the next goes on with them', () => {
    const whole = model(256);
    whole.setSources(lamps(), NIGHT);
    whole.solveAll();
    const m = model(256);
    m.setSources(lamps(), NIGHT);
    for (let k = 0; k < 6; k++) {
      const steps = m.solve();
      for (let n = 0; n < 3; n++) steps.next();
    }
    m.solveAll();
    expect(m.stats.rays).toBeLessThanOrEqual(whole.stats.rays * 1.02);
  });
});

describe('first picture', () => {
  it('has the sky before any bounce: open ground within 10 % of the settled sky, a wall within 25 %', () => {
    const m = model();
    m.setSources([], DUSK);
    solveThrough(m, 'direct');
    const luminance = (face: number, s: number, t: number): number => {
      const [r, g, b] = m.sampleField(face, s, t)!.indirectRgb;
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const first = [luminance(1, 3, 1), luminance(0, 3, 1.5)];
    m.solveAll();
    const settled = [luminance(1, 3, 1), luminance(0, 3, 1.5)];
    expect(settled[0]).toBeGreaterThan(0.5);
    expect(Math.abs(first[0]! / settled[0]! - 1)).toBeLessThan(0.1);
    expect(Math.abs(first[1]! / settled[1]! - 1)).toBeLessThan(0.25);
  });
});

describe('leaves in clumps', () => {
  it('a dim clump shares what stands between: its light is that of rays of its own, within 6 % in sum', () => {
    const sketch = new SceneSketch();
    sketch.rect([-2, 0, 2], [4, 0, 0], [0, 0, -4], { reflectance: 0 });
    const clumps: [number, number, number, number][] = Array.from({ length: 12 }, (_, k) => [
      0.3 * (k % 3) - 0.3,
      2 + 0.3 * ((k / 3) | 0),
      0.2 * (k % 2),
      0.25,
    ]);
    sketch.scene.plants.push(plant('crown', clumps, 2, 20));
    const m = createLightModel(sketch.build(), { bounceRays: 4 });
    // 2 cd at two metres: 0.5 lx at most.
    m.setSources([testSource([0.1, 0, 0.1], [0.1, 3, 0.1], { distribution: isotropic(1.9) })], { ...NIGHT, sunAltitudeDeg: -60 });
    m.solveAll();
    let [sum, exact] = [0, 0];
    const cards = m.scene.plants[0]!.cards;
    for (let c = 0; c < cards.length / 8; c++) {
      const p = [cards[c * 8]!, cards[c * 8 + 1]!, cards[c * 8 + 2]!] as const;
      const d = [0.1 - p[0], -p[1], 0.1 - p[2]] as const;
      const l = Math.hypot(...d);
      const cos = Math.abs(d[0] * cards[c * 8 + 3]! + d[1] * cards[c * 8 + 4]! + d[2] * cards[c * 8 + 5]!) / l;
      const lux = (1.9 * cos * m.transmittance([...p], [0.1, 0, 0.1])) / l ** 2;
      if (lux < 0.02) continue;
      const side = (k: number): number =>
        0.2126 * m.field.cards[c * 6 + k]! + 0.7152 * m.field.cards[c * 6 + k + 1]! + 0.0722 * m.field.cards[c * 6 + k + 2]!;
      sum += Math.max(side(0), side(3)) - Math.min(side(0), side(3));
      exact += lux;
    }
    expect(exact).toBeGreaterThan(1);
    expect(Math.abs(sum / exact - 1)).toBeLessThan(0.06);
  });

  it('the hull of a sphere and a lamp: no sphere that a ray between them meets is left out', () => {
    const random = seeded(7);
    const cone = createCone();
    let [met, spared] = [0, 0];
    for (let n = 0; n < 400; n++) {
      const lamp = [4 * random(), 4 * random(), 4 * random()] as const;
      const R = 0.1 + random();
      aimCone(cone, [0, 0, 0], R, lamp);
      const f0 = random();
      const [x, y, z] = lamp.map((a) => a * f0 + 2 * (random() - 0.5)) as [number, number, number];
      const r = 0.05 + 0.3 * random();
      let hit = false;
      for (let k = 0; k < 300 && !hit; k++) {
        const [u, v, w] = [random() - 0.5, random() - 0.5, random() - 0.5];
        const scale = (R * Math.cbrt(random())) / Math.hypot(u, v, w);
        const p = [u * scale, v * scale, w * scale] as const;
        const f = random();
        const q = p.map((a, axis) => a + f * (lamp[axis]! - a)) as [number, number, number];
        hit = Math.hypot(q[0] - x, q[1] - y, q[2] - z) < r;
      }
      const found = meetsCone(cone, x, y, z, r);
      if (hit) {
        expect(found).toBe(true);
        met++;
      } else if (!found) spared++;
    }
    expect(met).toBeGreaterThan(20);
    expect(spared).toBeGreaterThan(100);
  });
});
