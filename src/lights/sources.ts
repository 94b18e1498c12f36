import type { FixtureRecord, LampRecord, Mount, PropertyDocument, SchemeRecord } from '../scene/index.ts';
import type { Source } from './types.ts';

/** Share of new light left by dirt: staked .80, in-grade .60, sheltered .90 (design table "weight of a source"). Textbook files write `dirtFactor` 1. */
const DIRT_BY_MOUNT: Readonly<Record<Mount, number>> = {
  stake: 0.8,
  riser: 0.8,
  pot: 0.8,
  free: 0.8,
  inGrade: 0.6,
  wall: 0.9,
  soffit: 0.9,
  hanging: 0.9,
  cap: 0.9,
  gutter: 0.9,
  tree: 0.9,
  post: 0.9,
  step: 0.9,
};

/** `judgedFirstNight`: clean lenses (dirt 1), for glare, hot spots and spill. `asShown`: with dirt, for what must be reached. */
export type DirtRule = 'judgedFirstNight' | 'asShown';

/** Dirt factor of a fixture, 0…1: its own `dirtFactor` where written, else by its mount. */
export function dirtFactorOf(fixture: FixtureRecord): number {
  return fixture.dirtFactor ?? DIRT_BY_MOUNT[fixture.mount];
}

/** Dirt factor a mount brings when the fixture names none. */
export function dirtFactorOfMount(mount: Mount): number {
  return DIRT_BY_MOUNT[mount];
}

/** Halogen lamps: light ∝ V^3.4, colour temperature ∝ V^.42, marked figures at 12 V (facts.md 3.4, IES handbook, from memory). */
const HALOGEN = { ratedV: 12, lightExponent: 3.4, cctExponent: 0.42 };

/** Solved volts by light: null where its run has no operating point; lights on no run are not in it. */
export type VoltsByLight = ReadonlyMap<string, number | null>;

/**
 * Share of its marked light that a lamp gives at its volts.
 *
 *     (V / V_rated)^n        n = 3.4 for halogen at 12 V, or as the record's `outputFollowsVolts` says; else 1
 *
 * 0 where the run has no operating point; 0 for a driver below its `startV`, which has not started (a halogen filament glows at
 * any volts). 1 where no volts are known.
 * Validity of 3.4: some ±10 % of the rated volts; beyond, it is carried on.
 * @param volts undefined: on no run.
 * @source facts.md 3.4 (IES handbook, from memory, high confidence).
 * @see tests/lights/sources.test.ts
 */
export function outputAtVolts(lamp: LampRecord, volts: number | null | undefined): number {
  if (volts === undefined) return 1;
  if (volts === null || (lamp.electrical === 'constantPower' && volts < lamp.startV)) return 0;
  const { ratedV, exponent } = followedVolts(lamp);
  return exponent === 0 ? 1 : (volts / ratedV) ** exponent;
}

/** Rated volts and exponent n of light ∝ (V / V_rated)^n: of the lamp's own record, else by its kind (halogen 3.4, driver 0). */
export function followedVolts(lamp: LampRecord): { ratedV: number; exponent: number } {
  if (lamp.outputFollowsVolts) return lamp.outputFollowsVolts;
  return { ratedV: HALOGEN.ratedV, exponent: lamp.electrical === 'resistive' ? HALOGEN.lightExponent : 0 };
}

/** The lamp as its volts colour it: halogen turns warmer as they fall, T ∝ V^.42. Others keep their colour. */
function lampAtVolts(lamp: LampRecord, volts: number | null | undefined): LampRecord {
  if (lamp.electrical !== 'resistive' || !volts) return lamp;
  const cctK = Math.min(20000, Math.max(1000, lamp.cctK * (volts / HALOGEN.ratedV) ** HALOGEN.cctExponent));
  return { ...lamp, cctK };
}

/**
 * Lists the sources of one scheme with lamps resolved: fixtures of the property first, then the scheme's own.
 *
 *     weight = dim × on × dirt × output at its volts
 *
 * `volts` are those of the solved cables (`solvePower`, right of this folder); without them every lamp gives its marked light.
 * The scheme's own fixtures weigh 0 when `after` is false; the property's existing ones stay.
 *
 * @throws {RangeError} unknown scheme, or a fixture whose lamp is not in the catalogue (parseProperty refuses such files).
 * @see tests/editor/sources.test.ts
 */
export function resolveSources(
  document: PropertyDocument,
  schemeId: string,
  options: { after: boolean; dirt: DirtRule; volts?: VoltsByLight },
): Source[] {
  const scheme = document.schemes.find((s) => s.id === schemeId);
  if (!scheme && document.schemes.length > 0) {
    throw new RangeError(`scheme ${schemeId}: not in the property; it has ${document.schemes.map((s) => s.id).join(', ')}`);
  }
  const lamps = new Map(document.catalogue.lamps.map((lamp) => [lamp.id, lamp]));
  return [
    ...document.existing.map((fixture) => toSource(fixture, lamps, options, true, true)),
    ...fixturesOf(scheme).map((fixture) => toSource(fixture, lamps, options, false, options.after)),
  ];
}

function fixturesOf(scheme: SchemeRecord | undefined): readonly FixtureRecord[] {
  return scheme ? scheme.fixtures : [];
}

function toSource(
  fixture: FixtureRecord,
  lamps: ReadonlyMap<string, LampRecord>,
  { dirt, volts }: { dirt: DirtRule; volts?: VoltsByLight },
  existing: boolean,
  lit: boolean,
): Source {
  const lamp = lamps.get(fixture.lampId);
  if (!lamp) throw new RangeError(`fixtures(id = ${fixture.id}).lampId: no lamp ${fixture.lampId} in the catalogue`);
  const dirtShare = dirt === 'asShown' ? dirtFactorOf(fixture) : 1;
  const ownV = volts?.get(fixture.id);
  const weight = lit && fixture.on ? fixture.dim * dirtShare * outputAtVolts(lamp, ownV) : 0;
  return { id: fixture.id, fixture, lamp: lampAtVolts(lamp, ownV), weight, existing };
}
