import { describe, expect, it } from 'vitest';
import { compileBeam } from '../../src/lights/index.ts';
import { buildScene } from '../../src/scene/index.ts';
import { angleArcs, beamOutline, halfIntensityAngle } from '../../src/ui/picture/beamOutline.ts';
import { testProperty } from '../editor/property.ts';

const CLEAR = { kind: 'clear', rollDeg: 0 } as const;
const BARE = { kind: 'none', cutOffDeg: 45, rollDeg: 0 } as const;
const beamOf = (beamAngleFullDeg: number, spillShare = 0) =>
  compileBeam({ kind: 'model', fluxLm: 450, beamAngleFullDeg, spillShare }, CLEAR, BARE);

describe('outline of a beam where it lands', () => {
  it('half intensity of a cosⁿ beam lies at half its full beam angle (definition of beam angle, IES LM-63 and CIE S 017)', () => {
    for (const full of [12, 24, 60, 110]) {
      expect((halfIntensityAngle(beamOf(full), 1) * 180) / Math.PI).toBeCloseTo(full / 2, 1);
    }
    expect(halfIntensityAngle(beamOf(24, 0.3), 0)).toBeGreaterThan((12 * Math.PI) / 180);
  });

  it('square on a wall it is a circle of radius d·tan(B/2); slanted on it, an ellipse whose far end follows the angles', () => {
    const property = testProperty();
    const scene = buildScene(property);
    const fixture = property.schemes[0]!.fixtures[0]!;
    // The front wall of the test property stands on z = 0, x −6 to 6, 6 m high; the lamp looks square at it from 2 m.
    const square = { ...fixture, at: [0.5, 3, 2] as const, aim: [0.5, 3, 0] as const };
    const circle = beamOutline(scene, { ...square, at: [...square.at], aim: [...square.aim] }, beamOf(24));
    for (const p of circle) {
      expect(p?.[2]).toBeCloseTo(0, 6);
      expect(Math.hypot(p![0] - 0.5, p![1] - 3)).toBeCloseTo(2 * Math.tan((12 * Math.PI) / 180), 2);
    }
    // From the foot, 1 m out, aimed 2 m up: the axis rises atan 2 = 63.43°, the upper edge 12° more.
    const slanted = beamOutline(scene, { ...fixture, at: [0.5, 0.01, 1], aim: [0.5, 2.01, 0] }, beamOf(24));
    const top = Math.max(...slanted.map((p) => p?.[1] ?? 0));
    expect(top).toBeCloseTo(0.01 + Math.tan(((63.435 + 12) * Math.PI) / 180), 1);
  });

  it('the tilt arc runs from upright to the axis', () => {
    const property = testProperty();
    const fixture = { ...property.schemes[0]!.fixtures[0]!, at: [0, 1, 1] as [number, number, number] };
    const { tilt } = angleArcs(property, { ...fixture, aim: [0, 1, 0] });
    expect(tilt[0]![1]).toBeCloseTo(1.6, 6);
    expect(tilt.at(-1)![1]).toBeCloseTo(1, 6);
    expect(tilt.at(-1)![2]).toBeCloseTo(0.4, 6);
  });
});
