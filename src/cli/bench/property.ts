import type { FixtureRecord, PropertyDocument } from '../../scene/index.ts';

/**
 * The bench property: the demo house with eight crowns and `count` lights of its catalogue, placed by rule: two thirds
 * graze or wash the walls, the rest light crowns and paths. Deterministic.
 */
export function benchProperty(demo: PropertyDocument, count: number): PropertyDocument {
  const birch = demo.planting.find((p) => p.kind === 'plant' && p.id === 'birch');
  const places: [number, number][] = [
    [-8, 6],
    [20.5, -12],
    [3, -17],
    [10, -20],
    [16, -14],
    [-1, -24],
    [6, -30],
  ];
  const trees = places.map(([x, z], i) => ({ ...birch!, id: `bench-tree-${i}`, at: [x, z] as [number, number], seed: 20 + i }));
  const scheme = demo.schemes.find((s) => s.id === 'good')!;
  const fixtures = Array.from({ length: count }, (_, i) => benchFixture(i, count, places));
  return {
    ...demo,
    planting: [...demo.planting, ...(trees as PropertyDocument['planting'])],
    schemes: [{ ...scheme, id: 'bench', fixtures, runs: [], transformers: [] }],
  };
}

/**
 * A lot of 126 × 127 m (1.6 ha): the demo house on one lawn, a drive of 40 m, 11 conifers and 4 oaks scattered by rule, 30
 * lights, two thirds on the house, the rest at trees. Generated for the bench; nobody's garden.
 */
export function largeProperty(demo: PropertyDocument): PropertyDocument {
  const lawn: [number, number][] = [
    [-57, -90],
    [69, -90],
    [69, 37],
    [-57, 37],
  ];
  const drive: [number, number][] = [
    [14, -4],
    [18, -4],
    [18, 36],
    [14, 36],
  ];
  const tree = demo.planting.find((p) => p.kind === 'plant')!;
  const places = Array.from({ length: 15 }, (_, i): [number, number] => [
    -50 + 112 * ((i * 0.618034 + 0.31) % 1),
    i % 3 === 0 ? 8 + 24 * ((i * 0.7548777) % 1) : -16 - 66 * ((i * 0.5698403) % 1),
  ]);
  const trees = places.map((at, i) => ({
    ...tree,
    id: `large-tree-${i}`,
    habit: i < 11 ? 'conical' : 'spreading',
    at,
    baseM: 0,
    heightM: i < 11 ? 9 + (i % 4) : 11,
    spreadM: i < 11 ? 4 + (i % 3) : 11,
    crownBaseM: i < 11 ? 0.8 : 2.6,
    trunkDiameterM: i < 11 ? 0.3 : 0.5,
    seed: 40 + i,
  }));
  const scheme = demo.schemes.find((s) => s.id === 'good')!;
  return {
    ...demo,
    buildings: demo.buildings.slice(0, 1),
    planting: trees as PropertyDocument['planting'],
    ground: {
      levels: [{ ...demo.ground.levels[0]!, id: 'lot', name: 'lot', outline: lawn, heightM: 0 }],
      patches: [{ ...demo.ground.patches[0]!, id: 'drive', outline: drive, material: 'asphalt' }],
    },
    water: [],
    schemes: [
      {
        ...scheme,
        id: 'bench',
        fixtures: Array.from({ length: 30 }, (_, i) => benchFixture(i, 30, places)),
        runs: [],
        transformers: [],
      },
    ],
  };
}

function benchFixture(i: number, count: number, trees: [number, number][]): FixtureRecord {
  const walls = Math.ceil((count * 2) / 3);
  const base = {
    id: `b${i}`,
    name: '',
    rollDeg: 0,
    lens: { kind: 'clear' as const, rollDeg: 0 },
    shield: { kind: 'none' as const, cutOffDeg: 45, rollDeg: 0 },
    leadLengthM: 3,
    wantedLx: 20,
    dim: 1,
    on: true,
    locks: { place: false, aim: false, lamp: false },
    reason: '',
    rank: 2,
  };
  if (i < walls) {
    const side = i % 4;
    const along = (Math.floor(i / 4) + 0.5) / Math.ceil(walls / 4);
    const back = 0.35 + 0.3 * (i % 3);
    const [at, aim] = wallPlace(side, along, back);
    return { ...base, at, aim, mount: 'stake', lampId: i % 3 === 2 ? 'wash-180-80' : 'facade-450-24' };
  }
  const [x, z] = trees[i % trees.length]!;
  const turn = i * 2.4;
  return {
    ...base,
    at: [x + 0.9 * Math.cos(turn), 0.9, z + 0.9 * Math.sin(turn)],
    aim: [x, 5, z],
    mount: 'stake',
    lampId: 'accent-280-36',
  };
}

function wallPlace(side: number, along: number, back: number): [[number, number, number], [number, number, number]] {
  const y = 0.15;
  if (side === 0)
    return [
      [12 * along, y, back],
      [12 * along, 5.2, 0],
    ];
  if (side === 1)
    return [
      [12 + back, y, -9 * along],
      [12, 5.2, -9 * along],
    ];
  if (side === 2)
    return [
      [12 * along, y + 0.15, -9 - back],
      [12 * along, 5.2, -9],
    ];
  return [
    [-back, y, -9 * along],
    [0, 5.2, -9 * along],
  ];
}
