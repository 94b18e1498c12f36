import { describe, expect, it } from 'vitest';
import { luminanceOf, skyHorizontalLx } from '../../src/exposure/index.ts';
import { createLightModel } from '../../src/lights/index.ts';
import type { Conditions } from '../../src/lights/types.ts';
import { LEAF_SHARE, type PlantModel, type PlantRecord } from '../../src/scene/index.ts';
import { growPlant } from '../../src/scene/plants/index.ts';
import { SceneSketch, seeded } from './testScene.ts';

/** CIE standard overcast sky, L ∝ (1 + 2 sin γ)/3, without a town's glow. */
const OVERCAST: Conditions = { sunAltitudeDeg: -3, sunAzimuthDeg: 0, moon: 'none', cloud: 'overcast', leaves: 'on' };
const E_SKY = skyHorizontalLx(OVERCAST, 'darkRural');
/** Illuminance under it from all round, mean over all planes, ÷ that of level ground: (1/4)·2π·∫(1 + 2s)/3 ds ÷ (7π/9) = 3/7. */
const MEAN_PLANE = 3 / 7;

const record = (more: Partial<PlantRecord>): PlantRecord => ({
  kind: 'plant',
  id: 'p',
  name: 'a plant',
  habit: 'clippedBall',
  at: [0, 0],
  baseM: 0,
  bearingDeg: 0,
  heightM: 3.2,
  spreadM: 1.4,
  crownBaseM: 1.8,
  trunkDiameterM: 0.08,
  density: 'dense',
  bark: 'grey',
  leanDeg: 0,
  leanBearingDeg: 0,
  growth: 'medium',
  evergreen: true,
  seed: 17,
  ...more,
});

/** Black leaves over black ground: sky alone. Front and back of each card as shares of E_SKY. */
function underSky(plant: PlantModel): { front: number; back: number }[] {
  const sketch = new SceneSketch();
  sketch.rect([-6, 0, 6], [12, 0, 0], [0, 0, -12], { reflectance: 0 });
  sketch.scene.plants.push({ ...plant, leafReflectanceRgb: [0, 0, 0], leafTransmittanceRgb: [0, 0, 0] });
  const model = createLightModel(sketch.build(), { surroundings: 'darkRural', bounceRays: 16 });
  model.setSources([], OVERCAST);
  model.solveAll();
  const lux = (at: number): number => luminanceOf([0, 1, 2].map((k) => model.field.cards[at + k]!) as [number, number, number]);
  return Array.from({ length: plant.cards.length / 8 }, (_, i) => ({
    front: lux(i * 6) / E_SKY,
    back: lux(i * 6 + 3) / E_SKY,
  }));
}

const cross = (a: readonly number[], b: readonly number[]): number[] => [
  a[1]! * b[2]! - a[2]! * b[1]!,
  a[2]! * b[0]! - a[0]! * b[2]!,
  a[0]! * b[1]! - a[1]! * b[0]!,
];

/** Edges of each card: a helper axis turned about its normal by its spin. */
function edgesOf(plant: PlantModel): number[][][] {
  return Array.from({ length: plant.cards.length / 8 }, (_, i) => {
    const n = [...plant.cards.subarray(i * 8 + 3, i * 8 + 6)];
    const side = cross(Math.abs(n[1]!) < 0.9 ? [0, 1, 0] : [1, 0, 0], n);
    const u = side.map((v) => v / Math.hypot(...side));
    const v = cross(n, u);
    const [c, s] = [Math.cos(plant.cardLook[i * 3]!), Math.sin(plant.cardLook[i * 3]!)];
    return [u.map((x, k) => c * x + s * v[k]!), v.map((x, k) => c * x - s * u[k]!)];
  });
}

/** Chance that a ray from a place on one card passes all others ahead of it: each is leaf over `LEAF_SHARE` of its square. */
function gapAhead(plant: PlantModel, edges: number[][][], own: number, from: readonly number[], d: readonly number[]): number {
  const c = plant.cards;
  let gap = 1;
  for (let j = 0, at = 0; j < edges.length; j++, at += 8) {
    const [x, y, z] = [c[at]! - from[0]!, c[at + 1]! - from[1]!, c[at + 2]! - from[2]!];
    const half = c[at + 6]! / 2;
    const along = x * d[0]! + y * d[1]! + z * d[2]!;
    if (j === own || x * x + y * y + z * z - along * along > 2 * half * half) continue;
    const t = (x * c[at + 3]! + y * c[at + 4]! + z * c[at + 5]!) / (d[0]! * c[at + 3]! + d[1]! * c[at + 4]! + d[2]! * c[at + 5]!);
    if (!(t > 0)) continue;
    const q = [t * d[0]! - x, t * d[1]! - y, t * d[2]! - z];
    if (edges[j]!.every((e) => Math.abs(q[0]! * e[0]! + q[1]! * e[1]! + q[2]! * e[2]!) < half)) gap *= 1 - LEAF_SHARE;
  }
  return gap;
}

