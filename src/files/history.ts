import { parseProperty, type ParseResult } from '../scene/index.ts';
import { type KeptVersion, LAST_PROPERTY, type PropertyStore, type SavedProperty, savedView, type SavedView } from './store.ts';

/** The property last worked on, read through every check of a file. */
export interface Restored {
  key: string;
  name: string;
  savedAtMs: number;
  /** Refused where a newer program wrote it or storage was damaged; `text` can still be saved as a file. */
  result: ParseResult;
  text: string;
  view: SavedView;
}

/** Restores the last property and view; undefined on a first visit. */
export async function restoreLast(store: PropertyStore): Promise<Restored | undefined> {
  const key = await store.readSetting(LAST_PROPERTY);
  const saved = typeof key === 'string' ? await store.readProperty(key) : undefined;
  return saved ? restored(saved) : undefined;
}

/** Reads one property from the store. */
export async function restoreProperty(store: PropertyStore, key: string): Promise<Restored | undefined> {
  const saved = await store.readProperty(key);
  return saved ? restored(saved) : undefined;
}

function restored(saved: SavedProperty): Restored {
  const view = savedView.safeParse(saved.view);
  return {
    key: saved.key,
    name: saved.name,
    savedAtMs: saved.savedAtMs,
    result: parseProperty(saved.text),
    text: saved.text,
    view: view.success ? view.data : {},
  };
}

/** Key for a property just opened; random, so two of one name stay apart. */
export function createPropertyKey(): string {
  return crypto.randomUUID();
}

/** Keeps the property as it is under a label: "before the client's visit". */
export async function keepVersion(
  store: PropertyStore,
  version: Omit<KeptVersion, 'id' | 'keptAtMs'>,
  keptAtMs: number = Date.now(),
): Promise<KeptVersion> {
  const kept: KeptVersion = { ...version, id: crypto.randomUUID(), keptAtMs };
  await store.writeVersion(kept);
  return kept;
}

/** Removes all but the newest `keep` versions of a property, to make room; returns how many went. */
export async function removeOldVersions(store: PropertyStore, propertyKey: string, keep: number): Promise<number> {
  const old = (await store.listVersions(propertyKey)).slice(keep);
  for (const version of old) await store.removeVersion(version.id);
  return old.length;
}
