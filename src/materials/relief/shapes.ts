import { runningUnit, type Unit } from './bonds.ts';
import { addNoise, hash2, scatterCells } from './noise.ts';

/** Heights in metres, mean zero, and the share of the unit's own colour. */
export interface ReliefShape {
  heightM: Float32Array;
  unitShare: Float32Array;
}

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

export interface Laying {
  unit: (s: number, t: number) => Unit;
  columns: number;
  courses: number;
  recessM: number;
  arrisM: number;
  protrudeM: number;
  tiltAcross: number;
  tiltAlong: number;
  /** Roughness: amplitude, scale along s, scale along t (as along s unless given), metres. */
  rough: readonly (readonly [number, number, number?])[];
  wobbleM: number;
  /** Dark streaks in a unit's colour: share, scale along s and along t, metres. */
  grain?: readonly [number, number, number];
}

/** Units proud of recessed joints: rounded arris, each unit a little tilted and proud, rough face. */
export function laidUnits(n: number, widthM: number, heightM: number, laying: Laying): ReliefShape {
  const h = new Float32Array(n * n);
  const unitShare = new Float32Array(n * n);
  const wobble = new Float32Array(n * n);
  addNoise(wobble, n, Math.round(widthM / 0.016), Math.round(heightM / 0.016), laying.wobbleM, 11);
  addNoise(wobble, n, Math.round(widthM / 0.006), Math.round(heightM / 0.006), laying.wobbleM * 0.5, 12);
  laying.rough.forEach(([amplitude, scaleS, scaleT = scaleS], k) => {
    addNoise(h, n, Math.round(widthM / scaleS), Math.round(heightM / scaleT), amplitude, 21 + k);
  });
  const streaks = new Float32Array(n * n);
  if (laying.grain) {
    const [share, alongS, alongT] = laying.grain;
    addNoise(streaks, n, Math.round(widthM / alongS), Math.round(heightM / alongT), share * 0.6, 13);
    addNoise(streaks, n, Math.round((2.6 * widthM) / alongS), Math.round((2.6 * heightM) / alongT), share * 0.4, 14);
  }
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
      unitShare[o] = smooth(-0.001, 0.001, d) * (1 - Math.max(0, streaks[o]!));
    }
  }
  return { heightM: centred(h), unitShare };
}

