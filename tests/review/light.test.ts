import { describe, expect, it } from 'vitest';
import type { LightModel } from '../../src/lights/index.ts';
import type { Finding, FindingKind } from '../../src/review/index.ts';
import { buildScene, type PropertyDocument, type SceneModel, type Vec2, type Vec3 } from '../../src/scene/index.ts';
import { centreCd } from './formulas.ts';
import { findKind, input, judgedModel, light, property } from './helpers.ts';
import { referenceModel } from './referenceModel.ts';

const models = [
  { name: 'the solver', create: judgedModel },
  { name: 'a reference that shares no code with it', create: (scene: SceneModel): LightModel => referenceModel(scene) },
];

describe.each(models)('light findings on $name', ({ create }) => {
  const find = (document: PropertyDocument, kind: FindingKind): Finding[] =>
    findKind(input(document, create(buildScene(document))), kind);

  const wall = (id: string, from: Vec2, to: Vec2, heightM = 6.5, reflectance = 0.35) => ({
    kind: 'wall',
    id,
    name: id,
    from,
    to,
    heightM,
    material: { reflectance },
    freeStanding: true,
  });
  const building = (...parts: object[]) => [{ id: 'b', name: 'b', parts }];

  describe('hotSpot: 450 lm 36°, lens 0.10 m up, wall 6.5 m (trade row 33: 6.8 and 2.4 along a line of no width)', () => {
    const lit = (setBackM: number, aimM: number) =>
      property({
        lamps: [{ id: 'lamp', fluxLm: 450, beamAngleFullDeg: 36 }],
        buildings: building(wall('w', [-4, 0], [4, 0])),
        scheme: { fixtures: [light('L1', [0, 0.1, setBackM], [0, aimM, 0])] },
      });
    it('0.30 m from the wall, aimed at its top: a warning near 6.8', () => {
      const [finding] = find(lit(0.3, 6.5), 'hotSpot');
      expect(finding).toMatchObject({ severity: 'warn', subject: 'L1 × w/outer' });
      expect(Math.abs(finding!.value / stripRatio(0.3, 6.5) - 1)).toBeLessThan(0.02);
      expect(finding!.message).toMatch(
        /^Hot spot: light 1, 0\.30 m from the wall, w 0\.\d\d m up, \d+ lx, 7\.\d times the mean up the wall; limit 6\.5 \(common practice, no source\)\.$/,
      );
    });
    it('a wall that another panel lights is no hot spot of a far lamp that brings it a tenth (common practice, no source)', () => {
      // A luminous panel close to the wall makes a patch of its own; the lamp 12 m off adds little and does not lead there.
      const document = property({
        lamps: [{ id: 'lamp', fluxLm: 450, beamAngleFullDeg: 36 }],
        buildings: building(wall('w', [-4, 0], [4, 0]), {
          kind: 'panel',
          id: 'glow',
          corner: [0.2, 2, 0.4],
          u: [-0.4, 0, 0],
          v: [0, 0, -0.3],
          luminanceCdM2: 200,
          material: { reflectance: 0 },
        }),
        scheme: { fixtures: [light('L1', [0, 0.1, 12], [0, 14, 6])] },
      });
      expect(find(document, 'hotSpot')).toEqual([]);
    });
    /** Peak ÷ mean of E = I(θ)·s/(s² + x² + h²)^{3/2} over a strip 0.3 m wide (0: along a line). */
    function stripRatio(setBackM: number, aimM: number, widthM = 0.3): number {
      const n = Math.log(0.5) / Math.log(Math.cos(Math.PI / 10));
      const aim = Math.hypot(aimM - 0.1, setBackM);
      const E = (x: number, y: number) => {
        const d = Math.hypot(setBackM, x, y - 0.1);
        const cosTheta = (setBackM * setBackM + (y - 0.1) * (aimM - 0.1)) / (d * aim);
        return cosTheta > 0 ? (cosTheta ** n * setBackM) / d ** 3 : 0;
      };
      const rows = Array.from({ length: 1300 }, (_, i) => (i + 0.5) * 0.005);
      const columns = Array.from({ length: 15 }, (_, i) => ((i + 0.5) / 15 - 0.5) * widthM);
      const all = rows.flatMap((y) => columns.map((x) => E(x, y)));
      return Math.max(...all) / (all.reduce((sum, one) => sum + one, 0) / all.length);
    }
    it('the closed form gives the 6.8 and 2.4 of the row along a line', () => {
      expect(stripRatio(0.3, 6.5, 0)).toBeCloseTo(6.8, 1);
      expect(stripRatio(1.5, 4.5, 0)).toBeCloseTo(2.4, 1);
    });
    it('1.5 m from the wall: 2.4, no finding', () => {
      expect(find(lit(1.5, 4.5), 'hotSpot')).toEqual([]);
    });
    it('a pale wall near the lamp: above 50 cd/m² by ρE/π', () => {
      const document = property({
        buildings: building(wall('w', [-2, 0], [2, 0], 2, 0.65)),
        lamps: [{ id: 'lamp', fluxLm: 900, beamAngleFullDeg: 60 }],
        scheme: { fixtures: [light('L1', [0, 1, 1], [0, 1, 0])] },
      });
      const [finding] = find(document, 'hotSpot');
      // Straight at the wall from 1 m: E = I0, L = ρ·I0/π.
      const L = (0.65 * centreCd(900, 60)) / Math.PI;
      expect(finding).toMatchObject({ severity: 'warn', unit: 'cd/m²', limit: 50 });
      expect(Math.abs(finding!.value / L - 1)).toBeLessThan(0.01);
    });
  });

  describe('windowLight: 800 cd at 8 m, 30° incidence = 10.825 lx (facts 7.1), zone E3: 10 before curfew, 2 after', () => {
    const normal: Vec3 = [Math.sin(Math.PI / 6), 0, Math.cos(Math.PI / 6)];
    const document = (offAt: string | undefined) =>
      property({
        site: {
          surroundings: 'suburb',
          curfew: '23:00',
          neighbourWindows: [{ id: 'bedroom', name: 'bedroom, upper floor', at: [0, 4, 0], normal, widthM: 1, heightM: 1.2 }],
        },
        lamps: [{ id: 'lamp', fluxLm: 800 / centreCd(1, 36), beamAngleFullDeg: 36 }],
        scheme: {
          fixtures: [light('L1', [0, 4, 8], [0, 4, 0], { zoneId: 'trees' })],
          zones: [{ id: 'trees', name: 'Trees', ...(offAt ? { offAt } : {}) }],
        },
      });
    it('a light without off time burns on: judged by the figure after curfew', () => {
      const [finding] = find(document(undefined), 'windowLight');
      expect(Math.abs(finding!.value / 10.825 - 1)).toBeLessThan(0.02);
      expect(finding).toMatchObject({ severity: 'warn', subject: 'bedroom', limit: 2 });
      expect(finding!.message).toContain(
        'lx after 23:00; figure 2 lx, CIE 150:2017, zone E3, guidance only (from memory, to be verified)',
      );
    });
    it('off by curfew: judged by the figure before it', () => {
      expect(find(document('22:30'), 'windowLight')[0]).toMatchObject({ severity: 'warn', limit: 10 });
      expect(find(document('00:30'), 'windowLight')[0]).toMatchObject({ limit: 2 });
    });
  });

  describe('seatGlare and veil', () => {
    /** A lamp of `cd` that shines straight at the eye from 2 m, `deg` off its gaze. */
    const seat = (cd: number, deg: number, view: object = {}) =>
      property({
        lamps: [{ id: 'lamp', fluxLm: cd / centreCd(1, 60), beamAngleFullDeg: 60 }],
        viewpoints: [{ id: 'bench', name: 'bench', eye: [0, 1.2, 0], lookAt: [0, 1.2, -10], ...view }],
        scheme: {
          fixtures: [light('L1', [2 * Math.sin((deg * Math.PI) / 180), 1.2, -2 * Math.cos((deg * Math.PI) / 180)], [0, 1.2, 0])],
        },
      });
    it('I/d² at the eye: 20 cd from 2 m is 5 lx', () => {
      const [finding] = find(seat(20.01, 8), 'seatGlare');
      expect(finding).toMatchObject({ severity: 'warn', subject: 'bench × L1', viewpoint: 'bench' });
      expect(finding!.value).toBeCloseTo(5.0025, 3);
      expect(find(seat(19.9, 8), 'seatGlare')[0]).toMatchObject({ severity: 'note' });
      expect(find(seat(7.9, 8), 'seatGlare')).toEqual([]);
    });
    it('counts within 30° of any gaze the seat allows', () => {
      expect(find(seat(100, 31), 'seatGlare')).toEqual([]);
      expect(find(seat(100, 29), 'seatGlare')).toHaveLength(1);
      expect(find(seat(100, 70, { gazeSpreadDeg: 45 }), 'seatGlare')).toHaveLength(1);
    });
    it('the veil at 10°, age 35: .071659 cd/m² a lux (facts 6.4), over what must be seen', () => {
      // A grey panel behind, lit to a known luminance by the same lamp's twin: ρE/π.
      const document = property({
        lamps: [{ id: 'lamp', fluxLm: 40 / centreCd(1, 60), beamAngleFullDeg: 60 }],
        viewpoints: [{ id: 'path', name: 'path', eye: [0, 1.2, 0], lookAt: [0, 1.2, -10], mustSee: [0, 1.2, -10] }],
        buildings: building(wall('w', [-3, -10], [3, -10], 2.4, 0.5)),
        scheme: {
          fixtures: [
            light('L1', [2 * Math.sin(Math.PI / 18), 1.2, -2 * Math.cos(Math.PI / 18)], [0, 1.2, 0]),
            light('L2', [0, 1.2, -8], [0, 1.2, -10]),
          ],
        },
      });
      const [finding] = find(document, 'veil');
      // L2 shines away from the eye; L1 gives 40/4 = 10 lx there. L2 gives 40/4 = 10 lx on the panel: 1.5915 cd/m².
      const expected = (10 * 0.071659) / ((0.5 * 10) / Math.PI);
      expect(Math.abs(finding!.value / expected - 1)).toBeLessThan(0.005);
      expect(finding).toMatchObject({ severity: 'note', subject: 'path' });
      expect(finding!.message).toContain(`0.96 at 70 years`); // .152794 at 70 ÷ 1.5915 × 10
    });
  });

  describe('stepDark: lowest lux on the tread, by hand', () => {
    const document = (fluxLm: number) =>
      property({
        lamps: [{ id: 'lamp', fluxLm, beamAngleFullDeg: 90 }],
        buildings: building({
          kind: 'steps',
          id: 'st',
          name: 'Entry',
          at: [0, 0, 0],
          widthM: 1.2,
          riserM: 0.15,
          treadM: 0.3,
          count: 1,
          material: { reflectance: 0.3 },
        }),
        scheme: { fixtures: [light('L1', [0, 2.15, -0.15], [0, 0, -0.15])] },
      });
    /** Lamp 2 m straight above the middle of the tread; darkest judged place near its corner, I0 cosⁿ⁺³θ/h². */
    const corner = (fluxLm: number) => {
      const offset = Math.hypot(0.55 - 1.1 / 24, 0.1 - 0.02);
      const cos = 2 / Math.hypot(2, offset);
      const n = Math.log(0.5) / Math.log(Math.cos(Math.PI / 4));
      return (centreCd(fluxLm, 90) * cos ** (n + 3)) / 4;
    };
    it('agrees with the point formula within 5 %', () => {
      const [finding] = find(document(40), 'stepDark');
      expect(finding).toMatchObject({ severity: 'note', subject: 'st/tread-1' });
      expect(Math.abs(finding!.value / corner(40) - 1)).toBeLessThan(0.05);
      expect(finding!.message).toContain('a design aid, not a requirement');
    });
    it('below 2 lx a warning, above 5 none, unlit 0 lx', () => {
      expect(find(document(10), 'stepDark')[0]!.severity).toBe('warn');
      expect(find(document(60), 'stepDark')).toEqual([]);
      expect(find(document(0), 'stepDark')[0]).toMatchObject({ severity: 'warn' });
      expect(find(document(0), 'stepDark')[0]!.value).toBeLessThan(0.03);
    });
  });

  describe('targets', () => {
    const document = (wantedLx: number, targetId: string) =>
      property({
        lamps: [{ id: 'lamp', fluxLm: 500, beamAngleFullDeg: 60 }],
        buildings: building(wall('w', [-1, 0], [1, 0], 2)),
        scheme: { fixtures: [light('L1', [0, 1.8, 4], [0, 1.8, 0], { targetId, wantedLx })] },
      });
    // The top fifth lies round the beam's axis 4 m away: E = I0/16 within 8 % over ±1 m.
    const lx = centreCd(500, 60) / 16;
    it('weak below half, strong above three times the wanted lux', () => {
      expect(find(document(lx / 0.4, 'w'), 'weakOnTarget')[0]).toMatchObject({ severity: 'note', subject: 'L1 × w' });
      expect(find(document(lx / 0.2, 'w/outer'), 'weakOnTarget')[0]).toMatchObject({ severity: 'warn', subject: 'L1 × w/outer' });
      expect(find(document(lx, 'w'), 'weakOnTarget')).toEqual([]);
      expect(find(document(lx / 4, 'w#0.5-1.5'), 'strongOnTarget')[0]).toMatchObject({
        severity: 'note',
        subject: 'L1 × w#0.5-1.5',
      });
      expect(find(document(lx / 8, 'w'), 'strongOnTarget')[0]!.severity).toBe('warn');
    });
  });

  describe('what is averaged, against sums of the point formula', () => {
    /** cosⁿ beam, 60°, seen by a wall at distance s: relative lux at (x, y) from the beam's axis. */
    const E = (s: number, x: number, y: number) => {
      const n = Math.log(0.5) / Math.log(Math.cos(Math.PI / 6));
      const d2 = s * s + x * x + y * y;
      return (s / Math.sqrt(d2)) ** (n + 1) / d2;
    };
    const mean = (s: number, xs: [number, number], ys: [number, number]) => {
      const mid = ([a, b]: [number, number]) => Array.from({ length: 80 }, (_, i) => a + ((i + 0.5) / 80) * (b - a));
      const all = mid(xs).flatMap((x) => mid(ys).map((y) => E(s, x, y)));
      return all.reduce((sum, one) => sum + one, 0) / all.length;
    };
    it('a target is judged on its top fifth', () => {
      const document = property({
        lamps: [{ id: 'lamp', fluxLm: 500, beamAngleFullDeg: 60 }],
        buildings: building(wall('w', [-1, 0], [1, 0], 5)),
        scheme: { fixtures: [light('L1', [0, 1, 3], [0, 1, 0], { targetId: 'w', wantedLx: 100 })] },
      });
      const lx = centreCd(500, 60) * mean(3, [-1, 1], [3, 4]);
      expect(Math.abs(find(document, 'weakOnTarget')[0]!.value / (lx / 100) - 1)).toBeLessThan(0.02);
    });
    it('the sides of a corner are averaged within 2 m of it', () => {
      const document = property({
        lamps: [
          { id: 'lamp', fluxLm: 900, beamAngleFullDeg: 60 },
          { id: 'weak', fluxLm: 90, beamAngleFullDeg: 60 },
        ],
        viewpoints: [{ id: 'corner', name: 'Corner', eye: [14, 1.6, 14], lookAt: [4, 1.5, 4] }],
        buildings: building(
          ...(
            [
              ['front', [-4, 4], [4, 4]],
              ['right', [4, 4], [4, -4]],
              ['back', [4, -4], [-4, -4]],
              ['left', [-4, -4], [-4, 4]],
            ] as [string, Vec2, Vec2][]
          ).map(([id, from, to]) => ({ ...wall(id, from, to, 3), freeStanding: false })),
        ),
        scheme: {
          fixtures: [light('F', [2.5, 1.5, 5.5], [2.5, 1.5, 4]), light('S', [5.5, 1.5, 1], [4, 1.5, 1], { lampId: 'weak' })],
        },
      });
      const expected = (0.1 * mean(1.5, [1, 3], [-1.5, 1.5])) / mean(1.5, [-0.5, 1.5], [-1.5, 1.5]);
      expect(Math.abs(find(document, 'darkSide')[0]!.value / expected - 1)).toBeLessThan(0.05);
    });
  });

  describe('darkGap and darkSide', () => {
    const row = (xs: number[]) =>
      property({
        lamps: [{ id: 'lamp', fluxLm: 400, beamAngleFullDeg: 60 }],
        viewpoints: [{ id: 'street', name: 'Street', eye: [0, 1.6, 14], lookAt: [0, 1.6, 0], fieldDeg: 80 }],
        buildings: building(wall('w', [-10, 0], [10, 0], 3)),
        scheme: { fixtures: xs.map((x, i) => light(`L${i}`, [x, 1.5, 1.2], [x, 1.5, 0])) },
      });
    it('an even row has no gap; its dark ends are none either', () => {
      expect(find(row([-6, -3, 0, 3, 6]), 'darkGap')).toEqual([]);
    });
    it('two lights removed from the middle: a gap where the point formula puts it, ±1°', () => {
      const xs = [-7, -4.5, 4.5, 7];
      const [gap, ...others] = find(row(xs), 'darkGap');
      expect(others).toEqual([]);
      expect(gap).toMatchObject({ severity: 'warn', viewpoint: 'street', subject: 'street × w' });
      const half = gapHalfDeg(xs);
      expect(Math.abs(gap!.value - 2 * half)).toBeLessThanOrEqual(1);
      const [from, to] = /from (\d+)° left to (\d+)° right/.exec(gap!.message)!.slice(1).map(Number) as [number, number];
      expect(Math.abs(from - half)).toBeLessThanOrEqual(1);
      expect(Math.abs(to - half)).toBeLessThanOrEqual(1);
    });
    /** Half width of the gap about the middle: widest where every bearing is below a tenth of the next 10° of lit wall. */
    function gapHalfDeg(xs: number[]): number {
      const n = Math.log(0.5) / Math.log(Math.cos(Math.PI / 6));
      const E = (x: number, y: number) =>
        xs.reduce((sum, x0) => {
          const d2 = (x - x0) ** 2 + (y - 1.5) ** 2 + 1.44;
          const cos = 1.2 / Math.sqrt(d2);
          return sum + cos ** (n + 1) / d2;
        }, 0);
      const mean = (deg: number) => {
        const x = 14 * Math.tan((deg * Math.PI) / 180);
        const heights = Array.from({ length: 60 }, (_, i) => (i + 0.5) * 0.05);
        return heights.reduce((sum, y) => sum + E(x, y), 0) / heights.length;
      };
      const side = (from: number) =>
        Array.from({ length: 20 }, (_, i) => mean(from + 0.25 + i / 2)).reduce((sum, one) => sum + one, 0) / 20;
      let half = 0;
      for (let deg = 0.1; deg < 25; deg += 0.1) if (mean(deg) < 0.1 * side(deg)) half = deg;
      return half;
    }

    const house = (sideLight: boolean) =>
      property({
        lamps: [{ id: 'lamp', fluxLm: 600, beamAngleFullDeg: 60 }],
        viewpoints: [{ id: 'corner', name: 'Corner', eye: [14, 1.6, 14], lookAt: [4, 1.5, 4] }],
        buildings: building(
          ...[
            ['front', [-4, 4], [4, 4]],
            ['right', [4, 4], [4, -4]],
            ['back', [4, -4], [-4, -4]],
            ['left', [-4, -4], [-4, 4]],
          ].map(([id, from, to]) => ({ ...wall(id as string, from as Vec2, to as Vec2, 3), freeStanding: false })),
        ),
        scheme: {
          fixtures: [
            light('F1', [3, 1.5, 5.5], [3, 1.5, 4]),
            light('F2', [0, 1.5, 5.5], [0, 1.5, 4]),
            ...(sideLight ? [light('S1', [5.5, 1.5, 3], [4, 1.5, 3])] : []),
          ],
        },
      });
    it('a lit front beside a side without light: a warning at the corner both are seen from', () => {
      const [finding, ...others] = find(house(false), 'darkSide');
      expect(others).toEqual([]);
      expect(finding).toMatchObject({ severity: 'warn', subject: 'front × right', viewpoint: 'corner' });
      expect(finding!.value).toBeLessThan(0.001);
    });
    it('a light on the side takes it away', () => {
      expect(find(house(true), 'darkSide')).toEqual([]);
    });
  });
});
