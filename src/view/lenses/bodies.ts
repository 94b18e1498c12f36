import type { FixtureRecord, Vec3 } from '../../scene/index.ts';
import { BODY_LENGTH_M, bodyRadiusM, type Opening } from './lensLight.ts';
import { type Lathe, squareTo } from './lathe.ts';

type Profile = Lathe['profile'];

/** Walls of shrouds and shades. */
const WALL_M = 0.003;
/** Radius of the cap that holds a globe, as a share of the globe's. */
const CAP_SHARE = 0.35;
const STAKE_RADIUS_M = 0.008;
const STEM_RADIUS_M = 0.011;
const KNUCKLE = { radiusM: 0.014, lengthM: 0.035 } as const;
const ARM_RADIUS_M = 0.008;
/** A staked light that looks this steeply down stands under a hat. */
const DOWNWARD = -0.9;
/** Radius of a hat over its lens's, its least radius and its rise. */
const HAT = { lensRadii: 2.6, leastM: 0.075, riseShare: 0.45, lipM: 0.006 } as const;
const UP: Vec3 = [0, 1, 0];

/** What a fixture is fixed to: the nearest place of a face, and its outward direction. */
export interface Foot {
  at: Vec3;
  normal: Vec3;
}

const along = (at: Vec3, way: Vec3, m: number): Vec3 => [at[0] + m * way[0], at[1] + m * way[1], at[2] + m * way[2]];
const turned = (at: Vec3, axis: Vec3, profile: Profile): Lathe => ({ at, axis, up: squareTo(axis), profile, finish: 'dark' });
const rod = (from: Vec3, axis: Vec3, radiusM: number, lengthM: number): Lathe =>
  turned(from, axis, [
    [radiusM, 0],
    [radiusM, lengthM],
    [0, lengthM],
  ]);

export const isPathLight = (fixture: FixtureRecord, { shape, frame }: Opening): boolean =>
  shape === 'disc' && (fixture.mount === 'stake' || fixture.mount === 'riser') && frame[1]! < DOWNWARD;

/**
 * The body of a fixture as turned parts, without its opening: a can with an open tube as long as its shroud's cut-off asks, a
 * shade, a hat on a stem, a cap on a globe, a profile behind a strip, a ring round what lies flush; and what holds it.
 */
export function bodyOf(fixture: FixtureRecord, opening: Opening, foot: Foot | undefined, groundM: number): Lathe[] {
  const { at, frame, shape, radiusM } = opening;
  const axis: Vec3 = [frame[0]!, frame[1]!, frame[2]!];
  if (fixture.mount === 'inGrade') return [turned(at, axis, ringProfile(radiusM))];
  if (isPathLight(fixture, opening)) return hatOf(opening, groundM);
  if (shape === 'line') return [stripBack(opening)];
  const body = shape === 'globe' ? [turned(at, axis, capProfile(radiusM))] : canOf(fixture, opening);
  return [...body, ...holderOf(fixture, opening, foot, groundM)];
}

function ringProfile(r: number): Profile {
  return [
    [1.5 * r, -0.02],
    [1.45 * r, 0.003],
    [1.08 * r, 0.003],
    [1.02 * r, 0],
  ];
}

function capProfile(R: number): Profile {
  return [
    [0, -1.8 * R],
    [0.6 * CAP_SHARE * R, -1.8 * R],
    [CAP_SHARE * R, -1.6 * R],
    [CAP_SHARE * R, -0.8 * R],
  ];
}

function stripBack({ at, frame, radiusM, lengthM }: Opening): Lathe {
  const lengthwise: Vec3 = [frame[3]!, frame[4]!, frame[5]!];
  const thick = radiusM * 1.2 + 0.001;
  const start = along(along(at, [frame[0]!, frame[1]!, frame[2]!], -thick), lengthwise, -lengthM / 2);
  return turned(start, lengthwise, [
    [0, 0],
    [thick, 0],
    [thick, lengthM],
    [0, lengthM],
  ]);
}

