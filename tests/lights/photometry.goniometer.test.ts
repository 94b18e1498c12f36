import { describe, expect, it } from 'vitest';
import { candelaAt, distributionFluxLm } from '../../src/lights/distribution.ts';
import { lampFromPhotometry, readPhotometry } from '../../src/lights/photometry/index.ts';
import { goniometerDirection, turnedOver } from '../../src/lights/photometry/planes.ts';
import { textbookLamp } from './photometryLamp.ts';
import { bytes, cosine, DEG, lm63, lobes, steps } from './photometryFiles.ts';

type Vec = readonly [number, number, number];
const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
/** cosⁿ about a direction; 2π·1000/(n+1) lm where its half space is the measured one. */
const about =
  (axis: Vec, n: number) =>
  (d: Vec): number =>
    1000 * Math.max(0, dot(axis, d)) ** n;
/** Direction of γ, C in the frame x right, y axis, z up. */
const direction = (gDeg: number, cDeg: number): Vec => [
  Math.sin(gDeg * DEG) * Math.cos(cDeg * DEG),
  Math.cos(gDeg * DEG),
  Math.sin(gDeg * DEG) * Math.sin(cDeg * DEG),
];
const grid = (type: 'A' | 'B', I: (d: Vec) => number, h = steps(-90, 90, 2.5), v = steps(-90, 90, 2.5)) =>
  readPhotometry(
    bytes(lm63((V, H) => I(goniometerDirection(type, H, V)), { type: type === 'B' ? 2 : 3, v, h, header: 'IESNA:LM-63-2002' })),
  );

describe('Types A and B as planes about the beam axis (facts.md A.1)', () => {
  it('check case 4: directions of (30,20) and (45,45), both 35.5313° and 60° off axis', () => {
    const near = (a: Vec, b: Vec) => {
      for (const k of [0, 1, 2]) expect(a[k]).toBeCloseTo(b[k]!, 5);
    };
    near(goniometerDirection('A', 30, 20), [0.46985, 0.8138, 0.34202]);
    near(goniometerDirection('B', 30, 20), [0.5, 0.8138, 0.2962]);
    near(goniometerDirection('A', 45, 45), [0.5, 0.5, Math.SQRT1_2]);
    near(goniometerDirection('B', 45, 45), [Math.SQRT1_2, 0.5, 0.5]);
    for (const type of ['A', 'B'] as const) {
      expect(Math.acos(goniometerDirection(type, 30, 20)[1]) / DEG).toBeCloseTo(35.5313, 4);
      expect(Math.acos(goniometerDirection(type, 45, 45)[1]) / DEG).toBeCloseTo(60, 4);
    }
  });

  it.each(['A', 'B'] as const)('%s: a beam on the axis keeps peak, flux and beam', (type) => {
    const r = grid(type, about([0, 1, 0], 12));
    expect(r.peakCd).toBeCloseTo(1000, 6);
    expect(r.fluxLm / ((2 * Math.PI * 1000) / 13)).toBeCloseTo(1, 2);
    expect(r.beamAngleFullDeg).toBeCloseTo((2 * Math.acos(0.5 ** (1 / 12))) / DEG, 0);
    expect(r.warnings.join()).toContain(`Type ${type} photometry is turned into planes`);
  });

  it.each(['A', 'B'] as const)('%s: a beam aside of the axis lands where its own direction says', (type) => {
    const axis = goniometerDirection(type, 30, 20);
    const r = grid(type, about(axis, 12));
    const c = Math.atan2(axis[2], axis[0]) / DEG;
    expect(candelaAt(r.table, 35.5313 * DEG, c * DEG) / 1000).toBeGreaterThan(0.98);
    let worst = 0;
    for (const g of [0, 10, 20, 35, 50, 70]) {
      for (const C of [0, 30, 90, 170, 250, 300]) {
        worst = Math.max(worst, Math.abs(candelaAt(r.table, g * DEG, C * DEG) - about(axis, 12)(direction(g, C))));
      }
    }
    expect(worst).toBeLessThan(15);
  });

  it('horizontal angles from 0 are mirrored left to right', () => {
    const I = (d: Vec) => 500 * Math.max(0, d[1]) * (1 + 0.5 * d[0] ** 2 + 0.3 * d[2]);
    const half = grid('B', I, steps(0, 90, 2.5));
    const full = grid('B', I);
    expect(half.fluxLm / full.fluxLm).toBeCloseTo(1, 9);
    for (const C of [20, 100, 160, 200, 340])
      expect(candelaAt(half.table, 40 * DEG, C * DEG)).toBeCloseTo(candelaAt(full.table, 40 * DEG, C * DEG), 6);
  });

  // LM-63 Types A and B: angles first −90 or 0, last 90 (facts.md A.1, from memory); from 0 the halves are alike.
  it.each(['A', 'B'] as const)('%s: angles from 0 read as the full file with its halves mirrored by hand', (type) => {
    const I = (d: Vec) => 500 * Math.max(0, d[1]) * (1 + 0.5 * Math.abs(d[0]) + 0.3 * d[2] ** 2);
    const full = grid(type, I);
    const cases = [grid(type, I, steps(-90, 90, 2.5), steps(0, 90, 2.5)), grid(type, I, steps(0, 90, 2.5), steps(0, 90, 2.5))];
    for (const half of cases) {
      expect(half.table.candela).toEqual(full.table.candela);
      expect(half.fluxLm).toBe(full.fluxLm);
      expect(half.warnings.join()).toContain('read as a mirror image');
    }
  });

  it('refuses vertical angles that start above 0', () => {
    expect(() => grid('B', about([0, 1, 0], 4), steps(-90, 90, 10), steps(10, 90, 10))).toThrow(
      /line \d+, "10": Type B with vertical angles from 10 to 90; vertical angles from -90 to 90, or from 0 to 90/,
    );
  });

  it('a narrower range is dark outside, and that is said', () => {
    const r = grid('B', () => 100, steps(-20, 20, 2), steps(-20, 20, 2));
    expect(candelaAt(r.table, 40 * DEG, 0)).toBe(0);
    expect(r.warnings.join()).toMatch(/Vertical angles run from -20 to 20/);
  });
});

