import { buildScene, parseProperty, type PropertyDocument, type SceneModel, type Vec3 } from '../../../src/scene/index.ts';

/** Properties nobody tuned to: small, each for one way in which light goes round a corner. Sizes are invented. */
export interface PathScene {
  name: string;
  document: PropertyDocument;
  /** Parts whose faces are asked; the ground by its level's id. */
  parts: string[];
  /** Points lie within this box. */
  low: Vec3;
  high: Vec3;
}

const FT = 0.3048;
const bare = (reflectance: number) => ({ reflectance });
const xz = (x0: number, z0: number, x1: number, z1: number) => [
  [x0, z0],
  [x1, z0],
  [x1, z1],
  [x0, z1],
];

interface Light {
  at: number[];
  aim: number[];
  fluxLm?: number;
  beam?: number;
  spill?: number;
}

interface Sketch {
  parts: object[];
  planting?: object[];
  ground?: object;
  patches?: object[];
  levels?: object[];
  water?: object[];
  lights: Light[];
}

function property(name: string, sketch: Sketch): PropertyDocument {
  const lamps = sketch.lights.map((l, i) => ({
    id: `lamp-${i}`,
    name: 'test lamp',
    distribution: { kind: 'model', fluxLm: l.fluxLm ?? 400, beamAngleFullDeg: l.beam ?? 60, spillShare: l.spill ?? 0.1 },
    cctK: 4000,
    powerW: 5,
    powerFactor: 1,
    lowestV: 9,
    startV: 9,
    highestV: 15,
    lensRadiusM: 0.02,
  }));
  const fixtures = sketch.lights.map((l, i) => ({
    id: `light-${i}`,
    at: l.at,
    aim: l.aim,
    lampId: `lamp-${i}`,
    dirtFactor: 1,
  }));
  const parsed = parseProperty(
    JSON.stringify({
      format: 'gloaming-property',
      version: 1,
      name,
      site: { surroundings: 'darkRural', invented: true },
      buildings: [{ id: 'b', name: 'b', parts: sketch.parts }],
      planting: sketch.planting ?? [],
      ground: {
        levels: sketch.levels ?? [{ id: 'yard', outline: xz(-8, -8, 8, 8), material: sketch.ground ?? bare(0.25) }],
        patches: sketch.patches ?? [],
      },
      water: sketch.water ?? [],
      catalogue: { lamps },
      schemes: [{ id: 'lit', name: 'lit', fixtures }],
    }),
  );
  if (!parsed.ok) throw new Error(`${name}: ${JSON.stringify(parsed).slice(0, 600)}`);
  return parsed.document;
}

const wall = (id: string, from: number[], to: number[], heightM: number, material: unknown, thicknessM = 0.2) => ({
  kind: 'wall',
  id,
  from,
  to,
  heightM,
  thicknessM,
  material,
  freeStanding: true,
});
const box = (id: string, low: number[], high: number[], material: unknown) => ({
  kind: 'box',
  id,
  centre: low.map((v, k) => (v + high[k]!) / 2),
  sizeM: low.map((v, k) => high[k]! - v),
  material,
});
const panel = (id: string, corner: number[], u: number[], v: number[], material: unknown, more = {}) => ({
  kind: 'panel',
  id,
  corner,
  u,
  v,
  material,
  ...more,
});

/** Court of 16 × 28 ft, walls 9 ft, ρ .22; three grazers a foot off the long walls and the end. */
function court(): PathScene {
  const [w, l, h] = [16 * FT, 28 * FT, 9 * FT];
  const [x, z] = [w / 2, l / 2];
  const m = bare(0.22);
  return {
    name: 'court',
    document: property('court', {
      parts: [
        wall('north', [x, -z], [-x, -z], h, m),
        wall('south', [-x, z], [x, z], h, m),
        wall('west', [-x, -z], [-x, z], h, m),
        wall('east', [x, z], [x, -z], h, m),
      ],
      ground: bare(0.2),
      lights: [
        { at: [-x + 0.3, 0.1, -1], aim: [-x + 0.15, 2, -1] },
        { at: [x - 0.3, 0.1, 1.2], aim: [x - 0.15, 2, 1.2] },
        { at: [0.4, 0.1, -z + 0.3], aim: [0.4, 2, -z + 0.15] },
      ],
    }),
    parts: ['north', 'south', 'west', 'east', 'yard'],
    low: [-x - 0.01, -0.01, -z - 0.01],
    high: [x + 0.01, h - 0.02, z + 0.01],
  };
}

