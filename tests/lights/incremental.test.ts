import { describe, expect, it } from 'vitest';
import { createLightModel, type LightModel, type Source } from '../../src/lights/index.ts';
import { buildScene, type PropertyDocument, propertyRecord } from '../../src/scene/index.ts';
import { NIGHT, testSource } from './testSource.ts';

const DUSK = { ...NIGHT, sunAltitudeDeg: -6, sunAzimuthDeg: 270 };
const OPTIONS = { bounceRays: 4, tileBudget: 3000 };

type Part = { id: string; kind: string; [key: string]: unknown };

const PARTS: Part[] = [
  {
    kind: 'wall',
    id: 'front',
    name: 'front',
    from: [0, 0],
    to: [5, 0],
    baseM: 0,
    heightM: 2.8,
    thicknessM: 0.3,
    material: 'brickBuffWeathered',
    freeStanding: true,
  },
  {
    kind: 'wall',
    id: 'side',
    name: 'side',
    from: [7, 3],
    to: [7, -1],
    baseM: 0,
    heightM: 2,
    thicknessM: 0.22,
    material: 'limestone',
    freeStanding: true,
  },
  {
    kind: 'hood',
    id: 'hood',
    name: 'hood',
    at: [2, 2, 0],
    bearingDeg: 180,
    widthM: 1.2,
    depthM: 0.6,
    thicknessM: 0.1,
    brackets: true,
    material: 'paintedTimberWhite',
  },
  { kind: 'box', id: 'bench', name: 'bench', centre: [4.2, 0.25, 1.2], sizeM: [1, 0.5, 0.4], material: 'limestone' },
];
const tree = (x: number, z: number) => ({
  kind: 'plant',
  id: 'tree',
  name: 'tree',
  habit: 'multiStem',
  at: [x, z],
  baseM: 0,
  heightM: 2.4,
  spreadM: 1.4,
  crownBaseM: 0.8,
  trunkDiameterM: 0.08,
  density: 'thin',
  bark: 'pale',
  growth: 'medium',
  seed: 7,
});
const shrub = { ...tree(1, 1.6), id: 'shrub', habit: 'shrub', heightM: 0.6, spreadM: 0.6, crownBaseM: 0.1, seed: 3 };

function garden(parts: Part[] = PARTS, planting: object[] = [tree(5.8, 1.8), shrub]): PropertyDocument {
  return propertyRecord.parse({
    format: 'gloaming-property',
    version: 1,
    name: 'Textbook',
    site: {},
    catalogue: { lamps: [] },
    ground: {
      levels: [
        {
          id: 'lawn',
          name: 'lawn',
          outline: [
            [-2, -2],
            [9, -2],
            [9, 5],
            [-2, 5],
          ],
          heightM: 0,
          material: 'lawn',
        },
      ],
    },
    buildings: [{ id: 'b', name: 'b', parts }],
    planting,
    schemes: [{ id: 's', name: 'S' }],
  });
}
const edited = (id: string, change: object): Part[] => PARTS.map((p) => (p.id === id ? { ...p, ...change } : p));
const lamps = (): Source[] => [
  testSource([1.2, 0.1, 0.5], [1.2, 2.6, 0.1], { id: 'a', beamAngleFullDeg: 36, lensRadiusM: 0.02, spillShare: 0.1 }),
  testSource([3.6, 0.1, 0.7], [3.6, 2.6, 0.1], { id: 'b', beamAngleFullDeg: 60, lensRadiusM: 0.02, spillShare: 0.1, cctK: 4000 }),
  testSource([5.2, 0.1, 2.6], [5.8, 1.6, 1.8], { id: 'c', beamAngleFullDeg: 50, lensRadiusM: 0.02, spillShare: 0.1 }),
];

function solved(document: PropertyDocument): LightModel {
  const model = createLightModel(buildScene(document), OPTIONS);
  model.setSources(lamps(), DUSK);
  model.solveAll();
  return model;
}

function adopted(model: LightModel, document: PropertyDocument): LightModel {
  model.adoptScene(buildScene(document));
  model.setSources(lamps(), DUSK);
  model.solveAll();
  return model;
}

/** Where and by how much two fields differ most, as |Δ| ÷ max(value, 0.01 lx); tiles and masks must be the same. */
function largestDifference(a: LightModel, b: LightModel): { share: number; where: string } {
  const slots = (m: LightModel) => new Map(m.field.tiles.map((t) => [t.id, t.slot]));
  const [of, against] = [slots(a), slots(b)];
  expect([...of.keys()].sort()).toEqual([...against.keys()].sort());
  const worst = { share: 0, where: '' };
  const compare = (x: number, y: number, where: () => string) => {
    const share = Math.abs(x - y) / Math.max(0.01, Math.abs(y));
    if (share > worst.share) Object.assign(worst, { share, where: `${where()}: ${x} against ${y}` });
  };
  let masks = 0;
  for (const [id, slot] of of) {
    const other = against.get(id)!;
    for (let k = 0; k < 1024; k++) {
      if (a.field.valid[slot * 1024 + k] !== b.field.valid[other * 1024 + k]) masks++;
      if (!b.field.valid[other * 1024 + k]) continue;
      for (let c = 0; c < 3; c++) {
        const [i, j] = [(slot * 1024 + k) * 3 + c, (other * 1024 + k) * 3 + c];
        for (const list of ['directRgb', 'vector', 'indirectRgb'] as const) {
          compare(a.field[list][i]!, b.field[list][j]!, () => `${list} of ${id} sample ${k & 31}, ${k >> 5} number ${c}`);
        }
      }
    }
  }
  expect(masks).toBe(0);
  expect(a.field.cards.length).toBe(b.field.cards.length);
  for (const list of ['cards', 'strandRgb'] as const) {
    for (let k = 0; k < a.field[list].length; k++) compare(a.field[list][k]!, b.field[list][k]!, () => `${list} ${k}`);
  }
  return worst;
}

function expectSame(model: LightModel, fresh: LightModel): void {
  const { share, where } = largestDifference(model, fresh);
  expect(share < 2e-3 ? '' : where).toBe('');
}

const EDITS: [string, PropertyDocument][] = [
  ['a wall moved by 0.2 m', garden(edited('side', { from: [7.2, 3], to: [7.2, -1] }))],
  ['a tree moved', garden(PARTS, [tree(5.2, 1.2), shrub])],
  ['a hood deepened', garden(edited('hood', { depthM: 0.9 }))],
  [
    'a box added',
    garden([
      ...PARTS,
      { kind: 'box', id: 'post', name: 'post', centre: [2.8, 0.5, 0.9], sizeM: [0.3, 1, 0.3], material: 'limestone' },
    ]),
  ],
  ['a box taken away', garden(PARTS.filter((p) => p.id !== 'bench'))],
  ['a material changed', garden(edited('front', { material: 'limestone' }))],
  ['a shrub taken away', garden(PARTS, [tree(5.8, 1.8)])],
];

describe('massing edits, one after the other on one model', () => {
  const model = solved(garden());
  for (const [name, document] of [...EDITS, ['everything put back', garden()] as const]) {
    it(`${name}: the field equals that of a model made afresh, within the rounding of its numbers`, () => {
      const fresh = solved(document);
      const before = model.stats.rays;
      adopted(model, document);
      expectSame(model, fresh);
      expect(model.stats.rays - before).toBeLessThan(fresh.stats.rays);
    });
  }
});
