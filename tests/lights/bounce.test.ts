import { describe, expect, it } from 'vitest';
import type { BounceModel } from '../../src/lights/bounce/index.ts';
import { createBounceModel } from '../../src/lights/bounce/index.ts';
import { createCaster } from '../../src/lights/rays/index.ts';
import type { SceneModel } from '../../src/scene/index.ts';
import { type Plate, plateScene, room, yard } from './bounceScenes.ts';

function built(scene: SceneModel, rays: number, options: Parameters<typeof createBounceModel>[2] = {}): BounceModel {
  const model = createBounceModel(scene, createCaster(scene), options);
  model.buildAll(rays);
  return model;
}

/** 1 lux on the patches of one face, 0 elsewhere. */
const litFace = (model: BounceModel, face: number): Float64Array =>
  Float64Array.from(model.patches, (p) => (p.face === face ? 1 : 0));

/** Area-weighted mean of the green channel over one face, or over all. */
function meanLx(model: BounceModel, rgb: ArrayLike<number>, face?: number): number {
  let [sum, area] = [0, 0];
  model.patches.forEach((p, i) => {
    if (face !== undefined && p.face !== face) return;
    sum += rgb[i * 3 + 1]! * p.areaM2;
    area += p.areaM2;
  });
  return sum / area;
}

/** Form factor from one face to another: with ρ 1 on the first and 0 elsewhere, arriving flux ÷ flux sent. */
function formFactor(model: BounceModel, from: number, to: number): number {
  const E = model.bounced(litFace(model, from));
  let [arrived, sent] = [0, 0];
  model.patches.forEach((p, i) => {
    if (p.face === to) arrived += E[i * 3 + 1]! * p.areaM2;
    if (p.face === from) sent += p.areaM2;
  });
  return arrived / sent;
}

describe('form factors (facts 2.5: closed forms of Howell and of Incropera)', () => {
  it('unit cube: opposite .1998249, adjacent .2000438, sum 1 (case 7)', () => {
    const plates = room(1, [1, 0, 0]);
    const model = built(plateScene(plates), 8192, { patchM: 0.5 });
    const F = plates.map((_, face) => (face === 0 ? 0 : formFactor(model, 0, face)));
    for (const face of [2, 3, 4, 5]) expect(Math.abs(F[face]! / 0.2000438 - 1)).toBeLessThan(0.005);
    expect(Math.abs(F[1]! / 0.1998249 - 1)).toBeLessThan(0.005);
    expect(F.reduce((a, b) => a + b)).toBeCloseTo(1, 5);
  });

  /** Ground strip of depth W and wall of height H that share an edge of 1 m. */
  const corner = (W: number, H: number): Plate[] => [
    { id: 'ground', origin: [0, 0, W], u: [1, 0, 0], v: [0, 0, -1], widthM: 1, heightM: W, reflectance: 1 },
    { id: 'wall', origin: [0, 0, 0], u: [1, 0, 0], v: [0, 1, 0], widthM: 1, heightM: H, reflectance: 0 },
  ];
  it.each([
    [1, 1, 0.2000438],
    [1, 2, 0.2328526],
    [2, 1, 0.1164263],
    [1, 0.5, 0.1461867],
  ])('wall and ground that meet, W %f to H %f: %f', (W, H, F) => {
    const model = built(plateScene(corner(W, H)), 16384, { patchM: 0.5 });
    expect(Math.abs(formFactor(model, 0, 1) / F - 1)).toBeLessThan(0.005);
  });

  const facing = (a: number, b: number, c: number, rho: number): Plate[] => [
    { id: 'low', origin: [0, 0, b], u: [1, 0, 0], v: [0, 0, -1], widthM: a, heightM: b, reflectance: rho },
    { id: 'high', origin: [0, c, 0], u: [1, 0, 0], v: [0, 0, 1], widthM: a, heightM: b, reflectance: rho === 1 ? 0 : rho },
  ];
  it.each([
    [1, 2, 0.2858754],
    [2, 2, 0.4152533],
    [10, 10, 0.8269945],
  ])('parallel plates %f × %f, 1 apart: %f', (a, b, F) => {
    const model = built(plateScene(facing(a, b, 1, 1)), a > 5 ? 1024 : 8192, { patchM: a > 5 ? 1 : 0.5 });
    expect(Math.abs(formFactor(model, 0, 1) / F - 1)).toBeLessThan(0.005);
  });

  it('large parallel plates, 100 lx on one: 133.33 and 66.67 lx in the middle (facts 2.6)', () => {
    const model = built(plateScene(facing(60, 60, 1, 0.5)), 256, { patchM: 3 });
    const E = model.bounced(litFace(model, 0).map((v) => v * 100));
    const middle = (face: number): number => E[model.patchAt(face, 30, 30) * 3 + 1]!;
    expect((100 + middle(0)) / 133.333).toBeCloseTo(1, 2);
    expect(middle(1) / 66.667).toBeCloseTo(1, 2);
  });
});

