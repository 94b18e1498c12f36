import { addNoise, hash2, scatterCells } from './noise.ts';

/** How units are laid: bricks, slates, flags. Colour of a unit follows from its index in wall coordinates. */
export type Bond = 'none' | 'flemish' | 'running';

export interface ReliefRecipe {
  name: string;
  /** The repeat in metres, along s and along t. */
  widthM: number;
  heightM: number;
  bond: Bond;
  /** Pitch of units, joints included. Flemish: one stretcher and one header. */
  pitchSM: number;
  pitchTM: number;
  /** Largest E(n′)/E(n) shown. */
  ratioLimit: number;
  /** Brightness spread between units, 1 = the full set of fired bricks. */
  unitSpread: number;
  /** Grass, stones, chips: reflectance is that of the whole rough face, so the response keeps a mean of 1. */
  loose?: boolean;
  /** Heights in metres, mean zero, and the share of the unit's own colour (0 joint, 1 unit); row 0 at t = 0. */
  shape(texels: number): ReliefShape;
}

export interface ReliefShape {
  heightM: Float32Array;
  unitShare: Float32Array;
}

/** Metric brick 215 × 65 (header 102.5) with 10 mm joints, course 75 mm. */
export const BRICK = { stretcherM: 0.215, headerM: 0.1025, faceM: 0.065, jointM: 0.01 } as const;
export const COURSE_M = BRICK.faceM + BRICK.jointM;
export const FLEMISH_PITCH_M = BRICK.stretcherM + BRICK.headerM + 2 * BRICK.jointM;

const smooth = (from: number, to: number, x: number): number => {
  const t = Math.min(1, Math.max(0, (x - from) / (to - from)));
  return t * t * (3 - 2 * t);
};

function centred(heightM: Float32Array): Float32Array {
  let sum = 0;
  for (const h of heightM) sum += h;
  const mean = sum / heightM.length;
  for (let i = 0; i < heightM.length; i++) heightM[i] = heightM[i]! - mean;
  return heightM;
}

interface Unit {
  /** Distance to the unit's nearest edge, metres, positive inside. */
  insideM: number;
  /** Place from the unit's centre, metres. */
  sM: number;
  tM: number;
  column: number;
  course: number;
}

/** Which brick of a Flemish bond a place falls in; joints are shared half and half. */
function flemishUnit(s: number, t: number): Unit {
  const course = Math.floor(t / COURSE_M);
  const x = s + (course & 1 ? FLEMISH_PITCH_M / 2 : 0);
  const pair = Math.floor(x / FLEMISH_PITCH_M);
  const along = x - pair * FLEMISH_PITCH_M;
  const stretcherCell = BRICK.stretcherM + BRICK.jointM;
  const header = along >= stretcherCell;
  const width = header ? BRICK.headerM : BRICK.stretcherM;
  const sM = header ? along - stretcherCell - (BRICK.headerM + BRICK.jointM) / 2 : along - stretcherCell / 2;
  const tM = t - (course + 0.5) * COURSE_M;
  return { insideM: inside(sM, tM, width, BRICK.faceM), sM, tM, column: pair * 2 + (header ? 1 : 0), course };
}

/** Running bond with half overlap. */
function runningUnit(s: number, t: number, pitchS: number, pitchT: number, joint: number): Unit {
  const course = Math.floor(t / pitchT);
  const x = s + (course & 1 ? pitchS / 2 : 0);
  const column = Math.floor(x / pitchS);
  const sM = x - (column + 0.5) * pitchS;
  const tM = t - (course + 0.5) * pitchT;
  return { insideM: inside(sM, tM, pitchS - joint, pitchT - joint), sM, tM, column, course };
}

/** Signed distance to a rectangle with corners rounded by 2 mm, positive inside. */
function inside(s: number, t: number, width: number, height: number): number {
  const r = 0.002;
  const qs = Math.abs(s) - width / 2 + r;
  const qt = Math.abs(t) - height / 2 + r;
  return r - Math.hypot(Math.max(qs, 0), Math.max(qt, 0)) - Math.min(Math.max(qs, qt), 0);
}

