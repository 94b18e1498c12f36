import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  aimFromAngles,
  alongMarks,
  anglesOf,
  createLight,
  evenAlong,
  facingBearingDeg,
  findWall,
  mountFor,
  moveLight,
  nearestWall,
  piersOf,
  placeFromWall,
  placeRefusal,
  placesAlong,
  snapAlong,
  snapSetBack,
  wallPlaceOf,
  withPlaceFields,
} from '../../src/editor/index.ts';
import { type PartOf, type PropertyDocument, propertyRecord, type Vec3 } from '../../src/scene/index.ts';
import { testProperty } from './property.ts';

const property = testProperty();
const light = createLight(property, 'good', [-2, 0.1, 0.38], [-2, 4, 0]);
const front = findWall(property, 'front')!;

/** A wall at any place and turn, on sloping ground. */
function turnedProperty(from: [number, number], to: [number, number], freeStanding: boolean): PropertyDocument {
  return propertyRecord.parse({
    ...property,
    buildings: [
      {
        id: 'b',
        name: 'b',
        parts: [{ id: 'w', kind: 'wall', from, to, heightM: 3, material: { reflectance: 0.3 }, freeStanding }],
      },
    ],
    ground: {
      levels: [
        {
          id: 'g',
          outline: [
            [-90, -90],
            [90, -90],
            [90, 90],
            [-90, 90],
          ],
          heightM: 1,
          slopeX: 0.1,
          slopeZ: -0.05,
          material: { reflectance: 0.2 },
        },
      ],
    },
  });
}