describe('closed rooms', () => {
  it.each([
    [0.5, 104.1667],
    [0.9, 937.5],
  ])('4 m cube, 10,000 lm, ρ %f: %f lx indirect on average (CIE 171:2006 5.8, by its formula)', (rho, lx) => {
    const model = built(plateScene(room(4, [rho, rho, rho])), 128);
    const direct = pointSourceLx(model, 4);
    const E = model.bounced(direct);
    expect(Math.abs(meanLx(model, E) / lx - 1)).toBeLessThan(0.005);
    const b = model.balance(direct);
    expect(b.emittedLm).toBeCloseTo(10000, 3);
    expect(b.escapedLm).toBe(0);
    expect(Math.abs((b.absorbedLm + b.escapedLm + b.takenLm) / b.emittedLm - 1)).toBeLessThan(0.005);
  });

  /** Isotropic 10,000 lm at the centre of the cube, scaled so that the flux on the patches is exactly that. */
  function pointSourceLx(model: BounceModel, a: number): Float64Array {
    const raw = model.patches.map((_, i) => {
      const p = model.pointsOf(i);
      let sum = 0;
      for (let k = 0; k < p.length; k += 3) {
        const d = [p[k]! - a / 2, p[k + 1]! - a / 2, p[k + 2]! - a / 2];
        sum += a / 2 / Math.hypot(...d) ** 3;
      }
      return (sum * 3) / p.length;
    });
    const flux = raw.reduce((s, lx, i) => s + lx * model.patches[i]!.areaM2, 0);
    return Float64Array.from(raw, (lx) => (lx * 10000) / flux);
  }

  it('1 m cube lit evenly on the floor, one patch a face (facts 2.6)', () => {
    const cases = [
      { rho: [0.5, 0.5, 0.5], floor: 1090.909, ceiling: 181.746, wall: 181.836 },
      { rho: [0.2, 0.8, 0.5], floor: 1041.934, ceiling: 72.056, wall: 76.021 },
    ] as const;
    for (const { rho, floor, ceiling, wall } of cases) {
      const model = built(plateScene(room(1, rho)), 8192, { patchM: 1, graded: false });
      expect(model.patches).toHaveLength(6);
      const E = model.bounced(litFace(model, 0).map((v) => v * 1000));
      expect(Math.abs((1000 + E[1]!) / floor - 1)).toBeLessThan(0.005);
      expect(Math.abs(E[4]! / ceiling - 1)).toBeLessThan(0.005);
      for (const face of [2, 3, 4, 5]) expect(Math.abs(E[face * 3 + 1]! / wall - 1)).toBeLessThan(0.005);
    }
  });

  it('sphere-like furnace: evenly lit from everywhere, every patch sees E·ρ/(1 − ρ)', () => {
    const model = built(plateScene(room(2, [0.7, 0.7, 0.7])), 64);
    const E = model.bounced(new Float64Array(model.patches.length).fill(30));
    for (let i = 0; i < model.patches.length; i++) expect(E[i * 3 + 1]! / 70).toBeCloseTo(1, 1);
    expect(meanLx(model, E) / 70).toBeCloseTo(1, 2.3);
  });
});