interface Laying {
  unit: (s: number, t: number) => Unit;
  columns: number;
  courses: number;
  recessM: number;
  arrisM: number;
  protrudeM: number;
  tiltAcross: number;
  tiltAlong: number;
  /** Roughness amplitude and scale, coarse and fine, metres. */
  rough: readonly (readonly [number, number])[];
  wobbleM: number;
}

/** Units proud of recessed joints: rounded arris, each unit a little tilted and proud, rough face. */
function laidUnits(n: number, widthM: number, heightM: number, laying: Laying): ReliefShape {
  const h = new Float32Array(n * n);
  const unitShare = new Float32Array(n * n);
  const wobble = new Float32Array(n * n);
  addNoise(wobble, n, Math.round(widthM / 0.016), Math.round(heightM / 0.016), laying.wobbleM, 11);
  addNoise(wobble, n, Math.round(widthM / 0.006), Math.round(heightM / 0.006), laying.wobbleM * 0.5, 12);
  laying.rough.forEach(([amplitude, scale], k) => {
    addNoise(h, n, Math.round(widthM / scale), Math.round(heightM / scale), amplitude, 21 + k);
  });
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const o = y * n + x;
      const u = laying.unit(((x + 0.5) / n) * widthM, ((y + 0.5) / n) * heightM);
      const column = ((u.column % laying.columns) + laying.columns) % laying.columns;
      const course = u.course % laying.courses;
      const pick = (seed: number): number => hash2(column, course, seed) * 2 - 1;
      const d = u.insideM + wobble[o]!;
      const arris = Math.min(1, Math.max(0, d / laying.arrisM));
      const face = pick(1) * laying.protrudeM + u.sM * pick(2) * laying.tiltAlong + u.tM * pick(3) * laying.tiltAcross;
      const round = 1 - Math.sqrt(Math.max(0, 1 - (1 - arris) ** 2));
      const proud = smooth(-0.0015, 0.0008, d);
      h[o] = h[o]! * (0.6 + 0.4 * proud) + proud * (face - round * laying.arrisM * 0.6) - (1 - proud) * laying.recessM;
      unitShare[o] = smooth(-0.001, 0.001, d);
    }
  }
  return { heightM: centred(h), unitShare };
}

/** Rough surfaces without units: layers of noise by [amplitude, scale along s, scale along t], metres. */
function roughFace(n: number, sizeM: number, layers: readonly (readonly [number, number, number])[]): ReliefShape {
  const heightM = new Float32Array(n * n);
  layers.forEach(([amplitude, scaleS, scaleT], k) => {
    addNoise(heightM, n, Math.max(2, Math.round(sizeM / scaleS)), Math.max(2, Math.round(sizeM / scaleT)), amplitude, 31 + k);
  });
  const unitShare = new Float32Array(n * n);
  let top = 1e-9;
  for (const h of heightM) top = Math.max(top, Math.abs(h));
  for (let i = 0; i < n * n; i++) unitShare[i] = 0.5 + (0.5 * heightM[i]!) / top;
  return { heightM: centred(heightM), unitShare };
}

/** Stones, chips or grains: domes on scattered seeds, each with its own tone. */
function stones(n: number, sizeM: number, stoneM: number, depthM: number, stretch: number, toneSpread: number): ReliefShape {
  const cells = Math.round(sizeM / stoneM);
  const { first, second, tone } = scatterCells(n, cells, cells, 41, stretch);
  const heightM = new Float32Array(n * n);
  addNoise(heightM, n, cells * 3, cells * 3, depthM * 0.06, 51);
  addNoise(heightM, n, Math.max(2, cells >> 2), Math.max(2, cells >> 2), depthM * 0.3, 52);
  const unitShare = new Float32Array(n * n);
  for (let i = 0; i < n * n; i++) {
    const edge = smooth(0, 0.35, second[i]! - first[i]!);
    const dome = Math.sqrt(Math.max(0, 1 - Math.min(1, first[i]! / 0.85) ** 2));
    heightM[i] = heightM[i]! + depthM * (dome * edge * (0.7 + 0.3 * tone[i]!));
    unitShare[i] = Math.min(1, Math.max(0, 0.5 + (tone[i]! - 0.5) * toneSpread)) * (0.35 + 0.65 * edge);
  }
  return { heightM: centred(heightM), unitShare };
}

