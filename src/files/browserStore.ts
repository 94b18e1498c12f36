import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import { createMemoryStore } from './memoryStore.ts';
import { type KeptVersion, LAST_PROPERTY, type PropertyStore, type SavedProperty } from './store.ts';

interface Schema extends DBSchema {
  properties: { key: string; value: SavedProperty };
  versions: { key: string; value: KeptVersion; indexes: { propertyKey: string } };
  settings: { key: string; value: unknown };
}

const DATABASE = 'gloaming';
const DATABASE_VERSION = 1;

/** Opens the browser's IndexedDB; where there is none (some private windows), a store in memory that says it does not last. */
export async function openBrowserStore(): Promise<PropertyStore> {
  try {
    const database = await openDB<Schema>(DATABASE, DATABASE_VERSION, {
      upgrade(db) {
        db.createObjectStore('properties', { keyPath: 'key' });
        db.createObjectStore('versions', { keyPath: 'id' }).createIndex('propertyKey', 'propertyKey');
        db.createObjectStore('settings');
      },
    });
    return createBrowserStore(database);
  } catch {
    return createMemoryStore({ lasting: false });
  }
}

function createBrowserStore(database: IDBPDatabase<Schema>): PropertyStore {
  return {
    lasting: true,
    async writeProperty(saved) {
      // Commit at once, without waiting for a turn of the event loop: a page that is being left has none to give.
      const transaction = database.transaction(['properties', 'settings'], 'readwrite');
      const written = [
        transaction.objectStore('properties').put(saved),
        transaction.objectStore('settings').put(saved.key, LAST_PROPERTY),
      ];
      transaction.commit();
      // The transaction knows why it failed (no room); its requests only know that it was aborted.
      const [end] = await Promise.allSettled([transaction.done, ...written]);
      if (end.status === 'rejected') throw end.reason;
    },
    readProperty: (key) => database.get('properties', key),
    listProperties: async () => (await database.getAll('properties')).sort((a, b) => b.savedAtMs - a.savedAtMs),
    removeProperty: (key) => database.delete('properties', key),
    async writeVersion(version) {
      await database.put('versions', version);
    },
    listVersions: async (propertyKey) =>
      (await database.getAllFromIndex('versions', 'propertyKey', propertyKey)).sort((a, b) => b.keptAtMs - a.keptAtMs),
    removeVersion: (id) => database.delete('versions', id),
    readSetting: (name) => database.get('settings', name),
    async writeSetting(name, value) {
      await database.put('settings', value, name);
    },
  };
}