describe('the model', () => {
  const scene = (): SceneModel =>
    plateScene([
      yard(12, 0.3),
      { id: 'wall', origin: [-3, 0, 0], u: [1, 0, 0], v: [0, 1, 0], widthM: 6, heightM: 4, reflectance: 0.5 },
    ]);

  it('loses nothing in an open yard: emitted = absorbed + escaped + taken', () => {
    const model = built(scene(), 64);
    const b = model.balance(litFace(model, 1));
    expect(b.emittedLm).toBeCloseTo(24, 3);
    expect(b.escapedLm).toBeGreaterThan(5);
    expect(b.leftLm).toBeLessThan(0.001 * b.emittedLm);
    expect(Math.abs((b.absorbedLm + b.escapedLm + b.takenLm) / b.emittedLm - 1)).toBeLessThan(0.001);
  });

  it('lets leaves take their share: flux still closes, bare branches take none', () => {
    const s = scene();
    s.ellipsoids.push({ id: 'crown', centre: [0, 1.5, 2], radiiM: [2, 1.4, 1.5], leafAreaDensityM2M3: 1.5, clumping: 0.8 });
    const model = built(s, 64);
    const [on, bare] = [model.balance(litFace(model, 1), 'on'), model.balance(litFace(model, 1), 'bare')];
    for (const b of [on, bare]) expect(Math.abs((b.absorbedLm + b.escapedLm + b.takenLm) / 24 - 1)).toBeLessThan(0.001);
    expect(on.takenLm).toBeGreaterThan(1);
    expect(Math.abs(bare.takenLm)).toBeLessThan(1e-6);
    const behind = model.patchAt(0, 6, 1.5) * 3 + 1;
    expect(model.bounced(litFace(model, 1), 'on')[behind]!).toBeLessThan(0.6 * model.bounced(litFace(model, 1), 'bare')[behind]!);
    const without = built(scene(), 64);
    const onFaces = without.patches.length * 3;
    const E = without.bounced(litFace(without, 1));
    const bareE = model.bounced(litFace(model, 1), 'bare');
    for (let k = 0; k < onFaces; k++) expect(bareE[k]! - E[k]!).toBeCloseTo(0, 3);
  });

  it('is linear: two sources together are the sum of each', () => {
    const model = built(scene(), 64);
    const [a, b] = [litFace(model, 0), litFace(model, 1)];
    const both = model.bounced(a.map((v, i) => 3 * v + 0.2 * b[i]!));
    const [ea, eb] = [model.bounced(a), model.bounced(b)];
    const mean = meanLx(model, both);
    for (let i = 0; i < both.length; i++)
      expect(Math.abs(both[i]! - 3 * ea[i]! - 0.2 * eb[i]!)).toBeLessThan(0.004 * mean + 1e-6);
  });

  it('colours light by what it met: RGB reflectance and RGB source', () => {
    const s = scene();
    s.materials[1] = { ...s.materials[1]!, reflectanceRgb: [0.6, 0.3, 0.1] };
    const model = built(s, 64);
    const E = model.bounced(litFace(model, 1));
    expect(meanLx(model, E.subarray(0), 0)).toBeGreaterThan(0);
    const ground = model.patchAt(0, 6, 4) * 3;
    expect(E[ground]! / E[ground + 1]!).toBeCloseTo(2, 1);
    const red = model.bouncedRgb(Float64Array.from(model.patches.flatMap((p) => (p.face === 1 ? [1, 0, 0] : [0, 0, 0]))));
    expect(red[ground]!).toBeCloseTo(E[ground]!, 5);
    expect(red[ground + 1]!).toBe(0);
  });

  it('gives the same numbers every time, and the same whether built at once or in two goes', () => {
    const [a, b, c] = [built(scene(), 64), built(scene(), 64), built(scene(), 16)];
    c.buildAll(64);
    expect(c.raysPerPatch).toBe(64);
    const lit = litFace(a, 1);
    expect(b.bounced(lit)).toEqual(a.bounced(lit));
    expect(c.bounced(lit)).toEqual(a.bounced(lit));
  });

  it('keeps what it has while a build is given up half-way', () => {
    const model = built(scene(), 16);
    const before = model.bounced(litFace(model, 1));
    const building = model.build(64);
    for (let k = 0; k < 5; k++) building.next();
    expect(model.raysPerPatch).toBe(16);
    expect(model.bounced(litFace(model, 1))).toEqual(before);
    building.return();
    model.buildAll(64);
    expect(model.bounced(litFace(model, 1))).toEqual(built(scene(), 64).bounced(litFace(model, 1)));
  });

  it('agrees at an exact point with the closed form of a ground strip at a wall’s foot (facts 2.5)', () => {
    const strip: Plate = { ...yard(1, 0.5), origin: [-200, 0, 3], widthM: 400, heightM: 3 };
    for (const [D, F] of [
      [3, 0.1464466],
      [10, 0.3563261],
    ] as const) {
      const model = built(plateScene([{ ...strip, origin: [-200, 0, D], heightM: D }]), 1, { patchM: 2 });
      const B = new Float32Array(model.patches.length * 3).fill(100);
      const E = model.gatherAt([0, 3, 0], [0, 0, 1], B, { rays: 16384 });
      expect(Math.abs(E[1] / (100 * F) - 1)).toBeLessThan(0.005);
    }
  });

  it('brings .157080 lx to a vertical window from ground of .1 cd/m² (half space, facts 2.5)', () => {
    const model = built(plateScene([yard(3000, 0.2)]), 1, { patchM: 100 });
    const B = new Float32Array(model.patches.length * 3).fill(Math.PI * 0.1);
    expect(model.gatherAt([0, 1.5, 0], [0, 0, 1], B, { rays: 1024 })[1] / 0.15708).toBeCloseTo(1, 2.3);
  });

  it('gathers at a point what the patches hold there', () => {
    const model = built(scene(), 512);
    const lit = litFace(model, 1);
    const E = model.bounced(lit);
    const rgb = Float32Array.from(model.patches.flatMap((_, i) => [lit[i]!, lit[i]!, lit[i]!]));
    const B = model.radiosity(rgb, E);
    const patch = model.patchAt(0, 6.2, 4.2);
    const p = model.pointsOf(patch);
    let exact = 0;
    for (let k = 0; k < p.length; k += 3) exact += model.gatherAt([...p.slice(k, k + 3)], [0, 1, 0], B)[1] / (p.length / 3);
    expect(Math.abs(E[patch * 3 + 1]! / exact - 1)).toBeLessThan(0.03);
  });

  it('refuses wrong lengths and ray counts with what it would accept', () => {
    const model = built(scene(), 16);
    expect(() => model.bounced([1, 2])).toThrow(/length 2/);
    expect(() => model.buildAll(0.5)).toThrow(/whole number above 0/);
    expect(() => model.gatherAt([0, 1, 0], [0, 0, 0], [])).toThrow(/normal/);
  });
});
