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

/**
 * Lists the sources of one scheme with lamps resolved: fixtures of the property first, then the scheme's own.
 *
 *     weight = dim × on × dirt
 *
 * The scheme's own fixtures weigh 0 when `after` is false; the property's existing ones stay.
 *
 * @throws {RangeError} unknown scheme, or a fixture whose lamp is not in the catalogue (parseProperty refuses such files).
 * @see tests/editor/sources.test.ts
 */
export function resolveSources(
  document: PropertyDocument,
  schemeId: string,
  options: { after: boolean; dirt: DirtRule },
): Source[] {
  const scheme = document.schemes.find((s) => s.id === schemeId);
  if (!scheme && document.schemes.length > 0) {
    throw new RangeError(`scheme ${schemeId}: not in the property; it has ${document.schemes.map((s) => s.id).join(', ')}`);
  }
  const lamps = new Map(document.catalogue.lamps.map((lamp) => [lamp.id, lamp]));
  return [
    ...document.existing.map((fixture) => toSource(fixture, lamps, options.dirt, true, true)),
    ...fixturesOf(scheme).map((fixture) => toSource(fixture, lamps, options.dirt, false, options.after)),
  ];
}

function fixturesOf(scheme: SchemeRecord | undefined): readonly FixtureRecord[] {
  return scheme ? scheme.fixtures : [];
}

function toSource(
  fixture: FixtureRecord,
  lamps: ReadonlyMap<string, LampRecord>,
  dirt: DirtRule,
  existing: boolean,
  lit: boolean,
): Source {
  const lamp = lamps.get(fixture.lampId);
  if (!lamp) throw new RangeError(`fixtures(id = ${fixture.id}).lampId: no lamp ${fixture.lampId} in the catalogue`);
  const dirtShare = dirt === 'asShown' ? dirtFactorOf(fixture) : 1;
  const weight = lit && fixture.on ? fixture.dim * dirtShare : 0;
  return { id: fixture.id, fixture, lamp, weight, existing };
}
