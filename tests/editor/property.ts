import { type BuildingRecord, type PropertyDocument, propertyRecord } from '../../src/scene/index.ts';

/** Front wall 12 m long facing the street with two windows, one transformer and one daisy run of two lights. Invented. */
const front: BuildingRecord['parts'][number] = {
  id: 'front',
  name: 'front wall',
  kind: 'wall',
  from: [-6, 0],
  to: [6, 0],
  baseM: 0,
  heightM: 6,
  thicknessM: 0.3,
  material: { reflectance: 0.3 },
  freeStanding: false,
  courses: [],
  openings: [],
};

const window = (id: string, alongM: number) => ({ id, kind: 'window', alongM, sillM: 0.9, widthM: 1.2, heightM: 1.5 });

const lamp = {
  id: 'p450',
  name: '450 lm, 24 degrees',
  distribution: { kind: 'model', fluxLm: 450, beamAngleFullDeg: 24, spillShare: 0 },
  cctK: 2700,
  powerW: 5.5,
  powerFactor: 0.7,
  lowestV: 9,
  startV: 10,
  highestV: 15,
};

export function testProperty(): PropertyDocument {
  return propertyRecord.parse({
    format: 'gloaming-property',
    version: 2,
    name: 'Test',
    site: {},
    buildings: [{ id: 'house', name: 'House', parts: [{ ...front, openings: [window('w1', 3), window('w2', 8)] }] }],
    ground: {
      patches: [
        {
          id: 'walk',
          use: 'path',
          outline: [
            [-1, 3],
            [1, 3],
            [1, 9],
            [-1, 9],
          ],
          material: 'concrete',
        },
      ],
    },
    water: [
      {
        id: 'pool',
        name: 'Pool',
        kind: 'pool',
        outline: [
          [10, 3],
          [14, 3],
          [14, 6],
          [10, 6],
        ],
      },
    ],
    viewpoints: [{ id: 'street', name: 'Street', eye: [0, 1.6, 15], lookAt: [0, 2.5, 0] }],
    catalogue: { lamps: [lamp, { ...lamp, id: 'p250', name: '250 lm' }] },
    existing: [{ id: 'porch', name: 'porch lamp', at: [0, 2.5, 0.2], aim: [0, 0, 0.2], mount: 'wall', lampId: 'p250' }],
    schemes: [
      {
        id: 'good',
        name: 'Good',
        fixtures: [
          { id: 'L1', at: [-4.5, 0.1, 0.38], aim: [-4.5, 4, 0], lampId: 'p450' },
          { id: 'L2', at: [-0.5, 0.1, 0.38], aim: [-0.5, 4, 0], lampId: 'p450', mount: 'inGrade', dim: 0.5 },
        ],
        transformers: [{ id: 'T1', name: 'T1', at: [-6, 0.5, 1], capacityVa: 150 }],
        runs: [
          {
            id: 'A',
            name: 'Run A',
            transformerId: 'T1',
            tapV: 12,
            gauge: { kind: 'awg', awg: 12 },
            legs: [
              { id: 'A-1', lengthM: 3, fixtureId: 'L1' },
              { id: 'A-2', fromId: 'A-1', lengthM: 5, fixtureId: 'L2' },
            ],
          },
        ],
      },
      { id: 'empty', name: 'Empty' },
    ],
  });
}
