import { describe, expect, it } from 'vitest';
import { luminanceOf, skyHorizontalLx } from '../../src/exposure/index.ts';
import type { BounceModel } from '../../src/lights/bounce/index.ts';
import { createBounceModel, polygonFactor } from '../../src/lights/bounce/index.ts';
import { createCaster } from '../../src/lights/rays/index.ts';
import type { Conditions } from '../../src/lights/types.ts';
import type { SceneModel, Vec3 } from '../../src/scene/index.ts';
import { type Plate, plateScene, room, yard } from './bounceScenes.ts';

const dusk: Conditions = { sunAltitudeDeg: -6, sunAzimuthDeg: 250, moon: 'none', cloud: 'clear', leaves: 'on' };
const overcast: Conditions = { ...dusk, cloud: 'overcast' };

function built(scene: SceneModel, rays: number, options: Parameters<typeof createBounceModel>[2] = {}): BounceModel {
  const model = createBounceModel(scene, createCaster(scene), options);
  model.buildAll(rays);
  return model;
}

const Y = (rgb: ArrayLike<number>, patch: number): number =>
  luminanceOf([rgb[patch * 3]!, rgb[patch * 3 + 1]!, rgb[patch * 3 + 2]!]);

describe('sky', () => {
  it('brings its figure to an open yard, by patches and by exact rays', () => {
    const model = built(plateScene([yard(8, 0.2)]), 512, { patchM: 2 });
    for (const conditions of [dusk, overcast, { ...dusk, sunAltitudeDeg: -12 }]) {
      const E = skyHorizontalLx(conditions, 'suburb');
      const { skyRgb } = model.ambient(conditions, 'suburb');
      for (let i = 0; i < model.patches.length; i++) expect(Math.abs(Y(skyRgb, i) / E - 1)).toBeLessThan(0.01);
      expect(Math.abs(luminanceOf(model.skyAt([0, 0, 0], [0, 1, 0], conditions, 'suburb')) / E - 1)).toBeLessThan(0.005);
    }
  });

  it('is halved at the foot of an endless wall and on the wall itself under an even sky', () => {
    const wall: Plate = {
      id: 'wall',
      origin: [-2000, 0, 0],
      u: [1, 0, 0],
      v: [0, 1, 0],
      widthM: 4000,
      heightM: 4000,
      reflectance: 0,
    };
    const scene = plateScene([yard(4, 0), wall]);
    const model = built(scene, 1, { patchM: 1000 });
    const E = skyHorizontalLx(overcast, 'village');
    expect(luminanceOf(model.skyAt([0, 0, 0.001], [0, 1, 0], overcast, 'village')) / (E / 2)).toBeCloseTo(1, 2);
    // CIE overcast sky on a vertical plane: E_v/E_h = .3961 = (3/14)·(1/2 + 4/(3π))·2, closed form of (1 + 2 sin γ)/3.
    const vertical = luminanceOf(model.skyAt([0, 2, 0], [0, 0, 1], overcast, 'darkRural'));
    const total = skyHorizontalLx({ ...overcast, sunAltitudeDeg: -3 }, 'darkRural');
    const early = luminanceOf(model.skyAt([0, 2, 0], [0, 0, 1], { ...overcast, sunAltitudeDeg: -3 }, 'darkRural'));
    expect(early / total).toBeCloseTo((3 / 7) * (1 / 2 + 4 / (3 * Math.PI)), 2);
    expect(vertical).toBeGreaterThan(0);
  });

  it('is nil in a closed room and brighter toward the sun', () => {
    const closed = built(plateScene(room(3, [0.5, 0.5, 0.5])), 32);
    expect(Math.max(...closed.ambient(dusk, 'town').skyRgb)).toBe(0);
    const open = built(plateScene([yard(8, 0.2)]), 16);
    const facing = (azimuth: number): number => {
      const a = (azimuth * Math.PI) / 180;
      return luminanceOf(open.skyAt([0, 1, 0], [Math.sin(a), 0, -Math.cos(a)], dusk, 'suburb'));
    };
    expect(facing(250)).toBeGreaterThan(2 * facing(70));
  });

  it('re-weights its kept responses: twice the sky is twice the light, moon added on its own', () => {
    const wall: Plate = { id: 'wall', origin: [-2, 0, 0], u: [1, 0, 0], v: [0, 1, 0], widthM: 4, heightM: 3, reflectance: 0.5 };
    const model = built(plateScene([yard(10, 0.3), wall]), 64);
    const late = { ...dusk, sunAltitudeDeg: -18 };
    const [dark, town] = [model.ambient(late, 'darkRural').skyRgb, model.ambient({ ...late, cloud: 'overcast' }, 'town').skyRgb];
    const patch = model.patchAt(0, 5, 3);
    expect(Y(town, patch) / Y(dark, patch)).toBeGreaterThan(200);
    const moonlit = model.ambient({ ...late, moon: 'full' }, 'darkRural').skyRgb;
    const exact = model.skyAt([0, 0, 3], [0, 1, 0], { ...late, moon: 'full' }, 'darkRural');
    const added = Y(moonlit, model.patchAt(0, 5, 2)) - Y(dark, model.patchAt(0, 5, 2));
    expect(added).toBeGreaterThan(0.1);
    expect(Math.abs(added / (luminanceOf(exact) - 0.001) - 1)).toBeLessThan(0.15);
  });

  it('is the same when its responses were made ready bit by bit', () => {
    const scene = plateScene([yard(6, 0.3)]);
    scene.panes.push(litPane([-1, 1, -1], [1, 0, 0], [0, 0, 1], 1, 1, 10));
    const [ready, other] = [built(scene, 16, { patchM: 1 }), built(scene, 16, { patchM: 1 })];
    let steps = 0;
    for (const _ of ready.prepareAmbient('on')) steps++;
    expect(steps).toBe(8);
    expect(ready.ambient(dusk, 'suburb')).toEqual(other.ambient(dusk, 'suburb'));
  });

  it('falls through leaves by Beer–Lambert: G .5, density 2 m²/m³, 1 m of path lets .3679 pass (facts 8.2)', () => {
    const scene = plateScene([yard(4, 0)]);
    const at = (index: number): Vec3 => [index, 2, 0];
    scene.ellipsoids.push({ id: 'crown', centre: at(0), radiiM: [400, 0.5, 400], leafAreaDensityM2M3: 2, clumping: 1 });
    scene.panes.push(litPane([-0.1, 4, -0.1], [1, 0, 0], [0, 0, 1], 0.2, 0.2, 1000));
    const model = built(scene, 1);
    const on = luminanceOf(model.panesAt([0, 0, 0], [0, 1, 0], 'on'));
    const bare = luminanceOf(model.panesAt([0, 0, 0], [0, 1, 0], 'bare'));
    expect(on / bare).toBeCloseTo(Math.exp(-1), 2);
    expect(bare / ((1000 * 0.04) / 16)).toBeCloseTo(1, 2);
  });
});

