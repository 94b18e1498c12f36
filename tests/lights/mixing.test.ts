import { describe, expect, it } from 'vitest';
import { createLightModel, type LightModel, type Source } from '../../src/lights/index.ts';
import type { Vec3 } from '../../src/scene/index.ts';
import { plant } from './leaves.fixture.ts';
import { SceneSketch } from './testScene.ts';
import { NIGHT, testSource } from './testSource.ts';

/** A wall with a ledge, a lawn and a bush; three lamps. */
function garden() {
  const sketch = new SceneSketch();
  sketch.rect([-3, 0, 0], [6, 0, 0], [0, 3, 0], { reflectance: 0.4, id: 'wall' });
  sketch.rect([-3, 0, 4], [6, 0, 0], [0, 0, -4], { reflectance: 0.2, id: 'lawn' });
  sketch.box([-1, 1.5, 0], [1, 1.58, 0.1], { id: 'ledge', sampled: false });
  sketch.scene.plants.push(
    plant(
      'bush',
      [
        [1.5, 0.6, 1.5, 0.4],
        [1.7, 0.9, 1.4, 0.3],
      ],
      2,
      10,
    ),
  );
  return sketch.build();
}
const lamps = (): Source[] => [
  testSource([-1.5, 0.1, 0.4], [-1.5, 3, 0.2], { id: 'a', beamAngleFullDeg: 36, lensRadiusM: 0.02, cctK: 2700 }),
  testSource([0.5, 0.1, 0.5], [0.5, 3, 0.2], { id: 'b', beamAngleFullDeg: 60, lensRadiusM: 0.02, cctK: 4000, spillShare: 0.1 }),
  testSource([1.5, 0.1, 2], [1.5, 1, 1], { id: 'c', beamAngleFullDeg: 50, lensRadiusM: 0.02, spillShare: 0.1 }),
];
const model = (): LightModel => createLightModel(garden(), { bounceRays: 16, tileBudget: 220 });

function at(m: LightModel, face: number, s: number, t: number): number[] {
  const f = m.sampleField(face, s, t)!;
  return [...f.directRgb, ...f.indirectRgb];
}
const PLACES: [number, number, number][] = [];
for (let k = 0; k < 40; k++) {
  PLACES.push([0, 0.1 + ((k * 1.37) % 5.8), 0.1 + ((k * 0.77) % 2.8)], [1, 0.1 + ((k * 1.91) % 5.8), 0.1 + ((k * 1.13) % 3.8)]);
}
const near = (a: number, b: number, share: number): boolean => Math.abs(a - b) <= share * Math.max(Math.abs(b), 0.1);

