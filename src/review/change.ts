import type { PropertyDocument } from '../scene/index.ts';
import type { SchemeChange } from './types.ts';

interface ListChange<T> {
  put?: T[];
  remove?: string[];
}

/**
 * The document with a change applied to one scheme: records put in take the place of those with the same id, else they
 * are added at the end. Legs that ended at a removed light stay as bare joints. The given document is left as it is.
 *
 * @throws {RangeError} no such scheme.
 */
export function applySchemeChange(document: PropertyDocument, schemeId: string, change: SchemeChange): PropertyDocument {
  if (!document.schemes.some((one) => one.id === schemeId)) throw new RangeError(`no scheme "${schemeId}" to change`);
  const gone = new Set(change.fixtures?.remove ?? []);
  const schemes = document.schemes.map((scheme) => {
    if (scheme.id !== schemeId) return scheme;
    const runs = listChanged(scheme.runs, change.runs);
    return {
      ...scheme,
      fixtures: listChanged(scheme.fixtures, change.fixtures),
      transformers: listChanged(scheme.transformers, change.transformers),
      runs: gone.size === 0 ? runs : runs.map((run) => ({ ...run, legs: run.legs.map((leg) => freed(leg, gone)) })),
    };
  });
  return { ...document, schemes };
}

function listChanged<T extends { id: string }>(list: T[], change: ListChange<T> | undefined): T[] {
  if (!change) return list;
  const put = new Map((change.put ?? []).map((one) => [one.id, one]));
  const removed = new Set(change.remove ?? []);
  const kept = list.filter((one) => !removed.has(one.id)).map((one) => put.get(one.id) ?? one);
  return [...kept, ...[...put.values()].filter((one) => !list.some((old) => old.id === one.id))];
}

function freed<L extends { fixtureId?: string | undefined }>(leg: L, gone: ReadonlySet<string>): L {
  if (leg.fixtureId === undefined || !gone.has(leg.fixtureId)) return leg;
  const { fixtureId: _gone, ...rest } = leg;
  return rest as L;
}
