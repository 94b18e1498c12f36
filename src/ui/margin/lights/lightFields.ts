import { anglesOf, type PlaceFields, wallPlaceOf, withPlaceFields } from '../../../editor/index.ts';
import {
  dirtFactorOf,
  dirtFactorOfMount,
  distributionFluxLm,
  evenDistribution,
  followedVolts,
  isEven,
  outputAtVolts,
} from '../../../lights/index.ts';
import { type FixtureRecord, groundHeightAt, type LampRecord, type Mount, type PropertyDocument } from '../../../scene/index.ts';
import { choice, type FieldSpec, number, text, toggle } from '../../parts/fields.ts';
import { MOUNT_WORD } from '../../state/words.ts';

type Light = FieldSpec<FixtureRecord>;

const MOUNTS = Object.entries(MOUNT_WORD) as [Mount, string][];
/** Beyond this a light has no wall to be measured from. */
const NEAR_WALL_M = 10;

/** Place and aim against the nearest wall, as a rule and a compass read them. `keep`: what stays when the light moves. */
export function placeFields(document: PropertyDocument, keep: 'point' | 'direction'): Light[] {
  const wallOf = (f: FixtureRecord) => wallPlaceOf(document, f);
  const near = (f: FixtureRecord) => (wallOf(f)?.setBackM ?? Number.POSITIVE_INFINITY) < NEAR_WALL_M;
  const put = (key: keyof PlaceFields) => (f: FixtureRecord, value: number) =>
    withPlaceFields(document, f, { [key]: value }, { keep });
  const placeLocked = (f: FixtureRecord) => f.locks.place;
  const aimLocked = (f: FixtureRecord) => f.locks.aim;
  const heightOf = (f: FixtureRecord) => f.at[1] - groundHeightAt(document, f.at[0], f.at[2]);
  return [
    choice<FixtureRecord>('Mount', 'mount', MOUNTS, { locked: placeLocked }),
    number<FixtureRecord>('Lens height above ground', 'at.1', 'm', [-0.05, 12, 0.01], {
      what: 'height',
      locked: placeLocked,
      get: heightOf,
      set: put('heightM'),
      hint: (f) => (f.mount === 'riser' && heightOf(f) > 0.6 ? 'needs a stay' : ''),
    }),
    number<FixtureRecord>('Set-back from wall', 'at', 'm', [0.05, 10, 0.01], {
      what: 'set-back',
      when: near,
      locked: placeLocked,
      get: (f) => wallOf(f)?.setBackM ?? 0,
      set: put('setBackM'),
      hint: (f) => grazeWords(f, wallOf(f)?.setBackM ?? 0),
    }),
    number<FixtureRecord>('Along the wall', 'at', 'm', [0, 60, 0.01], {
      what: 'place along the wall',
      when: near,
      locked: placeLocked,
      max: (f) => wallOf(f)?.wallLengthM ?? 60,
      get: (f) => wallOf(f)?.alongM ?? 0,
      set: put('alongM'),
      hint: (f) => wallOf(f)?.wallName ?? '',
    }),
    number<FixtureRecord>('Tilt from upright', 'aim', 'deg', [0, 180, 1], {
      what: 'tilt',
      decimals: 0,
      locked: aimLocked,
      get: (f) => anglesOf(f.at, f.aim).tiltDeg,
      set: put('tiltDeg'),
      hint: (f) => {
        const { tiltDeg } = anglesOf(f.at, f.aim);
        return tiltDeg > 35 && tiltDeg < 90 ? 'who looks this way?' : '';
      },
    }),
    number<FixtureRecord>('Bearing', 'aim', 'deg', [0, 359, 1], {
      what: 'bearing',
      decimals: 0,
      locked: aimLocked,
      get: (f) => anglesOf(f.at, f.aim).bearingDeg,
      set: put('bearingDeg'),
      hint: (f) => {
        const off = wallOf(f)?.offSquareDeg;
        return off === undefined ? '' : `${Math.abs(off).toFixed(0)}° ${off < 0 ? 'left' : 'right'} of square to wall`;
      },
    }),
    number<FixtureRecord>('Aims at, height', 'aim.1', 'm', [-10, 60, 0.1], {
      what: 'aim',
      locked: aimLocked,
      hint: (f) => `${anglesOf(f.at, f.aim).distanceM.toFixed(2)} m away`,
    }),
  ];
}

