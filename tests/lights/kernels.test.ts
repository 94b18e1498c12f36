import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createLightModel, type LightModel, resolveSources, type Source } from '../../src/lights/index.ts';
import { kernelsRun } from '../../src/lights/kernels/index.ts';
import { createCaster } from '../../src/lights/rays/index.ts';
import { childNodes, rootNodes, type TileNode } from '../../src/lights/tiles/node.ts';
import { type TileVisibility, tileVisibility, toFace } from '../../src/lights/visibility/tile.ts';
import { buildScene, parseProperty, type SceneModel, type Vec3 } from '../../src/scene/index.ts';
import { plant } from './leaves.fixture.ts';
import { SceneSketch, seeded } from './testScene.ts';
import { NIGHT, testSource } from './testSource.ts';

/** Both twins: the f64 reference code and the f32 SIMD kernels. */
const TWINS = ['off', 'auto'] as const;

/** Lamps of the list that see each tile of a scene, by both twins. */
function eachTile(
  scene: SceneModel,
  lamps: readonly Vec3[],
  visit: (node: TileNode, off: TileVisibility, fast: TileVisibility, lamp: Vec3) => void,
  finer = 1,
): void {
  const casters = TWINS.map((kernels) => createCaster(scene, kernels));
  const big = scene.blocks.slice(0, 12);
  const local = new Float64Array(3);
  let nodes = scene.faces.flatMap((face, index) => (face.sampled ? rootNodes(scene, index) : []));
  for (let k = 1; k < finer; k++) nodes = nodes.flatMap((n) => (n.ref.cellM > 0.05 ? childNodes(scene, n) : [n]));
  for (const lamp of lamps) {
    for (const node of nodes) {
      toFace(node.frame, ...lamp, local);
      if (local[2]! <= 0 || node.validCount === 0) continue;
      const [off, fast] = casters.map((caster) => tileVisibility(caster, big, node, local, lamp));
      visit(node, off!, fast!, lamp);
    }
  }
}

const isHidden = (v: TileVisibility, k: number): boolean =>
  v.state === 'dark' || (v.shadow !== undefined && ((v.shadow[k >> 5]! >>> (k & 31)) & 1) === 1);

/** Share of valid samples whose hard shadow differs, how many there were, and how many were in shadow. */
function compareShadows(scene: SceneModel, lamps: readonly Vec3[], finer = 1) {
  const sum = { samples: 0, hidden: 0, wrong: 0 };
  eachTile(
    scene,
    lamps,
    (node, off, fast) => {
      for (let k = 0; k < 1024; k++) {
        if (((node.rows[k >> 5]! >>> (k & 31)) & 1) === 0) continue;
        sum.samples++;
        const hidden = isHidden(off, k);
        if (hidden) sum.hidden++;
        if (hidden !== isHidden(fast, k)) sum.wrong++;
      }
    },
    finer,
  );
  return sum;
}

function clutter(seed: number): SceneModel {
  const random = seeded(seed);
  const sketch = new SceneSketch();
  sketch.rect([-3, 0, 3], [6, 0, 0], [0, 0, -6]);
  sketch.rect([-3, 0, -3], [6, 0, 0], [0, 4, 0]);
  sketch.rect([-3, 0, 3], [0, 0, -6], [0, 4, 0]);
  for (let k = 0; k < 80; k++) {
    const c: Vec3 = [random() * 6 - 3, random() * 4, random() * 6 - 3];
    const size = k % 5 === 0 ? 1.5 : 0.2;
    const v = (): Vec3 => [c[0] + (random() - 0.5) * size, c[1] + (random() - 0.5) * size, c[2] + (random() - 0.5) * size];
    sketch.triangle(v(), v(), v());
  }
  sketch.box([0.5, 0, 0.5], [1, 1.2, 1.1], { id: 'crate', sampled: false });
  return sketch.build();
}

function demoHouse() {
  const path = new URL('../../demo/brick-two-storey/brick-two-storey.property.json', import.meta.url);
  const parsed = parseProperty(readFileSync(path, 'utf8'));
  if (!parsed.ok) throw new Error('the demo property does not parse');
  const sources = resolveSources(parsed.document, 'good', { after: true, dirt: 'asShown' });
  return { scene: buildScene(parsed.document), sources };
}

it('kernels run here: the rest of this file compares two different things', () => {
  expect(kernelsRun()).toBe(true);
  expect(createCaster(clutter(1), 'auto').kernels).toBeDefined();
  expect(createCaster(clutter(1), 'off').kernels).toBeUndefined();
});

