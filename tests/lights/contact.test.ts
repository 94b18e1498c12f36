import { beforeAll, describe, expect, it } from 'vitest';
import { luminanceOf, skyHorizontalLx } from '../../src/exposure/index.ts';
import { type ContactMap, openOfPatches, traceContact } from '../../src/lights/contact/index.ts';
import { hiddenShare } from '../../src/lights/contact/read.ts';
import { type Conditions, createLightModel, type LightModel } from '../../src/lights/index.ts';
import { solveBounced } from '../../src/lights/solve/bounced.ts';
import { solveDirect, solveEdges } from '../../src/lights/solve/direct.ts';
import { sharesOfSamples } from '../../src/lights/solve/indirect.ts';
import { adoptSources, createState, type SolverState } from '../../src/lights/solve/state.ts';
import { buildScene, type PropertyDocument, propertyRecord } from '../../src/scene/index.ts';

/** Under these the sky is even within 5 % from the zenith down to 30°, what the plate hides, and brighter only at the horizon. */
const EVEN: Conditions = { sunAltitudeDeg: -12, sunAzimuthDeg: 250, moon: 'none', cloud: 'overcast', leaves: 'on' };
const SURROUNDINGS = 'brightSuburb';

const BLACK = { reflectance: 0 };
const box = (id: string, centre: number[], sizeM: number[]) => ({ kind: 'box', id, name: id, centre, sizeM, material: BLACK });
/** A plate of 0.8 × 0.6 m, 1 mm thin, its underside 0.5 m above the ground. */
const [WIDE, DEEP, HIGH] = [0.8, 0.6, 0.5];
const TABLE = [box('table', [4, HIGH + 0.0005, 4], [WIDE, 0.001, DEEP])];

function yard(parts: object[]): PropertyDocument {
  const outline = [
    [0, 0],
    [8, 0],
    [8, 8],
    [0, 8],
  ];
  return propertyRecord.parse({
    format: 'gloaming-property',
    version: 1,
    name: 'Textbook',
    site: {},
    catalogue: { lamps: [] },
    ground: { levels: [{ id: 'yard', name: 'yard', outline, heightM: 0, material: BLACK }] },
    buildings: [{ id: 'b', name: 'b', parts }],
    schemes: [{ id: 's', name: 'S' }],
  });
}

/**
 * View factor from a small level area to a rectangle a × b at height c, parallel to it, one corner right above it.
 * @source J. R. Howell, A Catalog of Radiation Heat Transfer Configuration Factors, B-3.
 */
function cornerFactor(a: number, b: number, c: number): number {
  const [A, B] = [a / c, b / c];
  const [x, y] = [Math.sqrt(1 + A * A), Math.sqrt(1 + B * B)];
  return ((A / x) * Math.atan(B / x) + (B / y) * Math.atan(A / y)) / (2 * Math.PI);
}

/** The same for the plate from a place at (x, z) off its middle: four corners, those beyond the place taken off. */
function plateFactor(x: number, z: number): number {
  let sum = 0;
  for (const a of [WIDE / 2 - x, WIDE / 2 + x]) {
    for (const b of [DEEP / 2 - z, DEEP / 2 + z]) sum += Math.sign(a * b) * cornerFactor(Math.abs(a), Math.abs(b), HIGH);
  }
  return sum;
}

const PLACES: [string, number, number][] = [
  ['under the middle', 0, 0],
  ['under an edge', 0.4, 0],
  ['under a corner', 0.4, 0.3],
  ['0.2 m beside', 0.6, 0],
  ['0.3 m before', 0.1, 0.6],
  ['0.5 m off a corner', 0.75, 0.65],
];