/** Closed room with its corner lit: every surface another reflectance, one of them red. */
function room(): PathScene {
  const at = (id: string, corner: number[], u: number[], v: number[], m: unknown) => panel(id, corner, u, v, m);
  return {
    name: 'room',
    document: property('room', {
      parts: [
        at('floor', [0, 1, 3], [4, 0, 0], [0, 0, -3], bare(0.3)),
        at('ceiling', [0, 3.4, 0], [4, 0, 0], [0, 0, 3], bare(0.7)),
        at('back', [0, 1, 0], [4, 0, 0], [0, 2.4, 0], bare(0.5)),
        at('front', [4, 1, 3], [-4, 0, 0], [0, 2.4, 0], bare(0.5)),
        at('left', [0, 1, 3], [0, 0, -3], [0, 2.4, 0], 'brickRed'),
        at('right', [4, 1, 0], [0, 0, 3], [0, 2.4, 0], bare(0.6)),
      ],
      levels: [],
      lights: [{ at: [0.5, 1.2, 0.5], aim: [0, 2.6, 0], fluxLm: 300, beam: 80 }],
    }),
    parts: ['floor', 'ceiling', 'back', 'front', 'left', 'right'],
    low: [-1, 0, -1],
    high: [5, 4, 4],
  };
}

/** Two limestone columns with a lintel between: the light on a column spreads to the soffit above it. */
function arch(): PathScene {
  return {
    name: 'arch',
    document: property('arch', {
      parts: [
        { kind: 'column', id: 'left', at: [-1.5, 0, 0], heightM: 2.8, widthM: 0.5, material: 'limestone' },
        { kind: 'column', id: 'right', at: [1.5, 0, 0], heightM: 2.8, widthM: 0.5, material: 'limestone' },
        box('lintel', [-2, 2.8, -0.6], [2, 3.3, 0.6], 'renderPale'),
        wall('back', [-4, -2], [4, -2], 3.3, 'renderPale'),
      ],
      ground: bare(0.25),
      lights: [
        { at: [-1, 0.1, 0.1], aim: [-1.3, 2, 0], fluxLm: 300, beam: 40 },
        { at: [1, 0.1, 0.1], aim: [1.3, 2, 0], fluxLm: 300, beam: 40 },
      ],
    }),
    parts: ['left', 'right', 'lintel', 'back', 'yard'],
    low: [-3, -0.01, -2.01],
    high: [3, 3.35, 2],
  };
}

/** Four posts, two beams and nine slats over paving, a wall behind; uplights at the posts and a downlight under a slat. */
function pergola(): PathScene {
  const posts = [
    [-2, -1.5],
    [2, -1.5],
    [-2, 1.5],
    [2, 1.5],
  ].map(([x, z], i) => box(`post-${i}`, [x! - 0.07, 0, z! - 0.07], [x! + 0.07, 2.4, z! + 0.07], 'claddingCedar'));
  const slats = Array.from({ length: 9 }, (_, i) =>
    box(`slat-${i}`, [-2.4, 2.58, -1.84 + i * 0.4], [2.4, 2.73, -1.78 + i * 0.4], 'claddingCedar'),
  );
  return {
    name: 'pergola',
    document: property('pergola', {
      parts: [
        ...posts,
        box('beam-0', [-2.07, 2.4, -1.9], [-1.93, 2.58, 1.9], 'claddingCedar'),
        box('beam-1', [1.93, 2.4, -1.9], [2.07, 2.58, 1.9], 'claddingCedar'),
        ...slats,
        wall('house', [-4, -2.2], [4, -2.2], 3, 'renderPale'),
        { kind: 'railing', id: 'rail', from: [-3, 2.4], to: [3, 2.4], heightM: 1 },
      ],
      levels: [{ id: 'yard', outline: xz(-6, -5, 6, 6), material: 'lawn' }],
      patches: [{ id: 'terrace', use: 'paving', outline: xz(-3, -2.2, 3, 2.4), material: 'paving' }],
      lights: [
        { at: [-1.7, 0.1, -1.4], aim: [-1.9, 2.4, -1.4], fluxLm: 350, beam: 50 },
        { at: [1.7, 0.1, 1.4], aim: [1.6, 2.4, 1.2], fluxLm: 350, beam: 60 },
        { at: [0, 2.5, 0.05], aim: [0, 0, 0.05], fluxLm: 300, beam: 70 },
      ],
    }),
    parts: ['house', 'yard', 'beam-0', 'beam-1', 'slat-2', 'slat-5', 'post-0'],
    low: [-3, -0.01, -2.21],
    high: [3, 2.9, 2.4],
  };
}