/** A lit pane that faces u × v. */
function litPane(origin: Vec3, u: Vec3, v: Vec3, widthM: number, heightM: number, litCdM2: number): SceneModel['panes'][number] {
  const normal: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  return {
    id: 'pane',
    origin,
    u,
    v,
    normal,
    widthM,
    heightM,
    panesAcross: 1,
    panesUp: 1,
    litCdM2,
    litCctK: 4000,
    frameMaterial: 0,
  };
}

describe('lit panes and luminous panels', () => {
  const rectangle = (a: number, b: number, y: number): Vec3[] => [
    [0, y, 0],
    [a, y, 0],
    [a, y, b],
    [0, y, b],
  ];
  it.each([
    [1, 1, 1, 0.1385316],
    [2, 1, 1, 0.167375],
    [1, 1, 3, 0.0308294],
    [0.5, 0.5, 2, 0.0183694],
  ])('rectangle %f × %f parallel over its corner at %f: factor %f (facts 2.4)', (a, b, c, F) => {
    expect(polygonFactor(rectangle(a, b, c), [0, -1, 0], [0, 0, 0], [0, 1, 0])).toBeCloseTo(F, 6);
  });

  it.each([
    [1, 1, 1, 0.0557342],
    [3, 2, 1, 0.1478254],
    [2.5, 4, 2, 0.0871431],
  ])('upright rectangle %f high, %f wide, at distance %f on level ground: factor %f (facts 2.4)', (a, b, c, F) => {
    const corners: Vec3[] = [
      [0, 0, 0],
      [b, 0, 0],
      [b, a, 0],
      [0, a, 0],
    ];
    expect(polygonFactor(corners, [0, 0, 1], [0, 0, c], [0, 1, 0])).toBeCloseTo(F, 6);
    expect(polygonFactor(corners, [0, 0, -1], [0, 0, c], [0, 1, 0])).toBe(0);
    expect(polygonFactor(corners, [0, 0, 1], [0, 0, c], [0, -1, 0])).toBe(0);
  });

  it('counts only what stands above the receiver’s horizon', () => {
    const sunk: Vec3[] = [
      [0, -2, 0],
      [2, -2, 0],
      [2, 3, 0],
      [0, 3, 0],
    ];
    expect(polygonFactor(sunk, [0, 0, 1], [0, 0, 1], [0, 1, 0])).toBeCloseTo(0.1478254, 6);
  });

  it('1000 cd/m² on 2 × 2 m gives 1740.84 lx at 1 m over its centre (facts 2.4)', () => {
    const scene = plateScene([yard(4, 0)]);
    scene.panes.push(litPane([-1, 1, -1], [1, 0, 0], [0, 0, 1], 2, 2, 1000));
    const model = built(scene, 1);
    expect(luminanceOf(model.panesAt([0, 0, 0], [0, 1, 0])) / 1740.84).toBeCloseTo(1, 4);
  });

  it('spreads π·L·A lumens over a closed room, then E_ind = Φρ/(A(1 − ρ)) on average', () => {
    const plates = room(3, [0.5, 0.5, 0.5]);
    const lamp: Plate = {
      id: 'lamp',
      origin: [1, 2.999, 1],
      u: [1, 0, 0],
      v: [0, 0, 1],
      widthM: 1,
      heightM: 1,
      reflectance: 0.5,
      luminanceCdM2: 100,
    };
    const model = built(plateScene([...plates, lamp]), 64, { patchM: 0.3 });
    const { panesRgb } = model.ambient(dusk, 'suburb');
    const { panesRgb: B } = model.ambientRadiosity(dusk, 'suburb');
    let [landed, sent] = [0, 0];
    model.patches.forEach((p, i) => {
      landed += Y(panesRgb, i) * p.areaM2;
      sent += Y(B, i) * p.areaM2;
    });
    const flux = Math.PI * 100;
    expect(Math.abs((landed - sent) / flux - 1)).toBeLessThan(0.01);
  });

  it('throws no light through a wall', () => {
    const wall: Plate = { id: 'wall', origin: [-5, 0, 1], u: [1, 0, 0], v: [0, 1, 0], widthM: 10, heightM: 10, reflectance: 0.5 };
    const scene = plateScene([yard(10, 0.2), wall]);
    scene.panes.push(litPane([-1, 1, 0], [1, 0, 0], [0, 1, 0], 2, 1, 50));
    const model = built(scene, 64);
    expect(luminanceOf(model.panesAt([0, 0, 0.6], [0, 1, 0]))).toBeGreaterThan(1);
    expect(luminanceOf(model.panesAt([0, 0, 2], [0, 1, 0]))).toBe(0);
    const { panesRgb } = model.ambient(dusk, 'suburb');
    expect(Y(panesRgb, model.patchAt(0, 5, 1))).toBeLessThan(0.05 * Y(panesRgb, model.patchAt(0, 5, 4.6)));
  });
});

