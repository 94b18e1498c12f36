import { describe, expect, it } from 'vitest';
import { createLightModel, resolveSources } from '../../src/lights/index.ts';
import { buildScene, createEmptyProperty, parseProperty, serialiseProperty } from '../../src/scene/index.ts';

/** Common bare street lamp, here 4,000 lm spread evenly downward (n = 1): peak Φ/π cd. Invented. */
function streetLampOverRoad() {
  const parsed = parseProperty(
    JSON.stringify({
      ...JSON.parse(serialiseProperty(createEmptyProperty('street'))),
      ground: {
        levels: [
          {
            id: 'road',
            outline: [
              [-9, -9],
              [9, -9],
              [9, 9],
              [-9, 9],
            ],
            heightM: 0,
            material: 'asphalt',
          },
        ],
      },
      catalogue: {
        lamps: [
          {
            id: 'street',
            name: 'street lamp',
            distribution: { kind: 'model', fluxLm: 4000, beamAngleFullDeg: 120, spillShare: 0 },
            cctK: 3000,
            powerW: 35,
            powerFactor: 0.9,
            lowestV: 9,
            startV: 10,
            highestV: 15,
            lensRadiusM: 0.02,
          },
        ],
      },
      existing: [
        { id: 'lamp-post', name: 'street lamp', at: [0, 6, 0], aim: [0, 0, 0], mount: 'wall', lampId: 'street', dirtFactor: 1 },
      ],
    }),
  );
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.errors[0]));
  return parsed.document;
}

describe('street lamps and porch lights of the property', () => {
  const document = streetLampOverRoad();

  it('stay on in "before", and light the ground as Φ/(π·h²) under the lamp (cosine law, closed form)', () => {
    const model = createLightModel(buildScene(document), { surroundings: 'suburb' });
    const night = { sunAltitudeDeg: -12, sunAzimuthDeg: 270, moon: 'none', cloud: 'clear', leaves: 'on' } as const;
    for (const after of [false, true]) {
      const sources = resolveSources(document, 'scheme-1', { after, dirt: 'asShown' });
      expect(sources.filter((s) => s.weight > 0).map((s) => [s.id, s.existing])).toEqual([['lamp-post', true]]);
      model.setSources(sources, night);
      const light = model.exactAt([0, 0, 0], [0, 1, 0]);
      expect(light.directLx / (4000 / Math.PI / 36)).toBeCloseTo(1, 2);
      // Explained by name, as every light is.
      expect(light.bySource.map((s) => s.id)).toEqual(['lamp-post']);
      const aside = model.exactAt([6, 0, 0], [0, 1, 0]);
      // 45° off: I·cos³θ/h² with I = I₀·cos θ.
      expect(aside.directLx / ((4000 / Math.PI / 36) * Math.SQRT1_2 ** 4)).toBeCloseTo(1, 2);
    }
  });
});
