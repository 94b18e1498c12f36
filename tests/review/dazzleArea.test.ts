import { describe, expect, it } from 'vitest';
import { createLightModel, resolveSources } from '../../src/lights/index.ts';
import { dazzleArea, judgingNight } from '../../src/review/index.ts';
import { buildScene, type Vec3 } from '../../src/scene/index.ts';
import { beamExponent, centreCd } from './formulas.ts';
import { light, property } from './helpers.ts';

const square = (half: number) => [
  [-half, -half],
  [half, -half],
  [half, half],
  [-half, half],
];

/** A lamp of 450 lm, 36°, 1.6 m up, aimed level along −Z over level ground. */
function areaOf(more: { at?: Vec3; parts?: object[]; light?: object } = {}) {
  const at = more.at ?? [0, 1.6, 0];
  const document = property({
    ground: { levels: [{ id: 'g', outline: square(30), material: { reflectance: 0.1 } }] },
    lamps: [{ id: 'lamp', fluxLm: 450, beamAngleFullDeg: 36 }],
    buildings: [{ id: 'b', name: 'b', parts: more.parts ?? [] }],
    scheme: { fixtures: [light('L1', at, [at[0], at[1], at[2] - 5], more.light)] },
  });
  const model = createLightModel(buildScene(document));
  model.setSources(resolveSources(document, 's', { after: true, dirt: 'asShown' }), judgingNight(document));
  return dazzleArea(model, document.schemes[0]!.fixtures[0]!, document.catalogue.lamps[0]!, 5);
}

describe('where one light dazzles: I(θ)/d² = 5 lx is the edge (inverse square, trade 0.1)', () => {
  it('a standing eye on the axis is dazzled out to √(I0/5), and inside the beam’s own edge beside it', () => {
    const area = areaOf()!;
    const standing = area.postures.find((p) => p.posture === 'standing')!;
    const I0 = centreCd(450, 36);
    expect(standing.farthestM).toBeGreaterThan(Math.sqrt(I0 / 5) - area.cellM);
    expect(standing.farthestM).toBeLessThanOrEqual(Math.sqrt(I0 / 5));
    const n = beamExponent(36);
    for (const [x, , z] of standing.cells) {
      const d = Math.hypot(x, z);
      expect((I0 * (-z / d) ** n) / d ** 2).toBeGreaterThan(5 * 0.999);
    }
    const inside = (x: number, z: number) => -z > 0 && (I0 * (-z / Math.hypot(x, z)) ** n) / (x * x + z * z) > 5 * 1.001;
    let asked = 0;
    for (let i = -40; i <= 40; i++) for (let j = -40; j < 0; j++) if (inside(i / 2, j / 2)) asked++;
    expect(standing.cells.length).toBeGreaterThanOrEqual(asked);
  });

  it('a wall keeps the ground behind it free, and a lying eye under the beam sees less than a standing one', () => {
    const wall = { kind: 'box', id: 'w', name: 'w', centre: [0, 1.5, -4], sizeM: [12, 3, 0.2], material: { reflectance: 0.3 } };
    const standing = areaOf({ parts: [wall] })!.postures[0]!;
    expect(standing.cells.length).toBeGreaterThan(0);
    expect(standing.cells.every(([, , z]) => z > -4)).toBe(true);
    const open = areaOf()!;
    expect(open.postures.find((p) => p.posture === 'lying')!.cells.length).toBeLessThan(
      open.postures.find((p) => p.posture === 'standing')!.cells.length,
    );
  });

  it('is that of a clean lens, whatever the dirt; a light that is off has none', () => {
    const clean = areaOf()!.postures[0]!;
    const dirty = areaOf({ light: { dirtFactor: 0.6 } })!.postures[0]!;
    expect(dirty.cells.length).toBe(clean.cells.length);
    expect(dirty.worstLx).toBeCloseTo(clean.worstLx, 6);
    expect(areaOf({ light: { on: false } })).toBeUndefined();
  });
});