describe('patches', () => {
  const window: [number, number][] = [
    [1, 1],
    [2.2, 1],
    [2.2, 2.5],
    [1, 2.5],
  ];
  const outline: [number, number][] = [
    [0, 0],
    [6, 0],
    [6, 4],
    [0, 4],
  ];
  const wall: Plate = {
    id: 'wall',
    origin: [0, 0, 0],
    u: [1, 0, 0],
    v: [0, 1, 0],
    widthM: 6,
    heightM: 4,
    reflectance: 0.4,
    loops: [outline, window],
    covers: [{ s0: 0, t0: 2.8, s1: 6, t1: 3 }],
  };

  it('cover the face exactly: its area less the window and the course', () => {
    const model = createBounceModel(plateScene([wall]), createCaster(plateScene([wall])));
    const area = model.patches.reduce((sum, p) => sum + p.areaM2, 0);
    expect(area).toBeCloseTo(24 - 1.8 - 1.2, 6);
    for (const p of model.patches) {
      expect(p.s1M - p.s0M).toBeLessThan(0.6);
      expect(p.t0M >= 3 - 1e-9 || p.t1M <= 2.8 + 1e-9).toBe(true);
    }
    expect(model.patchAt(0, 1.5, 2)).toBe(-1);
    expect(model.patchAt(0, 3, 2.9)).toBe(-1);
  });

  it('are cut to slanted outlines', () => {
    const gable: Plate = {
      ...wall,
      loops: [
        [
          [0, 0],
          [6, 0],
          [3, 4],
        ],
      ],
      covers: [],
    };
    const model = createBounceModel(plateScene([gable]), createCaster(plateScene([gable])));
    expect(model.patches.reduce((sum, p) => sum + p.areaM2, 0)).toBeCloseTo(12, 6);
    const p = model.pointsOf(model.patchAt(0, 3, 3.9));
    for (let k = 0; k < p.length; k += 3) expect(p[k + 1]! - 0.001).toBeLessThan((4 / 3) * Math.min(p[k]!, 6 - p[k]!));
  });

  it('interpolate between valid patches of one face; weights sum to 1', () => {
    const model = createBounceModel(plateScene([wall]), createCaster(plateScene([wall])));
    for (const [s, t] of [
      [0, 0],
      [0.9, 1.8],
      [1.6, 1.7],
      [3, 2.9],
      [5.99, 3.99],
    ] as const) {
      const w = model.interpolate(0, s, t);
      expect(w.count).toBeGreaterThan(0);
      let sum = 0;
      for (let k = 0; k < w.count; k++) {
        sum += w.weight[k]!;
        expect(model.patches[w.patch[k]!]!.face).toBe(0);
      }
      expect(sum).toBeCloseTo(1, 5);
    }
    const [s, t] = [4.13, 1.31];
    const between = model.interpolate(0, s, t);
    expect(between.count).toBe(4);
    let [meanS, meanT] = [0, 0];
    for (let k = 0; k < 4; k++) {
      const p = model.patches[between.patch[k]!]!;
      meanS += (between.weight[k]! * (p.s0M + p.s1M)) / 2;
      meanT += (between.weight[k]! * (p.t0M + p.t1M)) / 2;
    }
    expect(meanS).toBeCloseTo(s, 5);
    expect(meanT).toBeCloseTo(t, 5);
    const patch = model.patches[model.patchAt(0, 4, 1.2)]!;
    const w = model.interpolate(0, (patch.s0M + patch.s1M) / 2, (patch.t0M + patch.t1M) / 2);
    expect(w.patch[0]).toBe(model.patchAt(0, 4, 1.2));
    expect(w.weight[0]).toBeCloseTo(1, 5);
    expect(model.interpolate(7, 0, 0).count).toBe(0);
  });

  it('carry nothing across a wall that stands between two of them', () => {
    const screen: Plate = {
      id: 'screen',
      origin: [0, 0, 2],
      u: [0, 0, -1],
      v: [0, 1, 0],
      widthM: 4,
      heightM: 1,
      reflectance: 0.5,
    };
    const scene = plateScene([yard(8, 0.2), screen]);
    const model = built(scene, 64);
    for (const [s, side] of [
      [4.05, 1],
      [3.95, -1],
    ] as const) {
      const w = model.interpolate(0, s, 4.2);
      expect(w.count).toBeGreaterThan(0);
      for (let k = 0; k < w.count; k++) {
        const p = model.patches[w.patch[k]!]!;
        expect(Math.sign((p.s0M + p.s1M) / 2 - 4)).toBe(side);
      }
    }
    expect(model.interpolate(0, 4.08, 7.2).count).toBe(4);
    const E = model.bounced(model.patches.map((p) => (p.face === 1 ? 100 : 0)));
    expect(E[model.patchAt(0, 4.25, 4.2) * 3]!).toBeGreaterThan(8);
    expect(E[model.patchAt(0, 3.75, 4.2) * 3]!).toBe(0);
  });

  it('grow coarser until they fit the budget, and ground coarsens away from what stands on it', () => {
    const big = plateScene([yard(120, 0.1)]);
    const most = createBounceModel(big, createCaster(big), { mostPatches: 900 });
    expect(most.patches.length).toBeLessThanOrEqual(900);
    expect(most.patches.reduce((sum, p) => sum + p.areaM2, 0)).toBeCloseTo(14400, 4);
    const planes = Float32Array.of(1, 0, 0, 2, -1, 0, 0, 2, 0, 1, 0, 3, 0, -1, 0, 0, 0, 0, 1, 2, 0, 0, -1, 2);
    const house = plateScene([yard(60, 0.1)]);
    house.blocks.push({ partId: 'house', planes, min: [-2, 0, -2], max: [2, 3, 2] });
    const model = createBounceModel(house, createCaster(house));
    expect(model.patchAt(0, 30, 30)).toBe(-1);
    expect(model.patches.reduce((sum, p) => sum + p.areaM2, 0)).toBeCloseTo(3600 - 16, 1);
    const near = model.patches[model.patchAt(0, 33, 30.1)]!;
    const far = model.patches[model.patchAt(0, 59, 59)]!;
    expect(near.s1M - near.s0M).toBeLessThan(0.6);
    expect(far.s1M - far.s0M).toBeGreaterThan(1.5);
  });
});
