// One small property per library material: a surface, a few grazing lamps, three viewpoints. All numbers are our own.

const RECT = (x, z0, z1) => [
  [-x, z0],
  [x, z0],
  [x, z1],
  [-x, z1],
];
/** Distances of the columns, metres. */
export const DISTANCES_M = [1, 4, 18];
const FIELD_DEG = 40;

const lamp = (id, fluxLm, beamAngleFullDeg) => ({
  id,
  name: id,
  distribution: { kind: 'model', fluxLm, beamAngleFullDeg, spillShare: 0.1 },
  ...{ cctK: 2700, powerW: 6, powerFactor: 1, lowestV: 5, startV: 5, highestV: 15, lensRadiusM: 0.018 },
});

const light = (id, at, aim, lampId) => ({ id, at, aim, mount: 'free', lampId, dirtFactor: 1, leadLengthM: 0 });

function property(name, { parts = [], ground = 'gravel', water = [], planting = [], fixtures, eyes }) {
  return {
    format: 'gloaming-property',
    version: 2,
    name,
    site: { surroundings: 'suburb', ev100: 3, invented: true, notes: 'A surface to look at; invented.' },
    buildings: parts.length > 0 ? [{ id: 'b', name: 'surface', parts }] : [],
    ground: { levels: [{ id: 'g', outline: RECT(14, -24, 22), material: ground }], patches: [] },
    ...{ water, planting },
    viewpoints: DISTANCES_M.map((d, k) => ({ id: `m${d}`, name: `${d} m`, ...eyes[k], fieldDeg: FIELD_DEG })),
    catalogue: { lamps: [lamp('graze', 450, 36), lamp('low', 250, 90), lamp('wide', 600, 100)] },
    schemes: [{ id: 'only', name: 'Only', fixtures }],
  };
}

const ACROSS = [-6, -3, 0, 3, 6];

function wall(name, material) {
  return property(name, {
    parts: [{ kind: 'wall', id: 'w', from: [-7, 0], to: [7, 0], heightM: 5.5, material }],
    fixtures: ACROSS.map((x, k) => light(`u${k}`, [x, 0.1, 0.35], [x, 4.6, 0.05], 'graze')),
    eyes: [
      { eye: [0.5, 1.3, 1], lookAt: [0.5, 1.3, 0] },
      { eye: [0.5, 1.6, 4], lookAt: [0.5, 1.7, 0] },
      { eye: [0, 1.6, 18], lookAt: [0, 2.5, 0] },
    ],
  });
}

/** A slope of 40°, lit from the eaves. */
function roof(name, material) {
  const [rise, run] = [6 * Math.sin((40 * Math.PI) / 180), 6 * Math.cos((40 * Math.PI) / 180)];
  return property(name, {
    parts: [{ kind: 'panel', id: 'w', corner: [-7, 2.4, 0], u: [14, 0, 0], v: [0, rise, -run], material }],
    fixtures: ACROSS.map((x, k) => light(`u${k}`, [x, 2.5, 0.45], [x, 5.6, -3.4], 'graze')),
    eyes: [
      { eye: [0.5, 4.3, -0.5], lookAt: [0.5, 3.6, -1.3] },
      { eye: [0.5, 5.2, 2.2], lookAt: [0.5, 4, -1.6] },
      { eye: [0, 2.2, 16], lookAt: [0, 4.2, -2] },
    ],
  });
}

function floor(name, material) {
  const rows = [-1.2, -4.5, -9, -14, -19];
  return property(name, {
    ground: material,
    fixtures: [
      ...rows.map((z, k) => light(`l${k}`, [-1.1, 0.5, z], [-1.1, 0, z], 'low')),
      ...rows.map((z, k) => light(`s${k}`, [2.2, 0.35, z - 1.5], [-0.5, 0, z - 1.5], 'graze')),
    ],
    eyes: [
      { eye: [0, 0.85, 0], lookAt: [-0.1, 0, -0.6] },
      { eye: [0, 1.6, 0.5], lookAt: [0, 0, -3.2] },
      { eye: [0, 1.6, 2], lookAt: [0, 0.1, -15.5] },
    ],
  });
}

function trunk(name, material) {
  return property(name, {
    parts: ACROSS.map((x, k) => ({
      ...{ kind: 'bar', id: `c${k}`, widthM: 0.36, section: 'round', material },
      path: [0, 1.6, 3.3, 5].map((y) => [x / 2 + 0.03 * Math.sin(2 * y + x), y, 0]),
    })),
    fixtures: ACROSS.map((x, k) => light(`u${k}`, [x / 2 - 0.25, 0.1, 0.5], [x / 2, 3, 0], 'graze')),
    eyes: [
      { eye: [0.2, 1.4, 1.1], lookAt: [0, 1.4, 0] },
      { eye: [0.5, 1.6, 4], lookAt: [0, 1.7, 0] },
      { eye: [0, 1.6, 18], lookAt: [0, 2.2, 0] },
    ],
  });
}

/** Lit and unlit windows over a pool, a lit garden wall behind the eye for the glass to mirror. */
function glassAndWater(name, aim) {
  const window = (id, alongM, litCdM2) => ({
    ...{ id, kind: 'window', alongM, sillM: 0.8, widthM: 1.4, heightM: 1.5, panesAcross: 2, panesUp: 1, litCdM2 },
  });
  return property(name, {
    parts: [
      {
        ...{ kind: 'wall', id: 'w', from: [-7, 0], to: [7, 0], heightM: 3.2, material: 'renderPale' },
        openings: [window('dark', 5.6, 0), window('lit', 8.4, 6), window('dark2', 11.2, 0)],
      },
      { kind: 'wall', id: 'behind', from: [9, 21], to: [-9, 21], heightM: 2, material: 'brickRed', freeStanding: true },
    ],
    ground: 'paving',
    water: [{ id: 'pool', name: 'pool', kind: 'pool', outline: RECT(4, 2, 9), levelM: -0.1 }],
    fixtures: [
      ...ACROSS.map((x, k) => light(`b${k}`, [x, 0.1, 20.3], [x, 2, 20.85], 'wide')),
      ...[-5, 5].map((x, k) => light(`u${k}`, [x, 0.1, 0.35], [x, 3, 0.05], 'graze')),
    ],
    eyes: aim,
  });
}

const GLASS = [
  { eye: [-1.4, 1.6, 1.0], lookAt: [-1.4, 1.55, 0] },
  { eye: [0, 1.6, 4], lookAt: [0, 1.5, 0] },
  { eye: [0, 1.6, 18], lookAt: [0, 1.4, 0] },
];
const WATER = [
  { eye: [3.6, 0.5, 9.3], lookAt: [4, 0.05, 8] },
  { eye: [1, 1.6, 11.5], lookAt: [0, 0.4, 4] },
  { eye: [0, 1.6, 20], lookAt: [0, 0.6, 0] },
];

/** How a material of a class is shown. */
const SHOWN = {
  masonry: wall,
  smooth: wall,
  metal: wall,
  roof,
  ground: floor,
  bark: trunk,
};

/** Sheets as the library has them → rows: id, words and property. */
export function materialRows(sheets) {
  return sheets
    .filter(({ id }) => id !== 'glass' && id !== 'water')
    .map(({ id, label, surfaceClass }) => ({ id, label, property: SHOWN[surfaceClass](label, id) }))
    .concat([
      { id: 'glass', label: 'window glass', property: glassAndWater('window glass', GLASS) },
      { id: 'water', label: 'still water', property: glassAndWater('still water', WATER) },
    ]);
}
