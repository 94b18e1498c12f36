import { describe, expect, it } from 'vitest';
import { cctToLinearRgb } from '../../src/exposure/index.ts';
import { evenDistribution } from '../../src/lights/index.ts';
import { fixtureRecord, lampRecord } from '../../src/scene/index.ts';
import { heldRgb, openingLuminance, openingOf, shownDisc, shownStrip } from '../../src/view/lenses/lensLight.ts';

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

  it('keeps the light at the eye when a far or oblique lens is drawn as a spot', () => {
    for (const cosTheta of [1, 0.5, 0.05]) {
      for (const least of [0.001, 0.012, 0.05]) {
        const shown = shownDisc(0.02, cosTheta, least);
        const area = shown.turned ? shown.radiusM ** 2 : shown.radiusM ** 2 * cosTheta;
        // E at the eye = L·A·cos θ/d²: the seen area times luminance must not change.
        expect(area * shown.dimming).toBeCloseTo(0.02 ** 2 * cosTheta, 12);
        if (shown.turned) expect(shown.radiusM).toBeGreaterThanOrEqual(least);
      }
    }
  });
});

describe('globes and strips', () => {
  it('an even globe of Φ lm has L = Φ/(4π²R²) from every side, behind its axis too (closed form)', () => {
    const globe = openingOf(
      fixture,
      { ...lamp, distribution: evenDistribution(100), emitter: { kind: 'globe', radiusM: 0.1 } },
      1,
    );
    for (const eye of [
      [0, 0, 3],
      [2, 1, 0],
      [0, 0.1, -3],
    ] as const)
      expect(openingLuminance(globe, [...eye])).toBeCloseTo(100 / (4 * Math.PI ** 2 * 0.01), 4);
  });

  it('a Lambertian strip has L = Φ/(π·area) where it is wide enough to see, and brings the eye I/d² where it is not', () => {
    const strip = openingOf(fixture, { ...lamp, emitter: { kind: 'line', lengthM: 0.5 } }, 1);
    const area = 0.5 * 2 * 0.02;
    for (const [x, y, z] of [
      [0, 0, 4],
      [0, 3, 2],
      [2, 1, 3],
    ] as const) {
      const d = Math.hypot(x, y, z);
      const cosTheta = z / d;
      const near = shownStrip(strip, [x, y, z], 0)!;
      expect(near.luminanceCdM2 / (100 / (Math.PI * area))).toBeCloseTo(1, 2);
      const far = shownStrip(strip, [x, y, z], 0.2)!;
      // The fixture's right is −X here for an axis along +Z; the length's share seen is sin of the angle to it.
      const seenArea = 0.5 * far.widthM * Math.sqrt(1 - (x / d) ** 2);
      expect((far.luminanceCdM2 * seenArea) / ((100 / Math.PI) * cosTheta)).toBeCloseTo(1, 2);
    }
    expect(shownStrip(strip, [4, 0, 0], 0)).toBeUndefined();
    expect(shownStrip(strip, [0, 0, -4], 0.01)!.luminanceCdM2).toBe(0);
  });
});

describe('colour of a lens', () => {
  // The lamp's own chromaticity is the outside check: brightness changes nothing of it.
  it('of 2700 K stays warm however bright the lens is', () => {
    const { colour } = openingOf(fixture, lamp, 1);
    const [r, g, b] = cctToLinearRgb(2700);
    for (const L of [10, 25_000, 4e6]) {
      const shown = heldRgb(colour, L, 30_000);
      expect(Math.max(...shown)).toBeLessThanOrEqual(30_000 * (1 + 1e-9));
      expect(shown[0] / shown[1]).toBeCloseTo(r / g, 6);
      expect(shown[2] / shown[1]).toBeCloseTo(b / g, 6);
    }
    expect(heldRgb(colour, 4e6, 30_000)[0]).toBeCloseTo(30_000, 3);
  });
});

describe('inside of a shade', () => {
  // A Lambertian lens of 100 lm in a tube that cuts at 45°, as long as it is wide: F = (X − √(X² − 4))/2, X = 2 + 1/R² = 6, leaves
  // the mouth (view factor of equal coaxial discs, handbooks of heat transfer; from memory).
  const hung = fixtureRecord.parse({
    ...{ id: 'h', at: [0, 2, 0], aim: [0, 1, 0], lampId: 'l', mount: 'hanging' },
    shield: { kind: 'shroud', cutOffDeg: 45, rollDeg: 0 },
  });

  it('is as bright as the light it stops (closed form)', () => {
    const { shadeCdM2 } = openingOf(hung, lamp, 1);
    const areaM2 = 2 * Math.PI * (0.02 * 1.2 + 0.004) * 0.11;
    const stoppedLm = 100 * (1 - (6 - Math.sqrt(32)) / 2);
    expect(Math.abs((shadeCdM2 * Math.PI * areaM2) / (0.6 * stoppedLm) - 1)).toBeLessThan(0.02);
    expect(openingOf(hung, lamp, 0.25).shadeCdM2).toBeCloseTo(shadeCdM2 / 4, 9);
  });

  it('is nothing where a light stands, or has no shade', () => {
    expect(openingOf(fixture, lamp, 1).shadeCdM2).toBe(0);
    expect(openingOf({ ...hung, mount: 'stake' }, lamp, 1).shadeCdM2).toBe(0);
  });
});
