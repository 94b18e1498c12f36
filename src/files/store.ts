import { z } from 'zod';

/** What was looked at when a property was last saved; every field may be missing in an older save. */
export const savedView = z.object({
  schemeId: z.string().optional(),
  after: z.boolean().optional(),
  viewpointId: z.string().optional(),
  camera: z
    .object({
      eye: z.tuple([z.number(), z.number(), z.number()]),
      lookAt: z.tuple([z.number(), z.number(), z.number()]),
      fieldDeg: z.number().positive().max(170),
    })
    .optional(),
  ev100: z.number().optional(),
  evNote: z.string().optional(),
  list: z.enum(['property', 'lights', 'wiring', 'review', 'compare', 'sheets']).optional(),
  tags: z.enum(['off', 'selected', 'all']).optional(),
  lengthSystem: z.enum(['metric', 'feetInches']).optional(),
  lightUnit: z.enum(['lx', 'fc']).optional(),
});
export type SavedView = z.infer<typeof savedView>;

/** One property as it lies in storage: its file text, so that reading it back goes through every check of a file. */
export interface SavedProperty {
  /** Made when the property was opened; two properties of one name stay apart. */
  key: string;
  name: string;
  text: string;
  view: SavedView;
  /** Milliseconds since 1970. */
  savedAtMs: number;
}

/** A version kept on purpose. */
export interface KeptVersion {
  id: string;
  propertyKey: string;
  name: string;
  label: string;
  text: string;
  keptAtMs: number;
}

/** Setting that names the property last worked on. */
export const LAST_PROPERTY = 'lastProperty';

/** Storage behind autosave and kept versions; IndexedDB in the browser, memory in tests and where there is none. */
export interface PropertyStore {
  /** False: what is written here is gone when the page closes. */
  readonly lasting: boolean;
  /** Also remembers it as the property last worked on (`LAST_PROPERTY`), in the same act. */
  writeProperty(saved: SavedProperty): Promise<void>;
  readProperty(key: string): Promise<SavedProperty | undefined>;
  /** Newest first. */
  listProperties(): Promise<SavedProperty[]>;
  removeProperty(key: string): Promise<void>;
  writeVersion(version: KeptVersion): Promise<void>;
  /** Newest first. */
  listVersions(propertyKey: string): Promise<KeptVersion[]>;
  removeVersion(id: string): Promise<void>;
  readSetting(name: string): Promise<unknown>;
  writeSetting(name: string, value: unknown): Promise<void>;
}

/** True for the error a store throws when the browser gives no more room. */
export function isStorageFull(error: unknown): boolean {
  return typeof error === 'object' && error !== null && 'name' in error && error.name === 'QuotaExceededError';
}
