import { describe, expect, it } from 'vitest';
import { cctToLinearRgb } from '../../src/exposure/index.ts';
import { candelaAt, evenDistribution } from '../../src/lights/index.ts';
import { fixtureRecord, lampRecord } from '../../src/scene/index.ts';
import {
  heldRgb,
  insideLuminance,
  openingLuminance,
  openingOf,
  seenCos,
  shownDisc,
  shownStrip,
} from '../../src/view/lenses/lensLight.ts';

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
        const area = shown.wideM * shown.narrowM * (shown.turned ? 1 : cosTheta);
        // E at the eye = L·A·cos θ/d²: the seen area times luminance must not change.
        expect(area * shown.dimming).toBeCloseTo(0.02 ** 2 * cosTheta, 12);
        if (!shown.turned) continue;
        // As flat as it looks, and nowhere narrower than asked.
        expect(shown.narrowM).toBe(least);
        expect(shown.wideM).toBe(Math.max(least, 0.02));
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

describe('far outside the beam', () => {
  const at = (deg: number): [number, number, number] => [
    4 * Math.sin((deg * Math.PI) / 180),
    0,
    4 * Math.cos((deg * Math.PI) / 180),
  ];
  // The lamp's own distribution, asked straight: no table in between.
  it.each([
    [12, 0.1],
    [36, 0.1],
    [110, 0.1],
    [36, 0],
  ])('a lens of a %i° lamp with spill %f sends the eye the lamp’s own candela and no floor', (beamAngleFullDeg, spillShare) => {
    const distribution = { kind: 'model', fluxLm: 280, beamAngleFullDeg, spillShare } as const;
    for (const deg of [30, 60, 75, 85, 88]) {
      const I = candelaAt(distribution, (deg * Math.PI) / 180);
      const seen = openingLuminance(openingOf(fixture, { ...lamp, distribution }, 1), at(deg));
      const area = Math.PI * 0.02 ** 2 * Math.cos((deg * Math.PI) / 180);
      expect(Math.abs(seen * area - I)).toBeLessThan(0.005 * I + 1e-6);
    }
  });

  it('never outshines what its edge of 1 mm would show from the side, even where light leaves square to its axis', () => {
    const distribution = { kind: 'table', gammaDeg: [0, 90, 180], cDeg: [0], candela: [[10, 10, 10]] } as const;
    const opening = openingOf(fixture, { ...lamp, distribution: distribution as never }, 1);
    for (const deg of [86, 89, 89.9, 89.999]) {
      const L = openingLuminance(opening, at(deg));
      expect(L).toBeLessThanOrEqual((10 / (2 * 0.02 * 0.001)) * 1.0001);
      expect(L * Math.PI * 0.02 ** 2 * seenCos(0.02, Math.cos((deg * Math.PI) / 180))).toBeCloseTo(10, 3);
    }
    expect(openingLuminance(opening, at(90.01))).toBe(0);
  });
});

describe('inside of shades, shrouds and louvres', () => {
  // A Lambertian lens of 100 lm in a tube that cuts at 45°, as long as it is wide: F = (X − √(X² − 4))/2, X = 2 + 1/R² = 6, leaves
  // the mouth (view factor of equal coaxial discs, handbooks of heat transfer; from memory).
  const leaves = (6 - Math.sqrt(32)) / 2;
  const areaM2 = 2 * Math.PI * 0.02 * 0.04;
  const hung = fixtureRecord.parse({
    ...{ id: 'h', at: [0, 2, 0], aim: [0, 1, 0], lampId: 'l', mount: 'hanging' },
    shield: { kind: 'shroud', cutOffDeg: 45, rollDeg: 0 },
  });
  const louvred = { ...hung, mount: 'stake' as const, shield: { ...hung.shield, kind: 'louvre' as const } };

  it.each([
    ['a white shade', hung, 0.6, 1 - leaves],
    ['a black shroud', { ...hung, mount: 'stake' as const }, 0.04, 1 - leaves],
    ['a black louvre', louvred, 0.04, 1 - 0.85 * leaves],
  ])('%s is as bright as the light it stops (closed form)', (_, record, rho, stopped) => {
    const { shadeCdM2 } = openingOf(record, lamp, 1);
    expect(Math.abs((shadeCdM2 * Math.PI * areaM2) / (rho * 100 * stopped) - 1)).toBeLessThan(0.02);
    expect(openingOf(record, lamp, 0.25).shadeCdM2).toBeCloseTo(shadeCdM2 / 4, 9);
  });

  it('is nothing without a shield', () => {
    expect(openingOf(fixture, lamp, 1).shadeCdM2).toBe(0);
    expect(openingOf({ ...hung, shield: { ...hung.shield, kind: 'none' } }, lamp, 1).shadeCdM2).toBe(0);
  });

  // Rays from the mouth back into the tube: the lens, or a wall whose light grows evenly from 0 at the mouth to twice its mean.
  it.each([20, 40, 60, 80])('far mouths show the walls that rays meet, from %i°', (deg) => {
    const opening = openingOf(hung, lamp, 1);
    const theta = (deg * Math.PI) / 180;
    const eye: [number, number, number] = [100 * Math.sin(theta), 2 - 100 * Math.cos(theta), 0];
    let sum = 0;
    let rays = 0;
    for (let i = -49.5; i < 50; i++)
      for (let j = -49.5; j < 50; j++) {
        const [x, y] = [i / 50, j / 50];
        if (x * x + y * y > 1) continue;
        rays++;
        // Backward along the sight, across the tube (radius 1, length 2) to its wall.
        const deep = (x + Math.sqrt(1 - y * y)) / Math.tan(theta);
        if (deep < 2) sum += deep;
      }
    const traced = (opening.shadeCdM2 * sum) / rays;
    const shown = insideLuminance(opening, eye);
    expect(shown / traced).toBeGreaterThan(0.75);
    expect(shown / traced).toBeLessThan(1.35);
    if (deg > 45) expect(shown / traced).toBeCloseTo(1, 2);
  });
});
