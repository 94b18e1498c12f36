import { describe, expect, it } from 'vitest';
import { createLightModel } from '../../src/lights/index.ts';
import { eyeReport, judgedSources, judgingNight } from '../../src/review/index.ts';
import { buildScene } from '../../src/scene/index.ts';
import { centreCd } from './formulas.ts';
import { light, property } from './helpers.ts';

describe('eye report', () => {
  // 1 lx at the eye, 10° off the gaze: facts 6.4, check case 14.
  const cd = 4;
  const document = property({
    lamps: [{ id: 'lamp', fluxLm: cd / centreCd(1, 60), beamAngleFullDeg: 60 }],
    scheme: {
      fixtures: [
        light('L1', [2 * Math.sin(Math.PI / 18), 1, -2 * Math.cos(Math.PI / 18)], [0, 1, 0]),
        light('L2', [0, 1, 4], [0, 1, 0]),
      ],
    },
  });
  const model = createLightModel(buildScene(document));
  model.setSources(judgedSources(document, 's', 'judgedFirstNight'), judgingNight(document));

  it('CIE 146 general equation, p = .5: .0672587 at 23, .071659 at 35, .152794 at 70 years', () => {
    for (const [age, perLux] of [
      [23, 0.0672587],
      [35, 0.071659],
      [70, 0.152794],
    ] as const) {
      const report = eyeReport(model, [0, 1, 0], [0, 0, -1], age, ['L1']);
      expect(report.byFixture).toHaveLength(1);
      expect(report.eyeIlluminanceLx).toBeCloseTo(1, 4);
      expect(report.byFixture[0]!.angleFromGazeDeg).toBeCloseTo(10, 4);
      expect(Math.abs(report.veilingLuminanceCdM2 / perLux - 1)).toBeLessThan(5e-4);
    }
  });
  it('sums the lights; one behind the back veils nothing (beyond 100°)', () => {
    const report = eyeReport(model, [0, 1, 0], [0, 0, -3]);
    expect(report.eyeIlluminanceLx).toBeCloseTo(1.25, 4);
    expect(report.byFixture.find((one) => one.id === 'L2')!.veilingLuminanceCdM2).toBe(0);
    expect(Object.keys(report).sort()).toEqual(['byFixture', 'eyeIlluminanceLx', 'veilingLuminanceCdM2']);
    expect(Object.keys(report.byFixture[0]!).sort()).toEqual([
      'angleFromGazeDeg',
      'eyeIlluminanceLx',
      'id',
      'transmittance',
      'veilingLuminanceCdM2',
    ]);
  });
  it('a gaze of zero length is refused', () => {
    expect(() => eyeReport(model, [0, 1, 0], [0, 0, 0])).toThrow(/direction/);
  });
});
