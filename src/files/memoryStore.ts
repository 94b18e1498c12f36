import { type KeptVersion, LAST_PROPERTY, type PropertyStore, type SavedProperty } from './store.ts';

/** Store in memory: for tests, and for browsers that keep nothing. `capacityCharacters` makes it run full. */
export function createMemoryStore(options: { lasting?: boolean; capacityCharacters?: number } = {}): PropertyStore {
  const properties = new Map<string, SavedProperty>();
  const versions = new Map<string, KeptVersion>();
  const settings = new Map<string, unknown>();
  const capacity = options.capacityCharacters ?? Number.POSITIVE_INFINITY;

  /** Refuses a text that would not fit beside all the others; `replaces` is the one it takes the place of. */
  function makeRoom(text: string, replaces: string | undefined): void {
    let used = text.length - (replaces?.length ?? 0);
    for (const saved of properties.values()) used += saved.text.length;
    for (const version of versions.values()) used += version.text.length;
    if (used > capacity) throw new DOMException('no room left', 'QuotaExceededError');
  }

  return {
    lasting: options.lasting ?? false,
    async writeProperty(saved) {
      makeRoom(saved.text, properties.get(saved.key)?.text);
      properties.set(saved.key, structuredClone(saved));
      settings.set(LAST_PROPERTY, saved.key);
    },
    readProperty: async (key) => structuredClone(properties.get(key)),
    listProperties: async () => [...properties.values()].sort((a, b) => b.savedAtMs - a.savedAtMs),
    async removeProperty(key) {
      properties.delete(key);
    },
    async writeVersion(version) {
      makeRoom(version.text, versions.get(version.id)?.text);
      versions.set(version.id, structuredClone(version));
    },
    listVersions: async (key) =>
      [...versions.values()].filter((v) => v.propertyKey === key).sort((a, b) => b.keptAtMs - a.keptAtMs),
    async removeVersion(id) {
      versions.delete(id);
    },
    readSetting: async (name) => structuredClone(settings.get(name)),
    async writeSetting(name, value) {
      settings.set(name, structuredClone(value));
    },
  };
}