describe('mixing', () => {
  it('superposition: the field of three lamps is the sum of their layers × weight × colour, and sky is apart', () => {
    const m = model();
    m.setSources(lamps(), NIGHT);
    m.solveAll();
    for (const tile of m.field.tiles.slice(0, 40)) {
      for (let k = 33; k < 1024; k += 97) {
        const o = (tile.slot * 1024 + k) * 3;
        if (!m.field.valid[tile.slot * 1024 + k]) continue;
        const s = tile.s0M + ((k & 31) - 0.5) * tile.cellM;
        const t = tile.t0M + ((k >> 5) - 0.5) * tile.cellM;
        if ((k & 31) === 0 || (k & 31) === 31 || k >> 5 === 31) continue;
        const sum = ['a', 'b', 'c'].reduce((x, id) => x + m.sampleLayer(id, tile.face, s, t), 0);
        const d = m.field.directRgb;
        const Y = 0.2126 * d[o]! + 0.7152 * d[o + 1]! + 0.0722 * d[o + 2]!;
        expect(near(Y, sum, 1e-4)).toBe(true);
        // V·n is the direct illuminance.
        expect(near(m.field.vector[o + 2]!, Y, 1e-4)).toBe(true);
      }
    }
  });

  it('a long run of moves, dims and colours equals a fresh solve of the last state', () => {
    const m = model();
    let sources = lamps();
    m.setSources(sources, NIGHT);
    m.solveAll();
    for (let step = 0; step < 6; step++) {
      const place: Vec3 = [-1.5 + 0.2 * step, 0.1, 0.4];
      sources = [
        testSource(place, [place[0], 3, 0.1 * step], {
          id: 'a',
          beamAngleFullDeg: 36,
          lensRadiusM: 0.02,
          weight: 1 - 0.1 * step,
        }),
        sources[1]!,
        testSource([1.5, 0.1, 2], [1.5, 1, 1], {
          id: 'c',
          beamAngleFullDeg: 50,
          lensRadiusM: 0.02,
          spillShare: 0.1,
          cctK: 2700 + 300 * step,
        }),
      ];
      m.setSources(sources, NIGHT);
      if (step % 2 === 0) m.solveAll();
      // An overtaken solve: begun and left.
      else m.solve().next();
    }
    m.setSources(sources, NIGHT);
    m.solveAll();
    const fresh = model();
    fresh.setSources(sources, NIGHT);
    fresh.solveAll();
    const wrong = PLACES.filter(([face, s, t]) => {
      const other = at(fresh, face, s, t);
      return at(m, face, s, t).some((x, i) => !near(x, other[i]!, 0.06));
    });
    // Tile sets may differ, so compare as accuracy: nearly all within a few per cent; cards exactly.
    expect(wrong.length).toBeLessThanOrEqual(4);
    m.field.cards.forEach((x, i) => {
      if (!near(x, fresh.field.cards[i]!, 0.02)) throw new Error(`card number ${i}: ${x} against ${fresh.field.cards[i]}`);
    });
  });

  it('incremental sums equal the sum from scratch on the same tiles', () => {
    const m = model();
    m.setSources(lamps(), NIGHT);
    m.solveAll();
    const before = m.field.directRgb.slice();
    const dimmed = lamps().map((s) => ({ ...s, weight: 0.37 }));
    m.setSources(dimmed, NIGHT);
    m.solveAll();
    m.field.tiles.forEach((tile) => {
      for (let k = 0; k < 3072; k++) {
        const i = tile.slot * 3072 + k;
        if (!near(m.field.directRgb[i]!, 0.37 * before[i]!, 1e-4)) throw new Error(`tile ${tile.id} number ${k}`);
      }
    });
    m.setSources([], NIGHT);
    m.solveAll();
    m.field.tiles.forEach((tile) => {
      for (let k = 0; k < 3072; k++)
        if (m.field.directRgb[tile.slot * 3072 + k] !== 0) throw new Error(`tile ${tile.id} keeps light`);
    });
  });

  it('dimming and colour trace no ray, a new aim traces fewer than a new place, sources keep their layers', () => {
    const m = model();
    const sources = lamps();
    m.setSources(sources, NIGHT);
    m.solveAll();
    const cost = (changed: Source[]): number => {
      const before = m.stats.rays;
      m.setSources(changed, NIGHT);
      m.solveAll();
      return m.stats.rays - before;
    };
    expect(cost(sources.map((s) => ({ ...s, weight: 0.5 })))).toBe(0);
    const warm = { ...sources[0]!, lamp: { ...sources[0]!.lamp, cctK: 2200 } };
    expect(cost([warm, sources[1]!, sources[2]!])).toBe(0);
    const aimed = testSource([-1.5, 0.1, 0.4], [-1.45, 3, 0.2], { id: 'a', beamAngleFullDeg: 36, lensRadiusM: 0.02 });
    const moved = testSource([-1.4, 0.1, 0.4], [-1.4, 3, 0.2], { id: 'a', beamAngleFullDeg: 36, lensRadiusM: 0.02 });
    const aim = cost([aimed, sources[1]!, sources[2]!]);
    const move = cost([moved, sources[1]!, sources[2]!]);
    expect(aim).toBeLessThan(move);
  });

  it('says what changed, in the order direct, edges, bounced, settled, and keeps the budget', () => {
    const m = model();
    m.setSources(lamps(), NIGHT);
    const stages = new Set<string>();
    for (const step of m.solve()) {
      stages.add(step.stage);
      // At every pause each slot in use belongs to one listed tile.
      expect(m.field.tiles.every((tile) => tile.slot >= 0)).toBe(true);
      expect(new Set(m.field.tiles.map((tile) => tile.slot)).size).toBe(m.field.tiles.length);
    }
    expect([...stages]).toEqual(['direct', 'edges', 'bounced', 'settled']);
    expect(m.takeDirty().slots.length).toBe(m.field.tiles.length);
    expect(m.takeDirty()).toEqual({ slots: [], cards: false, strands: false });
    expect(m.field.tiles.length).toBeLessThanOrEqual(220);
    const tiles = m.field.tiles;
    m.setSources(
      lamps().map((s) => (s.id === 'c' ? { ...s, weight: 0.2 } : s)),
      NIGHT,
    );
    m.solveAll();
    const dirty = m.takeDirty();
    expect(dirty.cards).toBe(true);
    expect(dirty.slots.length).toBeGreaterThan(0);
    expect(m.field.tiles).toBe(tiles);
  });
});