describe('hard shadow masks of the kernels against the f64 reference', () => {
  // Samples whose ray passes an edge within 0.1 mm may differ: the two round differently.
  it('random triangles, lamps anywhere (seeds 31 to 34)', () => {
    const random = seeded(30);
    const sum = { samples: 0, hidden: 0, wrong: 0 };
    for (let seed = 31; seed < 35; seed++) {
      const lamps = Array.from({ length: 5 }, (): Vec3 => [random() * 5 - 2.5, random() * 3.5 + 0.1, random() * 5 - 2.5]);
      const found = compareShadows(clutter(seed), lamps, 2);
      for (const key of ['samples', 'hidden', 'wrong'] as const) sum[key] += found[key];
    }
    expect(sum.samples).toBeGreaterThan(10_000);
    expect(sum.hidden).toBeGreaterThan(2000);
    expect(sum.wrong / sum.samples).toBeLessThan(2e-4);
  });

  it.each([0.1, 0.03])('lamps %s m off a wall (seed 35)', (offM) => {
    const random = seeded(35);
    const lamps = Array.from({ length: 6 }, (): Vec3 => [random() * 4 - 2, random() * 3 + 0.2, -3 + offM]);
    const { samples, hidden, wrong } = compareShadows(clutter(36), lamps, 2);
    expect(hidden).toBeGreaterThan(1000);
    expect(wrong / samples).toBeLessThan(2e-4);
  });

  it('contact: a skin 0.05 mm over a floor throws none, a sheet 2 mm over it does, a box that stands on it as well', () => {
    const sketch = new SceneSketch();
    sketch.rect([-3, 0, 3], [6, 0, 0], [0, 0, -6], { id: 'floor' });
    sketch.rect([-2, 0.00005, 2], [1, 0, 0], [0, 0, -1], { sampled: false });
    sketch.rect([1, 0.002, 2], [1, 0, 0], [0, 0, -1], { sampled: false });
    sketch.box([-0.5, 0, -1], [0.5, 0.4, 0], { id: 'box', sampled: true });
    const scene = sketch.build();
    const { samples, hidden, wrong } = compareShadows(
      scene,
      [
        [0.3, 2, 1],
        [-2.4, 0.05, 0.7],
        [2.7, 0.6, -2.2],
      ],
      2,
    );
    expect(hidden).toBeGreaterThan(500);
    expect(wrong / samples).toBeLessThan(2e-4);
    const hiddenAt = (s: number, t: number): boolean[] => {
      const out: boolean[] = [];
      eachTile(
        scene,
        [[0.3, 2, 1]],
        (node, off, fast) => {
          const { face, s0M, t0M, cellM } = node.ref;
          const i = Math.round((s - s0M) / cellM + 0.5);
          const j = Math.round((t - t0M) / cellM + 0.5);
          if (scene.faces[face]!.id !== 'floor' || i < 1 || j < 1 || i > 30 || j > 30) return;
          out.push(isHidden(off, j * 32 + i), isHidden(fast, j * 32 + i));
        },
        2,
      );
      return out;
    };
    expect(hiddenAt(1.5, 1.5)).toEqual([false, false]);
    expect(hiddenAt(4.5, 1.5)).toEqual([true, true]);
  });
});

describe('optical depth of leaves at the samples of tiles', () => {
  it('clumps and textbook crowns, lamp outside and inside: transmittance within 2e-4 at 99 %, 2e-3 anywhere', () => {
    const sketch = new SceneSketch();
    sketch.rect([-4, 0, 4], [8, 0, 0], [0, 0, -8]);
    sketch.rect([-4, 0, -4], [8, 0, 0], [0, 5, 0]);
    const random = seeded(44);
    const clumps = Array.from({ length: 60 }, (): [number, number, number, number] => [
      random() * 3 - 1.5,
      1.5 + random() * 2,
      random() * 3 - 1.5,
      0.15 + 0.3 * random(),
    ]);
    sketch.scene.plants.push(plant('tree', clumps, 2));
    sketch.scene.ellipsoids.push({
      id: 'crown',
      centre: [2.4, 2, -2],
      radiiM: [0.8, 1.2, 0.6],
      leafAreaDensityM2M3: 0.5,
      clumping: 1,
    });
    const errors: number[] = [];
    const lamps: Vec3[] = [
      [0, 0.2, 2.5],
      [0.2, 2.4, 0.1],
      [2.4, 2, -2.1],
      [-3, 4, 3],
    ];
    eachTile(sketch.build(), lamps, (node, off, fast) => {
      for (let k = 0; k < 1024; k++) {
        if (((node.rows[k >> 5]! >>> (k & 31)) & 1) === 0 || isHidden(off, k)) continue;
        const [a, b] = [off.depth?.[k] ?? 0, fast.depth?.[k] ?? 0];
        if (a > 0 || b > 0) errors.push(Math.abs(Math.exp(-a) - Math.exp(-b)));
      }
    });
    errors.sort((a, b) => a - b);
    expect(errors.length).toBeGreaterThan(1000);
    expect(errors[Math.floor(errors.length * 0.99)]).toBeLessThan(2e-4);
    expect(errors.at(-1)).toBeLessThan(2e-3);
  });
});

/** Direct light with its edges; the first step of the bounces says that both are done. */
function solveDirect(model: LightModel): void {
  for (const { stage } of model.solve()) if (stage === 'bounced') break;
}