/** A joint of depth t throws a shadow t·h/s down from h above the lens at set-back s. */
function grazeWords(fixture: FixtureRecord, setBackM: number): string {
  const riseM = fixture.aim[1] - fixture.at[1];
  if (riseM <= 0.5 || setBackM <= 0) return '';
  const heightM = riseM / 2;
  return `graze: a 10 mm joint throws ${((10 * heightM) / setBackM).toFixed(0)} mm at ${heightM.toFixed(1)} m up`;
}

const lampLocked = (f: FixtureRecord) => f.locks.lamp;

export const OPTICS_FIELDS: Light[] = [
  choice<FixtureRecord>(
    'Lens',
    'lens.kind',
    [
      ['clear', 'clear'],
      ['frosted', 'frosted'],
      ['linearSpread', 'linear spread'],
    ],
    { locked: lampLocked },
  ),
  number<FixtureRecord>('Spread roll', 'lens.rollDeg', 'deg', [0, 179, 1], {
    when: (f) => f.lens.kind === 'linearSpread',
    locked: lampLocked,
  }),
  choice<FixtureRecord>(
    'Shield',
    'shield.kind',
    [
      ['none', 'none'],
      ['shroud', 'shroud'],
      ['louvre', 'louvre'],
      ['halfShield', 'half shield'],
    ],
    { locked: lampLocked },
  ),
  number<FixtureRecord>('Cut-off', 'shield.cutOffDeg', 'deg', [15, 60, 5], {
    when: (f) => f.shield.kind !== 'none',
    locked: lampLocked,
  }),
  number<FixtureRecord>('Shield roll', 'shield.rollDeg', 'deg', [0, 359, 5], {
    when: (f) => f.shield.kind === 'halfShield',
    locked: lampLocked,
  }),
  number<FixtureRecord>('Roll of the fixture', 'rollDeg', 'deg', [-180, 180, 5], { locked: (f) => f.locks.aim }),
  number<FixtureRecord>('Dirt factor', 'dirtFactor', '', [0.3, 1, 0.01], {
    get: dirtFactorOf,
    set: (f, dirtFactor) => {
      const { dirtFactor: _, ...byMount } = f;
      return dirtFactor === dirtFactorOfMount(f.mount) ? byMount : { ...f, dirtFactor };
    },
    hint: (f) => {
      const byMount = dirtFactorOfMount(f.mount).toFixed(2);
      return f.dirtFactor === undefined ? `${byMount} by its mount` : `its mount brings ${byMount}`;
    },
  }),
  number<FixtureRecord>('Wanted on its target', 'wantedLx', 'lx', [0, 10000, 1]),
  number<FixtureRecord>('Lead of the fixture', 'leadLengthM', 'm', [0, 50, 0.1]),
];

export const RANK_FIELD: Light = choice<FixtureRecord>(
  'Rank',
  'rank',
  [
    ['1', '1, Core'],
    ['2', '2, Full front'],
    ['3', '3, All round'],
  ],
  { parse: Number },
);

export const REASON_FIELDS: Light[] = [
  text('Name', 'name'),
  text('Why it is here', 'reason', 4000, true),
  RANK_FIELD,
  toggle('Lock place', 'locks.place'),
  toggle('Lock aim', 'locks.aim'),
  toggle('Lock lamp', 'locks.lamp'),
];

export const shapeOf = (l: LampRecord) => l.emitter?.kind ?? 'disc';
const modelled = (l: LampRecord) => l.distribution.kind === 'model';

/** A lamp that follows its volts by these figures; those of its kind need no record. */
function followingVolts(lamp: LampRecord, change: Partial<ReturnType<typeof followedVolts>>): LampRecord {
  const { outputFollowsVolts: _, ...byKind } = lamp;
  const ofKind = followedVolts(byKind);
  const next = { ...followedVolts(lamp), ...change };
  const isOfKind = next.exponent === ofKind.exponent && (next.exponent === 0 || next.ratedV === ofKind.ratedV);
  return isOfKind ? byKind : { ...lamp, outputFollowsVolts: next };
}