/** A hood over a door in a wall, lit from the step: soffit of the hood, the wall beneath it, the wall above. */
function hood(): PathScene {
  return {
    name: 'hood',
    document: property('hood', {
      parts: [
        {
          ...wall('front', [-4, 0], [4, 0], 4, 'brickPainted', 0.3),
          openings: [{ id: 'door', kind: 'door', alongM: 4, sillM: 0, widthM: 1, heightM: 2.1, revealM: 0.1 }],
        },
        { kind: 'hood', id: 'hood', at: [0, 2.5, 0], widthM: 1.8, depthM: 0.9, material: 'paintedTimberWhite' },
      ],
      ground: bare(0.3),
      lights: [
        { at: [-1.2, 0.08, 0.35], aim: [-1.1, 2.4, 0.15], fluxLm: 350, beam: 50 },
        { at: [1.2, 0.08, 0.35], aim: [1.1, 2.4, 0.15], fluxLm: 350, beam: 50 },
      ],
    }),
    parts: ['front', 'hood', 'yard'],
    low: [-2.5, -0.01, -0.01],
    high: [2.5, 3.6, 2.5],
  };
}

/** Inside corner of two walls, one red brick and one white: colour goes over. */
function corner(): PathScene {
  return {
    name: 'corner',
    document: property('corner', {
      parts: [wall('red', [-5, 0], [0, 0], 3, 'brickRed'), wall('white', [0, 0], [0, 5], 3, 'stuccoWhite')].map((w, i) =>
        i === 0 ? w : { ...w, from: [0, 0], to: [0, 5] },
      ),
      ground: bare(0.2),
      lights: [
        { at: [-1.2, 0.1, 0.35], aim: [-1.2, 2.2, 0.1], fluxLm: 500 },
        { at: [-3, 0.1, 0.35], aim: [-3, 2.2, 0.1], fluxLm: 500 },
      ],
    }),
    parts: ['red', 'white', 'yard'],
    low: [-4.5, -0.01, -0.21],
    high: [0.21, 2.98, 4.5],
  };
}

/** Two closed rooms that share an opening of 1 × 2 m; the lamp stands in the first. */
function rooms(): PathScene {
  const both = { twoSided: true };
  const m = bare(0.5);
  return {
    name: 'rooms',
    document: property('rooms', {
      parts: [
        panel('floor', [0, 0, 3], [6, 0, 0], [0, 0, -3], bare(0.3)),
        panel('ceiling', [0, 2.5, 0], [6, 0, 0], [0, 0, 3], bare(0.7)),
        panel('back', [0, 0, 0], [6, 0, 0], [0, 2.5, 0], m),
        panel('front', [6, 0, 3], [-6, 0, 0], [0, 2.5, 0], m),
        panel('left', [0, 0, 3], [0, 0, -3], [0, 2.5, 0], m),
        panel('right', [6, 0, 0], [0, 0, 3], [0, 2.5, 0], m),
        panel('part-a', [3, 0, 0], [0, 0, 1], [0, 2.5, 0], m, both),
        panel('part-b', [3, 0, 2], [0, 0, 1], [0, 2.5, 0], m, both),
        panel('part-c', [3, 2, 1], [0, 0, 1], [0, 0.5, 0], m, both),
      ],
      levels: [],
      lights: [{ at: [1.5, 2.3, 1.5], aim: [1.5, 0, 1.5], fluxLm: 800, beam: 100 }],
    }),
    parts: ['floor', 'ceiling', 'back', 'front', 'right', 'left', 'part-a', 'part-b'],
    low: [-1, -1, -1],
    high: [7, 4, 4],
  };
}