describe('on a light (pitfall 13)', () => {
  it('turned over twice is itself; flux stays; γ → 180 − γ, C → −C', () => {
    const I = (g: number, c: number) => lobes(0.4, 0.3)(180 - g, c);
    const { table } = readPhotometry(bytes(lm63(I, { v: steps(90, 180, 5), h: steps(0, 345, 15) })));
    const over = turnedOver(table);
    expect(distributionFluxLm(over)).toBeCloseTo(distributionFluxLm(table), 6);
    for (const [g, c] of [
      [30, 45],
      [70, 200],
    ] as const) {
      expect(candelaAt(over, g * DEG, c * DEG)).toBeCloseTo(candelaAt(table, (180 - g) * DEG, (360 - c) * DEG), 9);
      expect(candelaAt(turnedOver(over), (180 - g) * DEG, c * DEG)).toBeCloseTo(candelaAt(table, (180 - g) * DEG, c * DEG), 9);
    }
  });

  it('an uplight measured as it stands shines along the beam of the light it is put on', () => {
    const up = readPhotometry(
      bytes(lm63((g) => 1000 * Math.max(0, -Math.cos(g * DEG)), { v: steps(90, 180, 5), tail: [1, 1, 14] })),
    );
    const { lamp, notes } = lampFromPhotometry(up, 'lamp-2', textbookLamp, 'up.ies');
    expect(candelaAt(lamp.distribution, 0)).toBe(1000);
    expect(lamp.powerW).toBe(14);
    expect(lamp.startV).toBe(textbookLamp.startV);
    expect(notes.join()).toContain('turned over');
  });

  it('a downward beam stays as it is; what the file does not say is kept and said', () => {
    const down = readPhotometry(bytes(lm63(cosine, { tail: [1, 1, 0] })));
    const { lamp, notes } = lampFromPhotometry(down, 'lamp-2', textbookLamp, 'down.ies');
    expect(candelaAt(lamp.distribution, 0)).toBe(1000);
    expect(lamp.name).toBe('down.ies');
    expect(lamp.powerW).toBe(textbookLamp.powerW);
    expect(notes.join()).toMatch(/no watts.*no colour/);
  });
});