/** What the exponent means, at nine tenths of the rated volts. */
function dimmingWords(lamp: LampRecord): string {
  const { ratedV, exponent } = followedVolts(lamp);
  const whose = lamp.outputFollowsVolts ? '' : lamp.electrical === 'resistive' ? ', as halogen does' : ', as its driver holds it';
  if (exponent === 0) return `same light at any volts${whose}`;
  const low = 0.9 * ratedV;
  return `at ${low.toFixed(1)} V ${Math.round(100 * outputAtVolts(lamp, low))} % of its light${whose}`;
}

/** Figures of a lamp of the catalogue; a measured table keeps its candela. */
export const LAMP_FIELDS: FieldSpec<LampRecord>[] = [
  text('Free label', 'name'),
  number<LampRecord>('Output', 'distribution.fluxLm', 'lm', [20, 3000, 10], { when: modelled }),
  number<LampRecord>('Output, even all round', 'distribution', 'lm', [20, 3000, 10], {
    when: (l) => isEven(l.distribution),
    get: (l) => distributionFluxLm(l.distribution),
    set: (l, fluxLm) => ({ ...l, distribution: evenDistribution(fluxLm) }),
  }),
  number<LampRecord>('Beam, full angle', 'distribution.beamAngleFullDeg', 'deg', [5, 120, 1], { when: modelled }),
  number<LampRecord>('Spill share', 'distribution.spillShare', '', [0, 1, 0.01], { when: modelled }),
  number('Power', 'powerW', 'W', [0.5, 60, 0.5]),
  number('Power factor', 'powerFactor', '', [0.4, 1, 0.01]),
  number('Colour', 'cctK', 'K', [1800, 6500, 100]),
  number('Colour rendering', 'colourRendering', '', [50, 100, 1]),
  choice('Draws', 'electrical', [
    ['constantPower', 'constant power (driver)'],
    ['resistive', 'as a resistor (halogen)'],
  ]),
  number<LampRecord>('Light by volts, exponent', 'outputFollowsVolts', '', [0, 6, 0.1], {
    what: 'light by volts',
    get: (l) => followedVolts(l).exponent,
    set: (l, exponent) => followingVolts(l, { exponent }),
    hint: dimmingWords,
  }),
  number<LampRecord>('Full light at', 'outputFollowsVolts', 'V', [1, 60, 0.5], {
    what: 'volts of full light',
    when: (l) => followedVolts(l).exponent > 0,
    get: (l) => followedVolts(l).ratedV,
    set: (l, ratedV) => followingVolts(l, { ratedV }),
  }),
  number('Lowest volts, holds', 'lowestV', 'V', [0, 60, 0.1]),
  number('Starting volts', 'startV', 'V', [0, 60, 0.1]),
  number('Highest volts', 'highestV', 'V', [0, 60, 0.1]),
  number<LampRecord>('Radius of the lens', 'lensRadiusM', 'm', [0, 0.5, 0.001], { when: (l) => shapeOf(l) === 'disc' }),
  number<LampRecord>('Radius of the globe', 'emitter', 'm', [0.005, 1, 0.005], {
    when: (l) => shapeOf(l) === 'globe',
    get: (l) => (l.emitter?.kind === 'globe' ? l.emitter.radiusM : 0),
    set: (l, radiusM) => ({ ...l, emitter: { kind: 'globe', radiusM } }),
  }),
  number<LampRecord>('Length of the strip', 'emitter', 'm', [0.05, 20, 0.01], {
    when: (l) => shapeOf(l) === 'line',
    get: (l) => (l.emitter?.kind === 'line' ? l.emitter.lengthM : 0),
    set: (l, lengthM) => ({ ...l, emitter: { kind: 'line', lengthM } }),
  }),
  number<LampRecord>('Half width of the strip', 'lensRadiusM', 'm', [0, 0.1, 0.001], { when: (l) => shapeOf(l) === 'line' }),
];