/** Rough surfaces without units: layers of noise by [amplitude, scale along s, scale along t], metres. */
export function roughFace(n: number, sizeM: number, layers: readonly (readonly [number, number, number])[]): ReliefShape {
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

export interface Scatter {
  stoneM: number;
  depthM: number;
  /** Length over width is the square of this. */
  stretch: number;
  toneSpread: number;
  /** Chips and broken stone lie flat at levels of their own; pebbles are domes. */
  flat?: boolean;
  /** Height of the lumps that several grains make together, as a share of the depth. */
  lumps?: number;
  /** Most are dark and a few pale, as chips of bark and wood are. */
  fewPale?: boolean;
}

/** Stones, chips or grains on scattered seeds, each with its own tone. */
export function stones(n: number, sizeM: number, scatter: Scatter): ReliefShape {
  const { stoneM, depthM, stretch, toneSpread, flat = false, lumps = 0.3, fewPale = false } = scatter;
  const cells = Math.round(sizeM / stoneM);
  const { first, second, tone } = scatterCells(n, cells, cells, 41, stretch);
  const heightM = new Float32Array(n * n);
  addNoise(heightM, n, cells * 3, cells * 3, depthM * 0.06, 51);
  addNoise(heightM, n, Math.max(2, cells >> 2), Math.max(2, cells >> 2), depthM * lumps, 52);
  if (flat) addNoise(heightM, n, cells * 5, cells * 5, depthM * 0.08, 53);
  const unitShare = new Float32Array(n * n);
  for (let i = 0; i < n * n; i++) {
    const edge = smooth(0, 0.35, second[i]! - first[i]!);
    const dome = Math.sqrt(Math.max(0, 1 - Math.min(1, first[i]! / 0.85) ** 2));
    const lift = flat ? Math.sqrt(edge) * (0.25 + 0.75 * tone[i]!) * (0.8 + 0.2 * dome) : dome * edge * (0.7 + 0.3 * tone[i]!);
    heightM[i] = heightM[i]! + depthM * lift;
    const own = Math.min(1, Math.max(0, 0.5 + (tone[i]! - 0.5) * toneSpread));
    unitShare[i] = (fewPale ? own ** 2.5 : own) * (0.35 + 0.65 * edge);
  }
  return { heightM: centred(heightM), unitShare };
}

/** Grass: short leaning strokes at random turns, the highest stroke wins; tufts stand higher and paler than what lies between. */
export function blades(n: number, sizeM: number, depthM: number): ReliefShape {
  const heightM = new Float32Array(n * n);
  const unitShare = new Float32Array(n * n).fill(0.15);
  const tufts = new Float32Array(n * n);
  addNoise(tufts, n, Math.round(sizeM / 0.15), Math.round(sizeM / 0.15), 0.5, 62);
  addNoise(tufts, n, Math.round(sizeM / 0.055), Math.round(sizeM / 0.055), 0.5, 63);
  const count = Math.round((sizeM / 0.0052) ** 2);
  const texel = sizeM / n;
  for (let k = 0; k < count; k++) {
    const turn = hash2(k, 1, 61) * 2 * Math.PI;
    const steps = Math.round((0.02 + 0.03 * hash2(k, 2, 61)) / texel);
    let x = hash2(k, 3, 61) * n;
    let y = hash2(k, 4, 61) * n;
    const tuft = tufts[Math.floor(y) * n + Math.floor(x)]!;
    const rise = (0.5 + 0.5 * hash2(k, 5, 61)) * (1 + 0.5 * tuft);
    const tone = Math.min(1, (0.35 + 0.65 * hash2(k, 6, 61)) * Math.max(0.15, 0.75 + 1.1 * tuft));
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

export interface Lapping {
  /** Width of a slate or shingle; 0 for boards that run through. */
  pitchS: number;
  pitchT: number;
  depthM: number;
  /** Amplitude of the face's roughness, and how its grain runs: planed boards along, split shakes up, clay and felt evenly. */
  roughM?: number;
  grain?: 'along' | 'up' | 'even';
  /** How far lower edges of single units stand off their course, as a share of the depth. */
  unevenShare?: number;
  /** Shingles of random widths, each with its own tone in the share. */
  random?: boolean;
}

/** Sizes of broad and fine roughness along s and t, metres. */
const GRAINS_M = {
  along: [
    [0.12, 0.05],
    [0.03, 0.008],
  ],
  up: [
    [0.03, 0.12],
    [0.008, 0.06],
  ],
  even: [
    [0.045, 0.04],
    [0.009, 0.009],
  ],
} as const;

/** Dirt and the caulked gap at the top of a lapped board. */
const LAP_DIRT_M = 0.008;

/** Boards or slates that lap: thick at the lower edge, thin at the top, and a step down to the next. */
export function laps(n: number, widthM: number, heightM: number, lapping: Lapping): ReliefShape {
  const { pitchS, pitchT, depthM, roughM = depthM * 0.05, grain = 'along', random = false, unevenShare = 0.5 } = lapping;
  const h = new Float32Array(n * n);
  const unitShare = new Float32Array(n * n);
  const [broad, fine] = GRAINS_M[grain];
  addNoise(h, n, Math.round(widthM / broad[0]), Math.round(heightM / broad[1]), roughM, 71);
  addNoise(h, n, Math.round(widthM / fine[0]), Math.round(heightM / fine[1]), roughM * 0.6, 72);
  const columns = pitchS > 0 ? Math.round(widthM / pitchS) : 1;
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const s = ((x + 0.5) / n) * widthM;
      const t = ((y + 0.5) / n) * heightM;
      const u = pitchS > 0 ? lappedUnit(s, t, pitchS, pitchT, columns, random) : runningUnit(s, t, 100, pitchT, 0);
      const up = u.tM / pitchT + 0.5;
      const column = pitchS > 0 ? ((u.column % columns) + columns) % columns : 0;
      const lift = (hash2(column, u.course, 73) - 0.5) * depthM * (pitchS > 0 ? unevenShare : 0.08);
      const gap = pitchS > 0 ? smooth(0.003, 0, u.insideM) * depthM * 0.8 : 0;
      // Boards have a rounded lower edge, and dirt in the lap above which the next one begins.
      const nose = Math.max(0, 1 - up / (pitchS > 0 ? 0.02 : 0.04)) ** 2 * depthM * (pitchS > 0 ? 0.15 : 0.3);
      const inLap = pitchS > 0 ? 0 : smooth(LAP_DIRT_M, 0.4 * LAP_DIRT_M, (1 - up) * pitchT);
      h[y * n + x] = h[y * n + x]! + depthM * (1 - up) + lift * (1 - up) - gap - nose;
      const tone = random ? 0.45 + 0.55 * hash2(column, u.course, 75) : 1;
      unitShare[y * n + x] = (1 - smooth(0.003, 0, pitchS > 0 ? u.insideM : 1)) * tone * (1 - inLap);
    }
  }
  return { heightM: centred(h), unitShare };
}

/** A slate or shingle; `insideM` is the distance to its nearer side. Random ones have their sides shifted by up to a third. */
function lappedUnit(s: number, t: number, pitchS: number, pitchT: number, columns: number, random: boolean): Unit {
  const regular = runningUnit(s, t, pitchS, pitchT, 0.003);
  if (!random) return { ...regular, insideM: pitchS / 2 - Math.abs(regular.sM) };
  const x = s + (regular.course & 1 ? pitchS / 2 : 0);
  const side = (c: number): number =>
    (c + 0.66 * (hash2(((c % columns) + columns) % columns, regular.course, 74) - 0.5)) * pitchS;
  let column = Math.floor(x / pitchS);
  if (x < side(column)) column--;
  else if (x >= side(column + 1)) column++;
  return { ...regular, column, insideM: Math.min(x - side(column), side(column + 1) - x) };
}

interface Stone {
  /** How much nearer the stone is than the next, and its own tone, 0…1. */
  edge: number;
  tone: number;
  /** Height of its tilted face over its middle. */
  tiltM: number;
}

/** The stone of a random wall at a place: seeds jittered in courses, some large and some small, each face tilted its own way. */
function stoneAt(u: number, v: number, cells: readonly [number, number], pitchM: readonly [number, number]): Stone {
  let near = 9;
  let next = 9;
  const stone: Stone = { edge: 0, tone: 0, tiltM: 0 };
  for (let dj = -1; dj <= 1; dj++) {
    for (let di = -1; di <= 1; di++) {
      const ci = Math.floor(u) + di;
      const cj = Math.floor(v) + dj;
      const wi = ((ci % cells[0]) + cells[0]) % cells[0];
      const wj = ((cj % cells[1]) + cells[1]) % cells[1];
      const pick = (seed: number): number => hash2(wi, wj, seed);
      const dx = u - (ci + 0.12 + 0.76 * pick(91));
      const dy = v - (cj + 0.2 + 0.6 * pick(92));
      // Between round and square, larger or smaller.
      const d = Math.sqrt(Math.hypot(dx, dy) * Math.max(Math.abs(dx), Math.abs(dy) * 1.15)) * (0.72 + 0.56 * pick(93));
      if (d < near) {
        next = near;
        near = d;
        stone.tone = pick(94);
        stone.tiltM = dx * pitchM[0] * (pick(95) - 0.5) * 0.12 + dy * pitchM[1] * (pick(96) - 0.5) * 0.14;
      } else if (d < next) next = d;
    }
  }
  stone.edge = next - near;
  return stone;
}

/** Random rubble: stones of many sizes, faces rough and tilted, in mortar not far behind them; the share carries the tone of each stone. */
export function rubbleWall(
  n: number,
  widthM: number,
  heightM: number,
  stoneM: readonly [number, number],
  depthM: number,
): ReliefShape {
  const cells = [Math.round(widthM / stoneM[0]), Math.round(heightM / stoneM[1])] as const;
  const pitchM = [widthM / cells[0], heightM / cells[1]] as const;
  const h = new Float32Array(n * n);
  const unitShare = new Float32Array(n * n);
  const wander = new Float32Array(n * n);
  addNoise(h, n, Math.round(widthM / 0.08), Math.round(heightM / 0.06), depthM * 0.3, 97);
  addNoise(h, n, Math.round(widthM / 0.03), Math.round(heightM / 0.022), depthM * 0.16, 98);
  addNoise(h, n, Math.round(widthM / 0.011), Math.round(heightM / 0.011), depthM * 0.06, 99);
  addNoise(wander, n, Math.round(widthM / 0.11), Math.round(heightM / 0.11), 0.09, 100);
  addNoise(wander, n, Math.round(widthM / 0.03), Math.round(heightM / 0.03), 0.035, 101);
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const o = y * n + x;
      const off = wander[((y + 97) & (n - 1)) * n + ((x + 41) & (n - 1))]!;
      const stone = stoneAt(((x + 0.5) / n) * cells[0] + wander[o]!, ((y + 0.5) / n) * cells[1] + off, cells, pitchM);
      // Rounded toward a bed of mortar two fingers wide.
      const proud = Math.sqrt(smooth(0.05, 0.3, stone.edge));
      h[o] = h[o]! * (0.25 + 0.75 * proud) + proud * (depthM * (0.7 + 0.6 * stone.tone) + stone.tiltM);
      unitShare[o] = smooth(0.045, 0.085, stone.edge) * (0.35 + 0.65 * hash2(Math.floor(stone.tone * 4096), 7, 102));
    }
  }
  return { heightM: centred(h), unitShare };
}

/** Sheets with a raised seam at every pitch, the seams running up the slope. */
export function seams(n: number, widthM: number, heightM: number, pitchM: number, depthM: number): ReliefShape {
  const h = new Float32Array(n * n);
  addNoise(h, n, Math.round(widthM / 0.2), Math.round(heightM / 0.4), 0.0006, 96);
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const s = ((x + 0.5) / n) * widthM;
      const off = Math.abs(s - (Math.floor(s / pitchM) + 0.5) * pitchM);
      h[y * n + x] = h[y * n + x]! + depthM * smooth(0.011, 0.006, off);
    }
  }
  return { heightM: centred(h), unitShare: new Float32Array(n * n).fill(1) };
}