/** The same sources through both twins, direct light alone. */
function solveBoth(scene: SceneModel, sources: Source[]): [LightModel, LightModel] {
  return TWINS.map((kernels) => {
    const model = createLightModel(scene, { bounceRays: 16, kernels });
    model.setSources(sources, NIGHT);
    solveDirect(model);
    return model;
  }) as [LightModel, LightModel];
}

/** |Δ| ÷ max(E, 0.1 lx) of the direct light, sorted, at the samples that both fields have. */
function fieldErrors(off: LightModel, fast: LightModel): number[] {
  const tiles = new Map(off.field.tiles.map((t) => [t.id, t.slot]));
  const out: number[] = [];
  for (const { id, slot } of fast.field.tiles) {
    const other = tiles.get(id);
    if (other === undefined) continue;
    for (let k = 0; k < 1024; k++) {
      if (fast.field.valid[slot * 1024 + k] === 0) continue;
      const a = off.field.directRgb[(other * 1024 + k) * 3 + 1]!;
      const b = fast.field.directRgb[(slot * 1024 + k) * 3 + 1]!;
      if (a > 0 || b > 0) out.push(Math.abs(a - b) / Math.max(a, 0.1));
    }
  }
  return out.sort((a, b) => a - b);
}

const at = (sorted: readonly number[], share: number): number => sorted[Math.floor(sorted.length * share)]!;

describe('lux of whole fields by both twins', () => {
  it('the demo house with three of its lights: walls, ground, leaf cards and bars', () => {
    const { scene, sources } = demoHouse();
    const some = sources.filter((_, k) => k % Math.ceil(sources.length / 3) === 0);
    const [off, fast] = solveBoth(scene, some);
    const errors = fieldErrors(off, fast);
    expect(errors.length).toBeGreaterThan(30_000);
    expect(Math.abs(fast.field.tiles.length / off.field.tiles.length - 1)).toBeLessThan(0.02);
    expect(at(errors, 0.5)).toBeLessThan(1e-5);
    expect(at(errors, 0.99)).toBeLessThan(1e-3);
    // One ray of twelve decided otherwise at an edge of the brightest light.
    expect(at(errors, 0.9999)).toBeLessThan(0.1);
    const cards: number[] = [];
    let [sumOff, sumFast] = [0, 0];
    for (let k = 1; k < off.field.cards.length; k += 3) {
      const [a, b] = [off.field.cards[k]!, fast.field.cards[k]!];
      sumOff += a;
      sumFast += b;
      if (a > 0.05 || b > 0.05) cards.push(Math.abs(a - b) / Math.max(a, 0.1));
    }
    cards.sort((a, b) => a - b);
    expect(cards.length).toBeGreaterThan(1000);
    expect(at(cards, 0.5)).toBeLessThan(1e-4);
    // The reference lets dim clumps share what stands between them and the lamp; the kernels do not.
    expect(at(cards, 0.95)).toBeLessThan(0.1);
    expect(Math.abs(sumFast / sumOff - 1)).toBeLessThan(0.01);
    const strands: number[] = [];
    for (let k = 1; k < off.field.strandRgb.length; k += 3) {
      const [a, b] = [off.field.strandRgb[k]!, fast.field.strandRgb[k]!];
      if (a > 0.05 || b > 0.05) strands.push(Math.abs(a - b) / Math.max(a, 0.1));
    }
    strands.sort((a, b) => a - b);
    expect(at(strands, 0.98)).toBeLessThan(1e-3);
  });

  it('a beam without symmetry (linear spread lens), rolled, re-aimed from what is kept', () => {
    const sketch = new SceneSketch();
    sketch.rect([-3, 0, 3], [6, 0, 0], [0, 0, -6], { reflectance: 0 });
    sketch.rect([-3, 0, -3], [6, 0, 0], [0, 4, 0], { reflectance: 0 });
    sketch.box([-0.5, 0, -1], [0.5, 0.9, 0], { id: 'box', sampled: true, reflectance: 0 });
    const scene = sketch.build();
    const source = testSource([0.4, 0.3, 1.6], [0.2, 1.5, -3], {
      fluxLm: 500,
      beamAngleFullDeg: 30,
      lensRadiusM: 0.03,
      rollDeg: 25,
    });
    const spread: Source = { ...source, fixture: { ...source.fixture, lens: { kind: 'linearSpread', rollDeg: 40 } } };
    const models = solveBoth(scene, [spread]);
    const first = fieldErrors(...models);
    expect(at(first, 0.5)).toBeLessThan(1e-5);
    expect(at(first, 0.99)).toBeLessThan(1e-3);
    const turned: Source = { ...spread, fixture: { ...spread.fixture, aim: [-1.5, 1, -3] } };
    for (const model of models) {
      model.setSources([turned], NIGHT);
      solveDirect(model);
    }
    const errors = fieldErrors(...models);
    expect(errors.length).toBeGreaterThan(2000);
    expect(at(errors, 0.5)).toBeLessThan(1e-5);
    expect(at(errors, 0.99)).toBeLessThan(1e-3);
  });
});