/** A can behind the lens and, with a shroud, its tube before it; a hanging one narrows to its socket. */
function canOf(fixture: FixtureRecord, opening: Opening): Lathe[] {
  const { at, frame, radiusM: r, tubeM } = opening;
  const axis: Vec3 = [frame[0]!, frame[1]!, frame[2]!];
  const R = bodyRadiusM(r);
  const B = BODY_LENGTH_M;
  const can = turned(
    at,
    axis,
    fixture.mount === 'hanging' && tubeM > 0
      ? [
          [0, -B],
          [0.3 * R, -B],
          [0.36 * R, -0.35 * B],
          [0.7 * R, -0.16 * B],
          [r + WALL_M, 0],
        ]
      : [
          [0, -B],
          [0.6 * R, -B],
          [0.92 * R, -0.88 * B],
          [R, -0.8 * B],
          [R, 0],
          [r, 0],
        ],
  );
  return tubeM > 0 ? [can, ...tubeOf(fixture, opening)] : [can];
}

/** The tube of a shroud, the half tube of a half shield: outside with its rim, and the inside that its lamp lights. */
function tubeOf({ shield }: FixtureRecord, { at, frame, radiusM: r, tubeM, shadeCdM2, colour }: Opening): Lathe[] {
  const half = shield.kind === 'halfShield';
  const axis: Vec3 = [frame[0]!, frame[1]!, frame[2]!];
  // Round the fixture's up; a roll turns right toward up, and up away from right.
  const roll = (shield.rollDeg * Math.PI) / 180;
  const up = [0, 1, 2].map((k) => Math.cos(roll) * frame[6 + k]! - Math.sin(roll) * frame[3 + k]!) as unknown as Vec3;
  const outside: Profile = [
    [r + WALL_M, 0],
    [r + WALL_M, tubeM],
    [r, tubeM],
  ];
  const inside: Profile = [
    [r, tubeM],
    [r, 0],
  ];
  const glow: Vec3 = [colour[0] * shadeCdM2, colour[1] * shadeCdM2, colour[2] * shadeCdM2];
  return [
    { at, axis, up, half, profile: outside, finish: 'dark' },
    { at, axis, up, half, profile: inside, finish: 'inside', glow },
  ];
}

/** A hat over the lens, its rim level with it, on a stem through its middle. */
function hatOf({ at, radiusM }: Opening, groundM: number): Lathe[] {
  const R = Math.max(HAT.leastM, HAT.lensRadii * radiusM);
  const rise = HAT.riseShare * R;
  const top = turned(at, UP, [
    [R, 0],
    [R, HAT.lipM],
    [0.55 * R, 0.6 * rise],
    [0.16 * R, rise],
    [0.12 * R, rise + 0.012],
    [0, rise + 0.014],
  ]);
  const under: Profile = [
    [0, 0.35 * rise],
    [R, 0],
  ];
  const lamp = turned(at, UP, [
    [radiusM + WALL_M, 0],
    [radiusM + WALL_M, 0.4 * rise],
  ]);
  const height = at[1] - groundM;
  const stem = height > 0.01 ? [rod([at[0], groundM, at[2]], UP, STEM_RADIUS_M, height)] : [];
  return [top, { at, axis: UP, up: squareTo(UP), profile: under, finish: 'white' }, lamp, ...stem];
}

/** What carries a body: stake with its knuckle, or arm and plate on the wall, post or step it is fixed to. */
function holderOf(fixture: FixtureRecord, opening: Opening, foot: Foot | undefined, groundM: number): Lathe[] {
  const { at, frame, shape, radiusM } = opening;
  const back = shape === 'globe' ? 1.3 * radiusM : BODY_LENGTH_M / 2;
  const centre = along(at, [frame[0]!, frame[1]!, frame[2]!], -back);
  if (fixture.mount === 'stake' || fixture.mount === 'riser') {
    const height = centre[1] - groundM;
    if (height <= 0.01) return [];
    const knuckleM = Math.min(height, KNUCKLE.lengthM);
    const post = fixture.mount === 'riser' ? STEM_RADIUS_M : STAKE_RADIUS_M;
    return [
      rod([centre[0], groundM, centre[2]], UP, post, height),
      rod(along(centre, UP, -knuckleM), UP, KNUCKLE.radiusM, knuckleM),
    ];
  }
  if (!foot || fixture.mount === 'hanging' || fixture.mount === 'free') return [];
  const reach = [centre[0] - foot.at[0], centre[1] - foot.at[1], centre[2] - foot.at[2]] as const;
  const farM = Math.hypot(...reach);
  const plate = rod(along(foot.at, foot.normal, -0.002), foot.normal, Math.max(0.03, 0.95 * bodyRadiusM(radiusM)), 0.01);
  if (farM < bodyRadiusM(radiusM)) return [plate];
  return [plate, rod(foot.at, [reach[0] / farM, reach[1] / farM, reach[2] / farM], ARM_RADIUS_M, farM)];
}
