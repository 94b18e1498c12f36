import { describe, expect, it } from 'vitest';
import { fixtureRecord, lampRecord } from '../../src/scene/index.ts';
import { openingLuminance, openingOf } from '../../src/view/lenses/lensLight.ts';

const lamp = lampRecord.parse({
  id: 'l',
  name: 'panel',
  distribution: { kind: 'model', fluxLm: 100, beamAngleFullDeg: 120, spillShare: 0 },
  cctK: 2700,
  powerW: 5,
  powerFactor: 1,
  lowestV: 10,
  startV: 10,
  highestV: 15,
  lensRadiusM: 0.02,
});
const fixture = fixtureRecord.parse({ id: 'f', at: [0, 0, 0], aim: [0, 0, 1], lampId: 'l' });

describe('luminance of an opening', () => {
  // A full beam of 120° gives n = 1: I = Φ/π·cos θ, a Lambertian disc of L = Φ/(π²r²) at every angle.
  const L = 100 / (Math.PI ** 2 * 0.02 ** 2);

  it.each([0, 30, 60, 80])('of a Lambertian disc is the same at %i° (closed form)', (deg) => {
    const a = (deg * Math.PI) / 180;
    const seen = openingLuminance(openingOf(fixture, lamp, 1), [4 * Math.sin(a), 0, 4 * Math.cos(a)]);
    expect(Math.abs(seen / L - 1)).toBeLessThan(0.005);
  });

  it('follows its weight and is dark from behind', () => {
    expect(openingLuminance(openingOf(fixture, lamp, 0.25), [0, 0, 3])).toBeCloseTo(
      0.25 * openingLuminance(openingOf(fixture, lamp, 1), [0, 0, 3]),
      6,
    );
    expect(openingLuminance(openingOf(fixture, lamp, 1), [0, 0.1, -3])).toBe(0);
  });
});