/** Grass: short leaning strokes at random turns, the highest stroke wins. */
function blades(n: number, sizeM: number, depthM: number): ReliefShape {
  const heightM = new Float32Array(n * n);
  const unitShare = new Float32Array(n * n).fill(0.15);
  const count = Math.round((sizeM / 0.0052) ** 2);
  const texel = sizeM / n;
  for (let k = 0; k < count; k++) {
    const turn = hash2(k, 1, 61) * 2 * Math.PI;
    const steps = Math.round((0.02 + 0.03 * hash2(k, 2, 61)) / texel);
    let x = hash2(k, 3, 61) * n;
    let y = hash2(k, 4, 61) * n;
    const rise = 0.5 + 0.5 * hash2(k, 5, 61);
    const tone = 0.35 + 0.65 * hash2(k, 6, 61);
    for (let i = 0; i < steps; i++) {
      const h = depthM * rise * Math.sin(((i + 1) / (steps + 1)) * Math.PI * 0.85);
      for (let w = 0; w < 2; w++) {
        const o = (Math.floor(y + w) & (n - 1)) * n + (Math.floor(x) & (n - 1));
        if (h > heightM[o]!) {
          heightM[o] = h;
          unitShare[o] = tone * (0.6 + (0.4 * i) / steps);
        }
      }
      x = (x + Math.cos(turn) + n) % n;
      y = (y + Math.sin(turn) + n) % n;
    }
  }
  return { heightM: centred(heightM), unitShare };
}

/** Boards or slates that lap: thick at the lower edge, thin at the top, and a step down to the next. */
function laps(n: number, widthM: number, heightM: number, pitchS: number, pitchT: number, depthM: number): ReliefShape {
  const h = new Float32Array(n * n);
  const unitShare = new Float32Array(n * n);
  addNoise(h, n, Math.round(widthM / 0.12), Math.round(heightM / 0.05), depthM * 0.05, 71);
  addNoise(h, n, Math.round(widthM / 0.03), Math.round(heightM / 0.008), depthM * 0.03, 72);
  const columns = pitchS > 0 ? Math.round(widthM / pitchS) : 1;
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const s = ((x + 0.5) / n) * widthM;
      const t = ((y + 0.5) / n) * heightM;
      const u = pitchS > 0 ? runningUnit(s, t, pitchS, pitchT, 0.003) : runningUnit(s, t, 100, pitchT, 0);
      const up = u.tM / pitchT + 0.5;
      const column = pitchS > 0 ? ((u.column % columns) + columns) % columns : 0;
      const lift = (hash2(column, u.course, 73) - 0.5) * depthM * (pitchS > 0 ? 0.5 : 0.08);
      const gap = pitchS > 0 ? smooth(0.003, 0, pitchS / 2 - Math.abs(u.sM)) * depthM * 0.8 : 0;
      const nose = Math.max(0, 1 - up / 0.02) ** 2 * depthM * 0.15;
      h[y * n + x] = h[y * n + x]! + depthM * (1 - up) + lift * (1 - up) - gap - nose;
      unitShare[y * n + x] = 1 - smooth(0.003, 0, pitchS > 0 ? pitchS / 2 - Math.abs(u.sM) : 1);
    }
  }
  return { heightM: centred(h), unitShare };
}

const laidBrick = (unit: Laying['unit'], columns: number, recessM: number, wobbleM: number) => (n: number) =>
  laidUnits(n, 0.675, 0.6, {
    unit,
    columns,
    courses: 8,
    recessM,
    arrisM: 0.003,
    protrudeM: 0.0008,
    tiltAcross: 0.007,
    tiltAlong: 0.003,
    rough: [
      [0.0004, 0.022],
      [0.00019, 0.006],
      [0.00008, 0.0028],
    ],
    wobbleM,
  });

const plain = { bond: 'none', pitchSM: 1, pitchTM: 1, unitSpread: 0 } as const;

