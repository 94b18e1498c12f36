import { describe, expect, it } from 'vitest';
import { candelaAt, distributionFluxLm, evenDistribution, stringLightPlaces, withShape } from '../../src/lights/index.ts';
import { lampRecord, type Vec3 } from '../../src/scene/index.ts';
import { textbookLamp } from './photometryLamp.ts';

describe('shapes of a lamp keep its lumens', () => {
  it('globe: even all round, I = Φ/4π', () => {
    const globe = withShape(textbookLamp, 'globe');
    expect(distributionFluxLm(globe.distribution)).toBeCloseTo(450, 9);
    for (const gamma of [0, 1, 2, 3]) expect(candelaAt(globe.distribution, gamma)).toBeCloseTo(450 / (4 * Math.PI), 9);
  });
  it('strip: Lambertian, I0 = Φ/π; and back to a disc', () => {
    const strip = withShape(textbookLamp, 'line');
    expect(candelaAt(strip.distribution, 0)).toBeCloseTo(450 / Math.PI, 6);
    const back = withShape(withShape(textbookLamp, 'globe'), 'disc');
    expect(back.emitter).toBeUndefined();
    expect(distributionFluxLm(back.distribution)).toBeCloseTo(450, 9);
  });
  it('a table from a file stays as it was measured', () => {
    const table = { ...evenDistribution(100), sourceName: 'measured' } as const;
    for (const kind of ['disc', 'globe', 'line'] as const)
      expect(withShape({ ...textbookLamp, distribution: table }, kind).distribution).toBe(table);
  });
  it('records are accepted, and sizes out of range refused', () => {
    for (const kind of ['disc', 'globe', 'line'] as const)
      expect(lampRecord.safeParse(withShape(textbookLamp, kind)).success).toBe(true);
    expect(lampRecord.safeParse({ ...textbookLamp, emitter: { kind: 'line', lengthM: 0 } }).success).toBe(false);
    expect(lampRecord.safeParse({ ...textbookLamp, emitter: { kind: 'globe' } }).success).toBe(false);
  });
});

describe('string lights hang as a catenary', () => {
  const length = (a: Vec3, b: Vec3): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
  it('level: the middle lamp hangs by the sag, all on y = a·cosh(x/a)', () => {
    const places = stringLightPlaces([0, 3, 0], [6, 3, 8], 9, 0.8);
    expect(places[4]).toEqual([expect.closeTo(3, 6), expect.closeTo(2.2, 6), expect.closeTo(4, 6)]);
    // a from two heights must hold for all: cosh⁻¹ of the rise over the lowest point.
    const fit = (y: number, x: number, a: number): number => 2.2 + a * (Math.cosh(x / a) - 1) - y;
    let [low, high] = [1, 1000];
    for (let i = 0; i < 100; i++) {
      const mid = (low + high) / 2;
      if (fit(3, 5, mid) > 0) low = mid;
      else high = mid;
    }
    for (const p of places) expect(fit(p[1], Math.hypot(p[0], p[2]) - 5, low)).toBeCloseTo(0, 6);
  });
  it('lamps stand evenly along the cable, ends uneven in height', () => {
    const places = stringLightPlaces([0, 2, 0], [8, 3.5, 0], 400, 0.5);
    const gaps = places.slice(1).map((p, i) => length(p, places[i]!));
    expect(Math.max(...gaps) / Math.min(...gaps)).toBeLessThan(1.001);
    const middle = places.reduce((best, p) => (Math.abs(p[0] - 4) < Math.abs(best[0] - 4) ? p : best));
    expect(middle[1]).toBeCloseTo(2.75 - 0.5, 2);
  });
  it('taut, and what is refused', () => {
    expect(stringLightPlaces([0, 2, 0], [4, 2, 0], 3, 0).map((p) => p[0])).toEqual([1, 2, 3]);
    expect(() => stringLightPlaces([0, 2, 0], [0, 5, 0], 3, 0.1)).toThrow(/one above the other/);
    expect(() => stringLightPlaces([0, 2, 0], [1, 2, 0], 0, 0.1)).toThrow(/0 lamps/);
    expect(() => stringLightPlaces([0, 2, 0], [1, 2, 0], 2, -1)).toThrow(/-1 m/);
  });
});