/** Light on both sides of a card ÷ E_SKY by random rays from all over it past the other cards: ∫ L·gap·|n·d| dω over the sky. */
function byRays(plant: PlantModel, edges: number[][][], card: number, rays: number, random: () => number): number {
  const c = plant.cards.subarray(card * 8, card * 8 + 8);
  const [u, v] = edges[card] as [number[], number[]];
  let sum = 0;
  for (let k = 0; k < rays; k++) {
    const y = random();
    const phi = 2 * Math.PI * random();
    const d = [Math.sqrt(1 - y * y) * Math.cos(phi), y, Math.sqrt(1 - y * y) * Math.sin(phi)];
    const [a, b] = [(random() - 0.5) * c[6]!, (random() - 0.5) * c[6]!];
    const from = [0, 1, 2].map((i) => c[i]! + a * u[i]! + b * v[i]!);
    const cos = Math.abs(d[0]! * c[3]! + d[1]! * c[4]! + d[2]! * c[5]!);
    sum += (2 * Math.PI * ((1 + 2 * y) / 3) * gapAhead(plant, edges, card, from, d) * cos) / rays;
  }
  return sum / ((7 * Math.PI) / 9);
}

describe('sky on the leaves of dense low plants against random rays past their own cards (seed 17; rays 3)', () => {
  const plants: [string, Partial<PlantRecord>][] = [
    ['head of a standard', {}],
    ['ball on the ground', { heightM: 0.8, spreadM: 0.8, crownBaseM: 0.02 }],
    ['hedge', { habit: 'hedge', heightM: 1.3, spreadM: 0.7, crownBaseM: 0.02, lengthM: 3 }],
  ];
  it.each(plants)('%s: mean of all leaves, and of the outermost', (_, more) => {
    const plant = growPlant(record(more)).model;
    const lit = underSky(plant);
    const random = seeded(3);
    const edges = edgesOf(plant);
    const middle = plant.centre;
    const out = (i: number) =>
      Math.max(...[0, 1, 2].map((k) => Math.abs(plant.cards[i * 8 + k]! - middle[k]!) / halfSize(plant, k)));
    const all = [...lit.keys()];
    const shell = [...all].sort((a, b) => out(b) - out(a)).slice(0, Math.round(all.length / 6));
    /* Clumps are smooth balls: they hide the outermost leaves, which stand a little out of them, less than cards do. */
    for (const [name, some, bar] of [
      ['all', all, 0.2],
      ['outermost', shell, 0.35],
    ] as const) {
      const step = Math.max(1, Math.floor(some.length / 45));
      let [field, truth] = [0, 0];
      for (let i = 0; i < some.length; i += step) {
        field += lit[some[i]!]!.front + lit[some[i]!]!.back;
        truth += byRays(plant, edges, some[i]!, 24, random);
      }
      expect(Math.abs(field / truth - 1), `${name}: ${field / truth} of the light by rays`).toBeLessThan(bar);
    }
  });

  it('the sunward side of the outermost leaves of a dense head gets most of what its bare surface would: 3/7 of level ground in the mean', () => {
    const plant = growPlant(record({})).model;
    const lit = underSky(plant);
    const r = (i: number) => Math.hypot(...[0, 1, 2].map((k) => plant.cards[i * 8 + k]! - plant.centre[k]!));
    const outer = [...lit.keys()].sort((a, b) => r(b) - r(a)).slice(0, lit.length / 12);
    const mean = outer.reduce((sum, i) => sum + Math.max(lit[i]!.front, lit[i]!.back), 0) / outer.length;
    expect(mean).toBeGreaterThan(0.8 * MEAN_PLANE);
    expect(mean).toBeLessThan(1.2 * MEAN_PLANE);
  });
});

function halfSize(plant: PlantModel, k: number): number {
  let [low, high] = [Infinity, -Infinity];
  for (let i = k; i < plant.cards.length; i += 8) {
    low = Math.min(low, plant.cards[i]!);
    high = Math.max(high, plant.cards[i]!);
  }
  return (high - low) / 2;
}
