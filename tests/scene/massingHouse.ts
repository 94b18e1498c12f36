import { type PropertyDocument, propertyRecord } from '../../src/scene/index.ts';

/** Invented two-storey brick house, all sizes our own: front 12.0 m, eaves 5.8 m, parapet 0.6 m, slate hip to 8.4 m. */
export function brickHouse(): PropertyDocument {
  const brick = 'brickBuffWeathered';
  const sash = (id: string, alongM: number, sillM: number) => ({
    id,
    kind: 'window',
    alongM,
    sillM,
    widthM: 0.95,
    heightM: 1.7,
    lintelHeightM: 0.22,
    panesUp: 4,
  });
  const upper = [1.4, 3.7, 6, 8.3, 10.6].map((x, i) => sash(`upper-${i + 1}`, x, 3.5));
  const lower = [1.4, 3.7, 8.3, 10.6].map((x, i) => sash(`lower-${i + 1}`, x, 0.8));
  const door = { id: 'door', kind: 'door', alongM: 6, sillM: 0, widthM: 0.95, heightM: 2.03 };
  const course = [{ id: 'string', undersideM: 2.9, heightM: 0.15, projectionM: 0.03, material: 'limestone' }];
  const ring: [string, [number, number], [number, number]][] = [
    ['front', [-6, 0], [6, 0]],
    ['right', [6, 0], [6, -9]],
    ['rear', [6, -9], [-6, -9]],
    ['left', [-6, -9], [-6, 0]],
  ];
  const walls = ring.flatMap(([id, from, to]) => [
    {
      kind: 'wall',
      id,
      from,
      to,
      heightM: 5.8,
      material: brick,
      openings: id === 'front' ? [...upper, ...lower, door] : [],
      courses: id === 'front' || id === 'right' ? course : [],
    },
    {
      kind: 'wall',
      id: `${id}-parapet`,
      from,
      to,
      baseM: 5.8,
      heightM: 0.6,
      thicknessM: 0.25,
      material: brick,
      freeStanding: true,
      copingMaterial: 'limestone',
    },
  ]);
  const outline = (x0: number, z0: number, x1: number, z1: number) => [
    [x0, z0],
    [x1, z0],
    [x1, z1],
    [x0, z1],
  ];
  return propertyRecord.parse({
    format: 'gloaming-property',
    version: 1,
    name: 'Invented brick house',
    site: { invented: true },
    buildings: [
      {
        id: 'house',
        name: 'House',
        parts: [
          ...walls,
          {
            kind: 'roof',
            id: 'roof',
            form: 'hip',
            centre: [0, -4.5],
            sizeM: [11.5, 8.5],
            eavesM: 5.8,
            ridgeM: 8.4,
            material: 'slate',
          },
          { kind: 'hood', id: 'hood', at: [0, 2.6, 0], widthM: 1.8, depthM: 1.2, material: 'leadGrey' },
          {
            kind: 'steps',
            id: 'steps',
            at: [0, -0.05, 0.6],
            widthM: 1.6,
            riserM: 0.15,
            treadM: 0.3,
            count: 2,
            material: 'limestone',
          },
          { kind: 'railing', id: 'railing', from: [-6, 3.2], to: [-1, 3.2], baseM: -0.06, heightM: 1.1 },
          { kind: 'railing', id: 'railing-2', from: [1, 3.2], to: [6, 3.2], baseM: -0.06, heightM: 1.1 },
          { kind: 'tub', id: 'tub', at: [3, -0.04, 1.2], heightM: 0.5, topWidthM: 0.6, footWidthM: 0.45, material: 'terracotta' },
          {
            kind: 'wall',
            id: 'side',
            from: [6, -9],
            to: [6, -18],
            heightM: 1.9,
            thicknessM: 0.22,
            material: brick,
            freeStanding: true,
          },
          { kind: 'column', id: 'pier', at: [-1, -0.1, 3.2], heightM: 1.3, widthM: 0.35, material: 'limestone' },
          { kind: 'box', id: 'chimney', centre: [3.5, 8, -4.5], sizeM: [0.9, 2.4, 0.6], material: brick },
        ],
      },
    ],
    ground: {
      levels: [{ id: 'lot', outline: outline(-10, -30, 10, 8), slopeZ: -0.02, material: 'lawn' }],
      patches: [
        { id: 'strip', use: 'gravel', outline: outline(-6, 0, 6, 0.6), material: 'gravel' },
        { id: 'path', use: 'path', outline: outline(-0.8, 0, 0.8, 12), material: 'paving' },
      ],
    },
    planting: [
      {
        kind: 'plant',
        id: 'birch',
        name: 'Birch',
        habit: 'round',
        at: [8, 2],
        heightM: 7,
        spreadM: 4,
        crownBaseM: 2,
        trunkDiameterM: 0.16,
      },
    ],
  });
}
