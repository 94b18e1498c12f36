import { describe, expect, it } from 'vitest';
import { buildScene, type Face, faceAreaM2, propertyRecord, type SceneModel, wallAreaSummary } from '../../src/scene/index.ts';
import { brickHouse } from './massingHouse.ts';

const scene = buildScene(brickHouse(), { growPlants: false });

function faceOf(model: SceneModel, id: string): Face {
  const face = model.faces.find((f) => f.id === id);
  if (!face) throw new Error(`no face ${id}`);
  return face;
}

/** A document with the given parts and ground, nothing else. */
function sceneOf(parts: unknown[], rest: object = {}): SceneModel {
  const document = propertyRecord.parse({
    format: 'gloaming-property',
    version: 1,
    name: 'textbook',
    site: {},
    buildings: [{ id: 'b', name: 'b', parts }],
    ...rest,
  });
  return buildScene(document, { growPlants: false });
}

const totalM2 = (model: SceneModel, pattern: RegExp) =>
  model.faces.filter((f) => pattern.test(f.id)).reduce((sum, f) => sum + faceAreaM2(f), 0);

describe('walls against a hand sum', () => {
  it('front of 12.0 × 5.8 m with nine windows of .95 × 1.7 m and a door of .95 × 2.03 m', () => {
    const hand = 12 * 5.8 - 9 * 0.95 * 1.7 - 0.95 * 2.03;
    expect(faceAreaM2(faceOf(scene, 'front/outer'))).toBeCloseTo(hand, 9);
    const row = wallAreaSummary(brickHouse()).find((r) => r.wallId === 'front')!;
    expect(row.grossM2).toBeCloseTo(69.6, 9);
    expect(row.netM2).toBeCloseTo(hand, 9);
    expect(faceAreaM2(faceOf(scene, 'right/outer'))).toBeCloseTo(9 * 5.8, 9);
  });

  it('parapet of .6 m, .25 m thick: outside 12 m, inside 11.5 m, top mitred to (12 + 11.5)/2 × .25', () => {
    expect(faceAreaM2(faceOf(scene, 'front-parapet/outer'))).toBeCloseTo(12 * 0.6, 9);
    expect(faceAreaM2(faceOf(scene, 'front-parapet/inner'))).toBeCloseTo(11.5 * 0.6, 9);
    expect(faceAreaM2(faceOf(scene, 'front-parapet/top'))).toBeCloseTo(11.75 * 0.25, 9);
    /* Four tops close the ring exactly: 12 × 9 less 11.5 × 8.5. */
    expect(totalM2(scene, /-parapet\/top$/)).toBeCloseTo(12 * 9 - 11.5 * 8.5, 9);
    expect(scene.faces.some((f) => /-parapet\/end/.test(f.id))).toBe(false);
  });

  it('coping of 60 × 30 mm along both sides of the parapet, mitred at the corners', () => {
    /* Outer edge 12.06 m at the front, inner edge 11.5 − .06 m. */
    expect(faceAreaM2(faceOf(scene, 'front-parapet/coping/front'))).toBeCloseTo(12.06 * 0.06, 9);
    expect(faceAreaM2(faceOf(scene, 'front-parapet/copingInner/front'))).toBeCloseTo(11.44 * 0.06, 9);
    /* Tops of the inner strips close their ring: 11.5 × 8.5 less 11.44 × 8.44. */
    expect(totalM2(scene, /copingInner\/top$/)).toBeCloseTo(11.5 * 8.5 - 11.44 * 8.44, 9);
    expect(scene.faces.some((f) => /coping.*end/.test(f.id))).toBe(false);
  });

  it('the house is closed at the top by a lead flat, hidden where the roof stands on it', () => {
    const lid = faceOf(scene, 'front/lid');
    expect(faceAreaM2(lid)).toBeCloseTo(108, 9);
    const largest = Math.max(...lid.covers.map((c) => (c.s1 - c.s0) * (c.t1 - c.t0)));
    expect(largest).toBeGreaterThan(0.995 * 11.5 * 8.5);
    expect(largest).toBeLessThanOrEqual(11.5 * 8.5);
  });

  it('a wing hides what it covers of the main house, and a house below another its lid', () => {
    const ring = (name: string, x0: number, x1: number, baseM: number, heightM: number, openings: unknown[] = []) =>
      [
        [x0, 0, x1, 0],
        [x1, 0, x1, -4],
        [x1, -4, x0, -4],
        [x0, -4, x0, 0],
      ].map(([ax, az, bx, bz], i) => ({
        ...{ kind: 'wall', id: `${name}${i}`, from: [ax, az], to: [bx, bz], baseM, heightM, material: 'brickRed' },
        openings: i === 0 ? openings : [],
      }));
    const window = { id: 'o', kind: 'window', alongM: 2, sillM: 1, widthM: 1, heightM: 1 };
    const model = sceneOf([...ring('main', 0, 6, 0, 5), ...ring('wing', 6, 10, 0, 3, [window]), ...ring('top', 6, 8, 3, 2)]);
    const covered = (id: string) => faceOf(model, id).covers.reduce((sum, c) => sum + (c.s1 - c.s0) * (c.t1 - c.t0), 0);
    expect(covered('main1/outer')).toBeCloseTo(4 * 3 + 4 * 2, 6);
    expect(covered('wing3/outer')).toBeCloseTo(4 * 3, 3);
    expect(covered('wing0/lid')).toBeCloseTo(2 * 4, 3);
    expect(covered('wing0/o/revealLeft') + covered('wing0/o/frame')).toBe(0);
  });

  it('a wall over a falling lot gets its foot: .4 m at the low end, and into the ground', () => {
    const level = [
      [-1, -3],
      [11, -3],
      [11, 3],
      [-1, 3],
    ];
    const model = sceneOf([{ kind: 'wall', id: 'w', from: [0, 0], to: [10, 0], heightM: 2, material: 'brickRed' }], {
      ground: { levels: [{ id: 'g', outline: level, slopeX: -0.04, material: 'lawn' }], patches: [] },
    });
    expect(faceAreaM2(faceOf(model, 'w/outer'))).toBeCloseTo(20, 9);
    expect(faceOf(model, 'w/footing').heightM).toBeCloseTo(0.45, 9);
    expect(faceOf(model, 'w/footing').origin[1]).toBeCloseTo(-0.45, 9);
    expect(faceOf(model, 'w/footing').covers.length).toBeGreaterThan(8);
  });

  it('a garden wall alone has two faces, a top and two ends', () => {
    const t = 0.22;
    expect(totalM2(scene, /^side\//)).toBeCloseTo(2 * 9 * 1.9 + 9 * t + 2 * 1.9 * t, 9);
  });

  it('an opening stands where its record says', () => {
    /* upper-2: centre 3.7 m along from x = −6, so s from 3.225; sill 3.5 m; glass .1 m in; wall looks along +Z. */
    const pane = scene.panes.find((p) => p.id === 'front/upper-2')!;
    expect(pane.origin[0]).toBeCloseTo(-6 + 3.225, 9);
    expect(pane.origin[1]).toBeCloseTo(3.5, 9);
    expect(pane.origin[2]).toBeCloseTo(-0.1, 9);
    expect(pane.normal).toEqual([-0, 0, 1]);
    expect([pane.widthM, pane.heightM]).toEqual([expect.closeTo(0.95, 9), expect.closeTo(1.7, 9)]);
    const reveal = faceOf(scene, 'front/upper-2/revealLeft');
    expect(reveal.normal[0]).toBeCloseTo(1, 12);
    expect(reveal.origin[0]).toBeCloseTo(-2.775, 9);
    const perimeter = 2 * (0.95 + 1.7) * 0.1;
    expect(totalM2(scene, /^front\/upper-2\/reveal/)).toBeCloseTo(perimeter, 9);
  });

  it('the front of a wall turned by the compass keeps left and right', () => {
    const right = faceOf(scene, 'right/outer');
    expect(right.normal.map((c) => Math.round(c) + 0)).toEqual([1, 0, 0]);
    expect(right.u.map((c) => Math.round(c) + 0)).toEqual([0, 0, -1]);
  });
});

describe('string courses, sills and what they hide', () => {
  it('front 12 m plus one mitre of 30 mm where the course turns the corner', () => {
    expect(faceAreaM2(faceOf(scene, 'front/string/front'))).toBeCloseTo(12.03 * 0.15, 9);
    expect(faceAreaM2(faceOf(scene, 'front/string/top'))).toBeCloseTo(((12 + 12.03) / 2) * 0.03, 9);
    expect(scene.faces.some((f) => f.id === 'front/string/endRight')).toBe(false);
    expect(faceAreaM2(faceOf(scene, 'front/string/endLeft'))).toBeCloseTo(0.15 * 0.03, 9);
  });

  it('the wall is covered exactly where the course touches it', () => {
    const covers = faceOf(scene, 'right/outer').covers.filter((c) => c.t0 > 2 && c.t1 < 4);
    expect(covers).toHaveLength(1);
    expect(covers[0]!.s0).toBeCloseTo(0, 6);
    expect(covers[0]!.s1).toBeCloseTo(9, 6);
    expect(covers[0]!.t0).toBeCloseTo(2.9, 6);
    expect(covers[0]!.t1).toBeCloseTo(3.05, 6);
  });

  it('a course is broken by the openings it meets', () => {
    const model = sceneOf([
      {
        kind: 'wall',
        id: 'w',
        from: [0, 0],
        to: [6, 0],
        heightM: 3,
        material: { reflectance: 0.5 },
        openings: [{ id: 'o', kind: 'blank', alongM: 2, sillM: 0.5, widthM: 1, heightM: 2 }],
        courses: [{ id: 'c', undersideM: 1, heightM: 0.1, projectionM: 0.05, material: 'limestone' }],
      },
    ]);
    expect(faceAreaM2(faceOf(model, 'w/c/front'))).toBeCloseTo(1.5 * 0.1, 9);
    expect(faceAreaM2(faceOf(model, 'w/c-2/front'))).toBeCloseTo(3.5 * 0.1, 9);
  });

  it('hood and brackets hide their own footprint on wall and soffit', () => {
    const covers = faceOf(scene, 'front/outer').covers;
    const hood = covers.find((c) => Math.abs(c.t0 - 2.6) < 1e-6 && c.s1 - c.s0 > 1)!;
    expect([hood.s0, hood.s1, hood.t1]).toEqual([expect.closeTo(5.1, 6), expect.closeTo(6.9, 6), expect.closeTo(2.72, 6)]);
    expect(faceOf(scene, 'hood/under').covers).toHaveLength(2);
  });
});

describe('roofs against closed forms', () => {
  it('hip of equal pitches: area = plan / cos(pitch); without overhang and with', () => {
    const pitch = Math.atan((8.4 - 5.8) / (8.5 / 2));
    expect(totalM2(scene, /^roof\/slope/)).toBeCloseTo((11.5 * 8.5) / Math.cos(pitch), 9);
    const free = sceneOf([
      {
        kind: 'roof',
        id: 'r',
        form: 'hip',
        centre: [1, 2],
        sizeM: [6, 10],
        bearingDeg: 30,
        eavesM: 3,
        ridgeM: 5.12,
        overhangM: 0.4,
        material: 'slate',
      },
    ]);
    /* Edge .12 m deep: rise 2.0 m over 3 m. */
    const plan = 6.8 * 10.8;
    const secant = Math.hypot(1, 2 / 3);
    expect(totalM2(free, /^r\/slope/)).toBeCloseTo(plan * secant, 9);
    expect(totalM2(free, /^r\/soffit/)).toBeCloseTo(plan * secant, 9);
  });

  it('gable over 8 × 6 m: two slopes, two triangles of ½·6·rise', () => {
    const wall = (id: string, from: number[], to: number[]) => ({ kind: 'wall', id, from, to, heightM: 3, material: 'brickRed' });
    const model = sceneOf([
      wall('a', [-4, 3], [4, 3]),
      wall('b', [4, 3], [4, -3]),
      wall('c', [4, -3], [-4, -3]),
      wall('d', [-4, -3], [-4, 3]),
      { kind: 'roof', id: 'r', form: 'gable', centre: [0, 0], sizeM: [8, 6], eavesM: 3, ridgeM: 6, material: 'slate' },
    ]);
    expect(totalM2(model, /^r\/slope/)).toBeCloseTo(8 * 6 * Math.SQRT2, 9);
    expect(totalM2(model, /^r\/gable/)).toBeCloseTo(2 * 9, 9);
    expect(faceOf(model, 'r/gable-1').normal[0]).toBeCloseTo(1, 12);
    expect(faceOf(model, 'r/slope-1').normal[2]).toBeGreaterThan(0.7);
  });

  it('flat roof of 4 × 3 m with .5 m overhang', () => {
    const model = sceneOf([
      {
        kind: 'roof',
        id: 'r',
        form: 'flat',
        centre: [0, 0],
        sizeM: [4, 3],
        eavesM: 2.6,
        ridgeM: 2.8,
        overhangM: 0.5,
        material: 'leadGrey',
      },
    ]);
    expect(totalM2(model, /^r\/top/)).toBeCloseTo(20, 9);
    expect(totalM2(model, /^r\/soffit/)).toBeCloseTo(20, 9);
    expect(totalM2(model, /^r\/fascia/)).toBeCloseTo(18 * 0.2, 9);
  });
});

describe('textbook parts', () => {
  it('a closed room of 4 m has 96 m² looking inward', () => {
    const model = sceneOf([
      { kind: 'box', id: 'room', centre: [0, 2, 0], sizeM: [4, 4, 4], inward: true, material: { reflectance: 0.5 } },
    ]);
    expect(totalM2(model, /^room/)).toBeCloseTo(96, 9);
    for (const f of model.faces) {
      const toCentre = [0 - f.origin[0], 2 - f.origin[1], 0 - f.origin[2]];
      expect(f.normal[0] * toCentre[0]! + f.normal[1] * toCentre[1]! + f.normal[2] * toCentre[2]!).toBeCloseTo(2, 9);
    }
    expect(model.blocks).toHaveLength(0);
    expect(model.materials[0]).toEqual({ id: 'bare-0.5', reflectanceRgb: [0.5, 0.5, 0.5], ref: { reflectance: 0.5 } });
  });

  it('spheres have 4πr², inward and outward', () => {
    for (const inward of [true, false]) {
      const model = sceneOf([{ kind: 'sphere', id: 's', centre: [0, 5, 0], radiusM: 2, inward, material: { reflectance: 0.5 } }]);
      expect(totalM2(model, /^s\//)).toBeCloseTo(16 * Math.PI, 9);
      for (const f of model.faces) {
        const n = f.normal;
        const outward = n[0] * f.origin[0] + n[1] * (f.origin[1] - 5) + n[2] * f.origin[2];
        expect(Math.abs(outward)).toBeGreaterThan(2 * 0.94);
        expect(outward > 0).toBe(!inward);
      }
    }
  });

  it('a leaning panel keeps its area |u × v| on both sides', () => {
    const model = sceneOf([
      {
        kind: 'panel',
        id: 'p',
        corner: [1, 1, 1],
        u: [2, 0, 0],
        v: [-0.5, 1.5, 0],
        twoSided: true,
        luminanceCdM2: 100,
        material: { reflectance: 0 },
      },
    ]);
    expect(faceAreaM2(faceOf(model, 'p/front'))).toBeCloseTo(3, 9);
    expect(faceAreaM2(faceOf(model, 'p/back'))).toBeCloseTo(3, 9);
    expect(faceOf(model, 'p/front').normal[2]).toBeCloseTo(1, 12);
    expect(faceOf(model, 'p/back').normal[2]).toBeCloseTo(-1, 12);
    expect(faceOf(model, 'p/front').luminanceCdM2).toBe(100);
  });

  it('three steps of 150 × 300 mm, 2 m wide: treads, risers, stepped sides', () => {
    const model = sceneOf([
      {
        kind: 'steps',
        id: 's',
        at: [0, 0, 0],
        widthM: 2,
        riserM: 0.15,
        treadM: 0.3,
        count: 3,
        bearingDeg: 90,
        material: 'limestone',
      },
    ]);
    expect(model.faces.filter((f) => f.kind === 'tread')).toHaveLength(3);
    expect(totalM2(model, /tread/)).toBeCloseTo(3 * 2 * 0.3, 9);
    expect(totalM2(model, /riser/)).toBeCloseTo(3 * 2 * 0.15, 9);
    expect(totalM2(model, /side/)).toBeCloseTo(2 * 0.3 * 0.15 * (1 + 2 + 3), 9);
    /* Climbs toward +X: the first riser looks back along −X, the third tread lies at .45 m from x = .6 on. */
    expect(faceOf(model, 's/riser-1').normal[0]).toBeCloseTo(-1, 12);
    const top = faceOf(model, 's/tread-3');
    expect([top.origin[0], top.origin[1]]).toEqual([expect.closeTo(0.6, 9), expect.closeTo(0.45, 9)]);
    expect(top.normal[1]).toBeCloseTo(1, 12);
  });

  it('round columns and tubs stand for the circle by perimeter', () => {
    const model = sceneOf([
      { kind: 'column', id: 'c', at: [0, 0, 0], heightM: 2, widthM: 0.3, section: 'round', material: 'limestone' },
      { kind: 'tub', id: 't', at: [3, 0, 0], heightM: 0.5, topWidthM: 0.6, footWidthM: 0.4, material: 'terracotta' },
    ]);
    expect(totalM2(model, /^c\/side/)).toBeCloseTo(Math.PI * 0.3 * 2, 9);
    /* Frustum: π (r₁ + r₂) · slant, the slant of the flats within 0.2 % of the cone's. */
    expect(totalM2(model, /^t\/side/) / (Math.PI * 0.5 * Math.hypot(0.5, 0.1))).toBeCloseTo(1, 2);
  });

  it('a duct shows nothing', () => {
    const model = sceneOf([{ kind: 'duct', id: 'd', from: [0, -0.4, 0], to: [5, -0.4, 0], diameterM: 0.032 }]);
    expect(model.faces).toHaveLength(0);
    expect(model.occluders.count).toBe(0);
    expect(model.boundsMin).toEqual([0, 0, 0]);
  });

  it('unknown materials keep their id and turn grey', () => {
    const model = sceneOf([{ kind: 'box', id: 'x', centre: [0, 0, 0], sizeM: [1, 1, 1], material: 'noSuchStone' }]);
    expect(model.materials[0]).toEqual({ id: 'noSuchStone', reflectanceRgb: [0.3, 0.3, 0.3], ref: 'noSuchStone' });
  });
});

describe('the scene as a whole', () => {
  it('is the same, number for number, each time', () => {
    const again = buildScene(brickHouse(), { growPlants: false });
    expect(again.occluders).toEqual(scene.occluders);
    expect(again.faces).toEqual(scene.faces);
  });

  it('has one id a face, unit frames and triangles that agree with their face', () => {
    expect(new Set(scene.faces.map((f) => f.id)).size).toBe(scene.faces.length);
    for (const f of scene.faces) {
      expect(Math.hypot(...f.u)).toBeCloseTo(1, 12);
      expect(Math.hypot(...f.v)).toBeCloseTo(1, 12);
      expect(f.u[0] * f.v[0] + f.u[1] * f.v[1] + f.u[2] * f.v[2]).toBeCloseTo(0, 12);
      if (!f.sampled) expect(scene.faces.some((g) => g.id === f.neighbourId)).toBe(true);
    }
    const areas = new Float64Array(scene.faces.length);
    const { positionsM: p, face, count } = scene.occluders;
    for (let i = 0; i < count; i++) {
      if (face[i]! < 0) continue;
      const [a, b, c] = [0, 3, 6].map((k) => [p[i * 9 + k]!, p[i * 9 + k + 1]!, p[i * 9 + k + 2]!]) as [
        number[],
        number[],
        number[],
      ];
      const e = [0, 1, 2].map((k) => b[k]! - a[k]!);
      const g = [0, 1, 2].map((k) => c[k]! - a[k]!);
      const n = [e[1]! * g[2]! - e[2]! * g[1]!, e[2]! * g[0]! - e[0]! * g[2]!, e[0]! * g[1]! - e[1]! * g[0]!];
      const f = scene.faces[face[i]!]!;
      const along = n[0]! * f.normal[0] + n[1]! * f.normal[1] + n[2]! * f.normal[2];
      expect(along).toBeGreaterThan(0.999 * Math.hypot(...n));
      areas[face[i]!] = areas[face[i]!]! + along / 2;
    }
    scene.faces.forEach((f, i) => {
      expect(Math.abs(areas[i]! - faceAreaM2(f))).toBeLessThan(1e-4 * Math.max(1, faceAreaM2(f)));
    });
  });
});