/** Every relief by name. Depths and amplitudes are our own, tuned by eye under a graze. */
export const reliefRecipes: readonly ReliefRecipe[] = [
  {
    name: 'brick',
    widthM: 0.675,
    heightM: 0.6,
    bond: 'flemish',
    pitchSM: FLEMISH_PITCH_M,
    pitchTM: COURSE_M,
    ratioLimit: 5,
    unitSpread: 1,
    shape: laidBrick(flemishUnit, 4, 0.0038, 0.0006),
  },
  {
    name: 'brickRunning',
    widthM: 0.675,
    heightM: 0.6,
    bond: 'running',
    pitchSM: BRICK.stretcherM + BRICK.jointM,
    pitchTM: COURSE_M,
    ratioLimit: 5,
    unitSpread: 1,
    shape: laidBrick((s, t) => runningUnit(s, t, 0.225, COURSE_M, BRICK.jointM), 3, 0.0042, 0.0009),
  },
  {
    name: 'dressedStone',
    widthM: 0.5,
    heightM: 0.5,
    ...plain,
    ratioLimit: 4,
    shape: (n) =>
      roughFace(n, 0.5, [
        [0.00028, 0.07, 0.06],
        [0.00016, 0.015, 0.012],
        [0.00007, 0.005, 0.005],
      ]),
  },
  {
    name: 'render',
    widthM: 0.8,
    heightM: 0.8,
    ...plain,
    ratioLimit: 4,
    shape: (n) =>
      roughFace(n, 0.8, [
        [0.0012, 0.26, 0.2],
        [0.00022, 0.03, 0.02],
        [0.00012, 0.006, 0.006],
      ]),
  },
  {
    name: 'siding',
    widthM: 0.6,
    heightM: 0.6,
    ...plain,
    ratioLimit: 4,
    shape: (n) => laps(n, 0.6, 0.6, 0, 0.15, 0.012),
  },
  {
    name: 'slate',
    widthM: 1,
    heightM: 0.8,
    bond: 'running',
    pitchSM: 0.25,
    pitchTM: 0.2,
    ratioLimit: 2.2,
    unitSpread: 0.8,
    shape: (n) => laps(n, 1, 0.8, 0.25, 0.2, 0.006),
  },
  {
    name: 'gravel',
    widthM: 0.5,
    heightM: 0.5,
    ...plain,
    loose: true,
    ratioLimit: 2.2,
    shape: (n) => stones(n, 0.5, 0.016, 0.009, 1.15, 1.5),
  },
  {
    name: 'flags',
    widthM: 1.2,
    heightM: 0.9,
    bond: 'running',
    pitchSM: 0.6,
    pitchTM: 0.45,
    ratioLimit: 4,
    unitSpread: 0.55,
    shape: (n) =>
      laidUnits(n, 1.2, 0.9, {
        unit: (s, t) => runningUnit(s, t, 0.6, 0.45, 0.009),
        columns: 2,
        courses: 2,
        recessM: 0.004,
        arrisM: 0.004,
        protrudeM: 0.0006,
        tiltAcross: 0.003,
        tiltAlong: 0.003,
        rough: [
          [0.0011, 0.12],
          [0.0005, 0.03],
          [0.0002, 0.008],
        ],
        wobbleM: 0.0012,
      }),
  },
  { name: 'lawn', widthM: 0.64, heightM: 0.64, ...plain, loose: true, ratioLimit: 2.2, shape: (n) => blades(n, 0.64, 0.007) },
  {
    name: 'mulch',
    widthM: 0.6,
    heightM: 0.6,
    ...plain,
    loose: true,
    ratioLimit: 2.2,
    shape: (n) => stones(n, 0.6, 0.026, 0.012, 1.6, 1.3),
  },
  {
    name: 'asphalt',
    widthM: 0.5,
    heightM: 0.5,
    ...plain,
    loose: true,
    ratioLimit: 2.2,
    shape: (n) => stones(n, 0.5, 0.009, 0.0018, 1.1, 0.9),
  },
  {
    name: 'bark',
    widthM: 0.4,
    heightM: 0.4,
    ...plain,
    ratioLimit: 3,
    shape: (n) =>
      roughFace(n, 0.4, [
        [0.003, 0.03, 0.16],
        [0.0015, 0.012, 0.05],
        [0.0004, 0.006, 0.01],
      ]),
  },
];

const byName = new Map(reliefRecipes.map((recipe) => [recipe.name, recipe]));

export function findRelief(name: string): ReliefRecipe | undefined {
  return byName.get(name);
}