function mapOf(document: PropertyDocument): ContactMap {
  const steps = traceContact(buildScene(document));
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** A solve without lamps; the ground lies with s along x, t along −z. */
function solved(parts: object[], kernels: 'auto' | 'off' = 'auto'): LightModel {
  const model = createLightModel(buildScene(yard(parts)), { surroundings: SURROUNDINGS, kernels });
  model.setSources([], EVEN);
  model.solveAll();
  return model;
}

function groundLx(model: LightModel, x: number, z: number): number {
  const face = model.scene.faces.findIndex((f) => f.id === 'yard/top');
  const { origin, u, v } = model.scene.faces[face]!;
  const d = [x - origin[0], 0, z - origin[2]];
  const along = (axis: readonly number[]): number => axis.reduce((sum, c, k) => sum + c * d[k]!, 0);
  return luminanceOf(model.sampleField(face, along(u), along(v))!.indirectRgb);
}

describe('contact shade of a plate over the ground (Howell B-3)', () => {
  it.each(PLACES)('hides its view factor %s, within 0.015', (_, x, z) => {
    const squares = mapOf(yard(TABLE)).faces.get('yard/top')!;
    // The plate stands over the middle of the yard: either way along the axes is the same.
    expect(Math.abs(hiddenShare(squares, 4 + x, 4 + z) - plateFactor(x, z))).toBeLessThan(0.015);
  });

  describe('in the field under an even sky', () => {
    let model: LightModel;
    beforeAll(() => {
      model = solved(TABLE);
    });
    it.each(PLACES)('leaves 1 − F of the open sky %s, within 0.03', (_, x, z) => {
      const share = groundLx(model, 4 + x, 4 + z) / skyHorizontalLx(EVEN, SURROUNDINGS);
      expect(Math.abs(share - (1 - plateFactor(x, z)))).toBeLessThan(0.03);
    });
  });
});

describe('contact shade', () => {
  const pot = box('pot', [4, 0.25, 4], [0.5, 0.5, 0.5]);
  const chair = [
    box('seat', [2, 0.44, 2.1], [0.4, 0.04, 0.4]),
    ...[1.82, 2.18].flatMap((x) => [1.92, 2.28].map((z) => box(`leg-${x}-${z}`, [x, 0.21, z], [0.03, 0.42, 0.03]))),
  ];

  function state(parts: object[]): SolverState {
    const made = createState(buildScene(yard(parts)), { surroundings: SURROUNDINGS });
    adoptSources(made, [], EVEN);
    for (const stage of [solveDirect(made), solveEdges(made), solveBounced(made)]) for (const _ of stage) void _;
    return made;
  }

  it('keeps the light of the patches: what the samples of all patches near get is what the patches have, within 1 %', () => {
    const made = state([...TABLE, pot, ...chair]);
    const face = made.scene.faces.findIndex((f) => f.id === 'yard/top');
    const { widthM, heightM } = made.scene.faces[face]!;
    const open = openOfPatches(made.contact.map!, made.bounce, made.scene);
    let [field, patches] = [0, 0];
    for (const node of made.leaves) {
      if (node.ref.face !== face) continue;
      const { sample, patch, areaM2 } = sharesOfSamples(made.bounce, node, widthM, heightM);
      for (let n = 0; n < sample.length; n++) {
        const p = patch[n]!;
        if (open[p * 3]! > 0.98) continue;
        field += areaM2[n]! * made.atlas.field.indirectRgb[(node.ref.slot * 1024 + sample[n]!) * 3 + 1]!;
        patches += areaM2[n]! * made.shownRgb[p * 3 + 1]!;
      }
    }
    expect(patches).toBeGreaterThan(0);
    expect(Math.abs(field / patches - 1)).toBeLessThan(0.01);
  });

  it('asks for samples 4 cm apart at legs, without any lamp, and for none far off', () => {
    const model = solved(chair);
    const face = model.scene.faces.findIndex((f) => f.id === 'yard/top');
    const cellAt = (s: number, t: number): number => {
      const tile = model.field.tiles.find(
        (q) => q.face === face && s >= q.s0M && s <= q.s0M + 30 * q.cellM && t >= q.t0M && t <= q.t0M + 30 * q.cellM,
      );
      return tile!.cellM;
    };
    // s runs with x, t against z: the chair stands at 2, 8 − 2.1.
    expect(cellAt(1.82, 8 - 1.92)).toBeLessThanOrEqual(0.04);
    expect(cellAt(7.5, 0.5)).toBeGreaterThan(0.1);
  });

  it('is the same with and without kernels, within 0.2 %', () => {
    const [fast, plain] = [solved(chair), solved(chair, 'off')];
    for (let x = 1.5; x < 2.6; x += 0.07) {
      for (let z = 1.6; z < 2.7; z += 0.07) {
        const lx = groundLx(plain, x, z);
        expect(Math.abs(groundLx(fast, x, z) - lx)).toBeLessThan(0.002 * Math.max(lx, 0.01));
      }
    }
  });

  it('goes with what throws it', () => {
    const model = solved([...chair, pot]);
    const [beside, under] = [groundLx(model, 4.29, 4), groundLx(model, 2, 2.1)];
    model.adoptScene(buildScene(yard([pot])));
    model.setSources([], EVEN);
    model.solveAll();
    expect(groundLx(model, 2, 2.1)).toBeGreaterThan(1.3 * under);
    expect(Math.abs(groundLx(model, 4.29, 4) / beside - 1)).toBeLessThan(0.05);
  });

  it('leaves out what patches resolve: walls and long slabs', () => {
    const wall = {
      kind: 'wall',
      id: 'wall',
      name: 'wall',
      from: [2, 4],
      to: [6, 4],
      baseM: 0,
      heightM: 2,
      thicknessM: 0.3,
      material: BLACK,
      freeStanding: true,
    };
    const slab = box('slab', [4, 2.5, 2], [5, 0.2, 3]);
    expect(mapOf(yard([wall, slab])).faces.size).toBe(0);
    expect(mapOf(yard([wall, slab, pot])).faces.size).toBe(1);
  });
});