/** White stucco beside a pool: the terrace lights the wall's foot, the water sends nothing back. */
function pool(): PathScene {
  return {
    name: 'pool',
    document: property('pool', {
      parts: [wall('house', [-5, 0], [5, 0], 3.2, 'stuccoWhite')],
      levels: [{ id: 'yard', outline: xz(-7, -2, 7, 9), material: 'lawn' }],
      patches: [{ id: 'terrace', use: 'paving', outline: xz(-5, 0, 5, 7), material: 'pavingConcrete' }],
      water: [{ id: 'pool', name: 'pool', kind: 'pool', outline: xz(-3, 2.5, 3, 6), levelM: -0.1 }],
      lights: [
        { at: [-2.5, 0.1, 0.3], aim: [-2.5, 2.4, 0.1], fluxLm: 500 },
        { at: [2.5, 0.1, 0.3], aim: [2.5, 2.4, 0.1], fluxLm: 500 },
        { at: [0, 2.8, 0.15], aim: [0, 0, 1.5], fluxLm: 400 },
      ],
    }),
    parts: ['house', 'yard'],
    low: [-4.5, -0.01, -0.01],
    high: [4.5, 3, 6.5],
  };
}

/** Two textbook crowns between a lamp in the grass and a pale wall: leaves take light and give some on, in their colour. */
function crowns(): PathScene {
  return {
    name: 'crowns',
    document: property('crowns', {
      parts: [wall('house', [-4, -1.5], [4, -1.5], 3.5, 'renderPale')],
      planting: [
        { kind: 'ellipsoidCrown', id: 'a', centre: [-1, 2.1, 0], radiiM: [1.1, 1, 1], leafAreaDensityM2M3: 2, clumping: 0.8 },
        {
          kind: 'ellipsoidCrown',
          id: 'b',
          centre: [1.4, 1.8, 0.2],
          radiiM: [0.9, 1.2, 0.9],
          leafAreaDensityM2M3: 3,
          clumping: 0.7,
        },
      ],
      ground: bare(0.12),
      lights: [
        { at: [-1, 0.1, 0.6], aim: [-1, 2.1, 0.1], fluxLm: 800 },
        { at: [1.4, 0.1, 1], aim: [1.4, 2, 0.2], fluxLm: 800 },
      ],
    }),
    parts: ['house', 'yard'],
    low: [-3.5, -0.01, -1.51],
    high: [3.5, 3.4, 3],
  };
}

export const pathScenes = (): PathScene[] => [court(), room(), corner(), arch(), pergola(), hood(), rooms(), pool(), crowns()];

/** Colours of these scenes, ρ and hue: kept here, so that the references hold whatever the library paints its materials. */
const PINNED: Record<string, readonly [number, number, number, number]> = {
  brickPainted: [0.6, 0.61, 0.6, 0.57],
  brickRed: [0.25, 0.41, 0.2, 0.12],
  claddingCedar: [0.25, 0.42, 0.22, 0.11],
  ironBlack: [0.05, 0.05, 0.05, 0.051],
  lawn: [0.06, 0.05, 0.069, 0.022],
  limestone: [0.5, 0.55, 0.5, 0.4],
  paintedTimberGreen: [0.08, 0.03, 0.1, 0.058],
  paintedTimberWhite: [0.6, 0.61, 0.6, 0.57],
  paving: [0.25, 0.265, 0.25, 0.22],
  pavingConcrete: [0.35, 0.355, 0.35, 0.33],
  renderPale: [0.65, 0.69, 0.65, 0.57],
  stuccoWhite: [0.65, 0.66, 0.65, 0.62],
  water: [0.02, 0.02, 0.02, 0.02],
};

/** Massing of a scene in its own colours. */
export function sceneOf(asked: PathScene): SceneModel {
  const scene = buildScene(asked.document);
  return {
    ...scene,
    materials: scene.materials.map((m) => {
      const pinned = PINNED[m.id];
      if (!pinned) return m;
      const [rho, r, g, b] = pinned;
      const k = rho / (0.2126 * r + 0.7152 * g + 0.0722 * b);
      return { ...m, reflectanceRgb: [r * k, g * k, b * k] as const };
    }),
  };
}