describe('place against a wall', () => {
  it('reads set-back, along, height, tilt and bearing of a light before the front', () => {
    const place = wallPlaceOf(property, light)!;
    expect(place).toMatchObject({ wallId: 'front', wallName: 'front wall', wallLengthM: 12, side: 'outer' });
    expect(place.setBackM).toBeCloseTo(0.38, 12);
    expect(place.alongM).toBeCloseTo(4, 12);
    expect(place.heightM).toBeCloseTo(0.1, 12);
    // atan(0.38 / 3.9) = 5.565° from upright, toward −Z: square to the wall.
    expect(place.tiltDeg).toBeCloseTo(5.565, 3);
    expect(place.bearingDeg).toBeCloseTo(0, 9);
    expect(place.offSquareDeg).toBeCloseTo(0, 9);
  });

  it('counts right of square as positive for one who faces the wall', () => {
    const right = wallPlaceOf(property, { ...light, aim: [-1, 4, 0] })!;
    expect(right.offSquareDeg).toBeGreaterThan(0);
    expect(wallPlaceOf(property, { ...light, aim: [-3, 4, 0] })!.offSquareDeg).toBeLessThan(0);
  });

  const seed = 5150;
  const metre = fc.double({ min: -30, max: 30, noNaN: true });
  it(`placeFromWall is the inverse, any wall, both sides, sloping ground, seed ${seed}`, () => {
    fc.assert(
      fc.property(
        metre,
        metre,
        fc.double({ min: 0, max: 6.28, noNaN: true }),
        fc.double({ min: 0.05, max: 9, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.boolean(),
        (x, z, turn, setBackM, share, inner) => {
          const doc = turnedProperty([x, z], [x + 8 * Math.cos(turn), z + 8 * Math.sin(turn)], true);
          const side = inner ? 'inner' : 'outer';
          const at = placeFromWall(doc, { wallId: 'w', setBackM, alongM: share * 8, heightM: 0.2, side });
          const read = wallPlaceOf(doc, { ...light, at, aim: [at[0] + 1, at[1] + 1, at[2]] })!;
          expect(read.side).toBe(side);
          for (const [got, put] of [
            [read.setBackM, setBackM],
            [read.alongM, share * 8],
            [read.heightM, 0.2],
          ] as const)
            expect(got).toBeCloseTo(put, 9);
        },
      ),
      { seed },
    );
  });

  it(`aimFromAngles is the inverse of anglesOf, seed ${seed}`, () => {
    fc.assert(
      fc.property(metre, metre, metre, (x, y, z) => {
        fc.pre(Math.hypot(x, z) > 1e-3);
        const at: Vec3 = [1, 2, 3];
        const aim: Vec3 = [1 + x, 2 + y, 3 + z];
        const { tiltDeg, bearingDeg, distanceM } = anglesOf(at, aim);
        const back = aimFromAngles(at, tiltDeg, bearingDeg, distanceM);
        for (const i of [0, 1, 2] as const) expect(back[i]).toBeCloseTo(aim[i], 9);
      }),
      { seed },
    );
  });

  it('names the compass: −Z is 0°, +X 90°, +Z 180°, −X 270°; up 0°, level 90°, down 180°', () => {
    const o: Vec3 = [0, 0, 0];
    expect(
      [
        [0, 0, -1],
        [1, 0, 0],
        [0, 0, 1],
        [-1, 0, 0],
      ].map((d) => anglesOf(o, d as Vec3).bearingDeg),
    ).toEqual([0, 90, 180, 270]);
    expect(
      [
        [0, 1, 0],
        [1, 0, 0],
        [0, -1, 0],
      ].map((d) => anglesOf(o, d as Vec3).tiltDeg),
    ).toEqual([0, 90, 180]);
    expect(facingBearingDeg(front)).toBeCloseTo(0, 9);
    expect(() => aimFromAngles(o, 190, 0, 1)).toThrow('tiltDeg 190');
  });

  it('never measures from behind a house wall', () => {
    expect(nearestWall(property, [0, 0, -2])).toBeUndefined();
    expect(nearestWall(turnedProperty([0, 0], [6, 0], true), [1, 0, -2])?.id).toBe('w');
  });

  it('sets typed fields: moving keeps the mark or the angles, turning keeps the distance', () => {
    const moved = withPlaceFields(property, light, { setBackM: 0.6 });
    expect(moved.at[2]).toBeCloseTo(0.6, 12);
    expect(moved.aim).toEqual(light.aim);
    const carried = withPlaceFields(property, light, { setBackM: 0.6 }, { keep: 'direction' });
    expect(carried.aim[2]).toBeCloseTo(0.22, 12);
    const turned = withPlaceFields(property, light, { tiltDeg: 90, bearingDeg: 90 });
    const reach = anglesOf(light.at, light.aim).distanceM;
    expect(turned.aim[0]).toBeCloseTo(-2 + reach, 9);
    expect(turned.aim[1]).toBeCloseTo(0.1, 9);
    expect(moveLight(light, [0, 0, 1]).aim).toEqual(light.aim);
  });

  it('gives places at equal steps', () => {
    expect(placesAlong([0, 0, 1], [2, 0, 0], 1.5, 2)).toEqual([
      [1.5, 0, 1],
      [3, 0, 1],
    ]);
    expect(() => placesAlong([0, 0, 0], [0, 0, 0], 1, 1)).toThrow(RangeError);
  });
});

describe('snaps', () => {
  it('catch the usual set-backs within the radius and no farther', () => {
    expect([0.31, 0.37, 0.44, 0.62].map((v) => snapSetBack(v, 0.03)?.valueM)).toEqual([0.3, 0.38, 0.45, 0.6]);
    expect(snapSetBack(0.5, 0.03)).toBeUndefined();
  });

  it('find the piers of the front: openings 2.4–3.6 and 7.4–8.6 m of 12 m', () => {
    expect(piersOf(front).map((p) => [p.fromM, p.toM, p.midM].map((v) => Number(v.toFixed(3))))).toEqual([
      [0, 2.4, 1.2],
      [3.6, 7.4, 5.5],
      [8.6, 12, 10.3],
    ]);
    expect(piersOf(front)[1]!.name).toBe('pier between window 1 and window 2');
    expect(snapAlong(front, 5.4, 0.2)).toMatchObject({ name: 'mid-pier' });
    expect(snapAlong(front, 0.1, 0.2)).toEqual({ valueM: 0, name: 'corner' });
    expect(snapAlong(front, 3.55, 0.2)?.name).toBe('opening edge');
    expect(snapAlong(front, 4.5, 0.2)).toBeUndefined();
    expect(alongMarks(front)).toHaveLength(3 + 2 + 4);
  });

  it('join openings that stand above one another into one gap', () => {
    const upper = { ...front.openings[0]!, id: 'up', alongM: 3.2, sillM: 3.5 };
    const wall: PartOf<'wall'> = { ...front, openings: [...front.openings, upper] };
    expect(piersOf(wall)[1]!.fromM).toBeCloseTo(3.8, 9);
  });

  it('space evenly with half a spacing at the ends', () => {
    expect(evenAlong(front, 3)).toEqual([2, 6, 10]);
    expect(() => evenAlong(front, 0)).toThrow(RangeError);
  });
});

describe('what a light stands on', () => {
  const built = propertyRecord.parse({
    ...property,
    site: {
      boundary: [
        [-20, -20],
        [20, -20],
        [20, 20],
        [-20, 20],
      ],
    },
    buildings: [
      {
        id: 'house',
        name: 'House',
        parts: [
          ...property.buildings[0]!.parts,
          {
            id: 'steps',
            kind: 'steps',
            at: [0, 0, 2],
            widthM: 2,
            riserM: 0.15,
            treadM: 0.3,
            count: 4,
            material: { reflectance: 0.3 },
          },
          { id: 'col', kind: 'column', at: [4, 0, 3], heightM: 2.5, widthM: 0.3, material: { reflectance: 0.3 } },
          {
            id: 'tub',
            kind: 'tub',
            at: [-4, 0, 3],
            heightM: 0.5,
            topWidthM: 0.6,
            footWidthM: 0.4,
            material: { reflectance: 0.3 },
          },
          {
            id: 'roof',
            kind: 'roof',
            form: 'hip',
            centre: [0, -4],
            sizeM: [12, 8],
            eavesM: 6,
            ridgeM: 8,
            overhangM: 0.4,
            material: { reflectance: 0.1 },
          },
        ],
      },
    ],
    planting: [
      {
        kind: 'plant',
        id: 'oak',
        name: 'oak',
        habit: 'round',
        at: [8, 8],
        heightM: 8,
        spreadM: 6,
        crownBaseM: 2,
        trunkDiameterM: 0.3,
      },
    ],
  });
  const cases: [string, Vec3][] = [
    ['stake', [-3, 0, 6]],
    ['inGrade', [0, 0, 5]],
    ['wall', [-5, 2.2, 0.05]],
    ['tree', [8.2, 3, 8]],
    ['post', [4.2, 1.5, 3]],
    ['cap', [4, 2.5, 3]],
    ['pot', [-4, 0.5, 3]],
    ['step', [0, 0.1, 1.9]],
    ['gutter', [2, 6, 0.4]],
    ['riser', [-3, 0.6, 6]],
    ['free', [-3, 4, 9]],
  ];
  it.each(cases)('%s', (mount, at) => {
    expect(mountFor(built, at)).toBe(mount);
  });

  it("refuses water and a neighbour's ground, and says why", () => {
    expect(placeRefusal(built, [12, 0, 4])).toContain('In the water of Pool');
    expect(placeRefusal(built, [25, 0, 0])).toContain('Past the boundary');
    expect(placeRefusal(built, [0, 0, 5])).toBeUndefined();
  });
});
