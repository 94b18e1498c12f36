import { applySchemeChange, type SchemeChange } from '../review/index.ts';
import type { FixtureRecord, LampRecord, PropertyDocument, SchemeRecord } from '../scene/index.ts';
import { freeLegs, joinNearestRun } from './wiringEdits.ts';

/** A scheme with nothing in it. */
export function createScheme(id: string, name: string): SchemeRecord {
  return { id, name, notes: '', fixtures: [], zones: [], transformers: [], runs: [] };
}

/** Scheme by id, else the first, else an empty one that the first edit adds to the property. */
export function schemeOf(document: PropertyDocument, schemeId: string): SchemeRecord {
  return document.schemes.find((s) => s.id === schemeId) ?? document.schemes[0] ?? createScheme(schemeId, 'Scheme 1');
}

/** Document with one scheme replaced by what `change` makes of it. */
export function withScheme(
  document: PropertyDocument,
  schemeId: string,
  change: (scheme: SchemeRecord) => SchemeRecord,
): PropertyDocument {
  const scheme = schemeOf(document, schemeId);
  const next = change(scheme);
  if (next === scheme) return document;
  const known = document.schemes.some((s) => s.id === scheme.id);
  const schemes = known ? document.schemes.map((s) => (s.id === scheme.id ? next : s)) : [...document.schemes, next];
  return { ...document, schemes };
}

/** Fixture by id: the scheme's own first, then those that belong to the property. */
export function findFixture(document: PropertyDocument, schemeId: string, id: string): FixtureRecord | undefined {
  return schemeOf(document, schemeId).fixtures.find((f) => f.id === id) ?? document.existing.find((f) => f.id === id);
}

/** Number of a light on screen: its order in the scheme, from 1; undefined for an id that is not in it. */
export function lightNumber(document: PropertyDocument, schemeId: string, id: string): number | undefined {
  const index = schemeOf(document, schemeId).fixtures.findIndex((f) => f.id === id);
  return index < 0 ? undefined : index + 1;
}

/** "light 3", or "light 3, pier" where it has a name; existing ones go by their name. */
export function lightLabel(document: PropertyDocument, schemeId: string, id: string): string {
  const number = lightNumber(document, schemeId, id);
  const name = findFixture(document, schemeId, id)?.name ?? '';
  if (number === undefined) return name === '' ? `light ${id}` : name;
  return name === '' ? `light ${number}` : `light ${number}, ${name}`;
}

/** Lamp of a fixture, from the property's catalogue. */
export function findLamp(document: PropertyDocument, lampId: string): LampRecord | undefined {
  return document.catalogue.lamps.find((lamp) => lamp.id === lampId);
}

/** Puts a fixture in by id: where one with that id stands (scheme, then existing), else at the end of the scheme. */
export function putFixtureInto(document: PropertyDocument, schemeId: string, fixture: FixtureRecord): PropertyDocument {
  const scheme = schemeOf(document, schemeId);
  const inScheme = scheme.fixtures.some((f) => f.id === fixture.id);
  if (!inScheme && document.existing.some((f) => f.id === fixture.id)) {
    return { ...document, existing: putById(document.existing, fixture) };
  }
  return withScheme(document, schemeId, (s) => ({ ...s, fixtures: putById(s.fixtures, fixture) }));
}

/** Same list with one record replaced by id, or added at the end. */
export function putById<T extends { id: string }>(list: readonly T[], record: T): T[] {
  return list.some((r) => r.id === record.id) ? list.map((r) => (r.id === record.id ? record : r)) : [...list, record];
}

/**
 * Applies a change given as whole records to one scheme. Lights taken out free their cable; lights put in that no run
 * feeds join the nearest one by a guessed length.
 */
export function schemeChangeApplied(document: PropertyDocument, schemeId: string, change: SchemeChange): PropertyDocument {
  return withScheme(document, schemeId, (scheme) => {
    const added = (change.fixtures?.put ?? []).filter((f) => !scheme.fixtures.some((old) => old.id === f.id));
    const removed = change.fixtures?.remove ?? [];
    // Lights go in a second act here: their cable is joined up before it would become a bare joint.
    const putting = { ...change, fixtures: { put: change.fixtures?.put } };
    const changed = applySchemeChange({ ...document, schemes: [scheme] }, scheme.id, putting).schemes[0] ?? scheme;
    const next: SchemeRecord =
      removed.length === 0
        ? changed
        : {
            ...changed,
            fixtures: changed.fixtures.filter((f) => !removed.includes(f.id)),
            runs: changed.runs.map((run) => freeLegs(run, removed)),
          };
    return added.reduce((s, fixture) => joinNearestRun(s, fixture), next);
  });
}

/** Takes lights out of the scheme or the property, and frees their cable. */
export function fixturesRemoved(document: PropertyDocument, schemeId: string, ids: readonly string[]): PropertyDocument {
  const existing = document.existing.filter((f) => !ids.includes(f.id));
  const kept = existing.length === document.existing.length ? document : { ...document, existing };
  const scheme = schemeOf(kept, schemeId);
  const own = ids.filter((id) => scheme.fixtures.some((f) => f.id === id));
  if (own.length === 0) return kept;
  return schemeChangeApplied(kept, schemeId, { fixtures: { remove: own } });
}

/** Takes from `after` only what the locks of `before` leave free; for edits of many lights and for proposals. */
export function withLocksKept(before: FixtureRecord, after: FixtureRecord): FixtureRecord {
  const kept = { ...after };
  if (before.locks.place) kept.at = before.at;
  if (before.locks.aim) Object.assign(kept, { aim: before.aim, rollDeg: before.rollDeg });
  if (before.locks.lamp) Object.assign(kept, { lampId: before.lampId, lens: before.lens, shield: before.shield });
  return kept;
}
