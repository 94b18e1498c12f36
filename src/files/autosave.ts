import { isStorageFull, type PropertyStore, type SavedView } from './store.ts';

/** What the top line says about saving. */
export type SaveState =
  /** Nothing has been changed since it was opened. */
  | { kind: 'untouched' }
  | { kind: 'saving' }
  | { kind: 'saved'; atMs: number }
  | { kind: 'full'; sentence: string }
  /** Saved, but this browser forgets on closing. */
  | { kind: 'private'; sentence: string; atMs: number }
  | { kind: 'failed'; sentence: string };

export const FULL_SENTENCE = 'Not saved: storage is full';
export const PRIVATE_SENTENCE = 'This browser forgets on closing';
const FAILED_SENTENCE = 'Not saved: the browser refused to store it';

/** A quiet moment after which a change is written, and the longest it may wait while changes go on; both under 1 s. */
const QUIET_MS = 250;
const LONGEST_WAIT_MS = 800;

/** Timers and clock, so that tests can turn them by hand. */
export interface Timers {
  set(run: () => void, afterMs: number): unknown;
  clear(handle: unknown): void;
  nowMs(): number;
}

const browserTimers: Timers = {
  set: (run, afterMs) => setTimeout(run, afterMs),
  clear: (handle) => clearTimeout(handle as ReturnType<typeof setTimeout>),
  nowMs: () => Date.now(),
};

export interface Autosave {
  /** The property, or what is looked at, has changed. */
  changed(): void;
  /** Writes at once what is waiting; resolves when it is stored (or refused). */
  flush(): Promise<void>;
  state(): SaveState;
  /** Writes when the page is hidden or left; returns the way to stop listening. */
  watchPage(page: Window): () => void;
  /** Writes what is waiting and stops. */
  dispose(): Promise<void>;
}

/**
 * Keeps one property in storage within 1 s of its last change. Writes never overlap, and the newest content wins; a refused
 * write is tried again with the next change.
 */
export function createAutosave(options: {
  store: PropertyStore;
  /** Key of this property in the store. */
  key: string;
  snapshot(): { name: string; text: string; view: SavedView };
  onState?(state: SaveState): void;
  timers?: Timers;
}): Autosave {
  const { store, key, snapshot, onState } = options;
  const timers = options.timers ?? browserTimers;
  let state: SaveState = { kind: 'untouched' };
  let timer: unknown;
  let firstChangeMs: number | undefined;
  let writing: Promise<void> | undefined;

  function tell(next: SaveState): void {
    state = next;
    onState?.(next);
  }

  function changed(): void {
    const now = timers.nowMs();
    firstChangeMs ??= now;
    if (timer !== undefined) timers.clear(timer);
    const wait = Math.max(0, Math.min(QUIET_MS, firstChangeMs + LONGEST_WAIT_MS - now));
    timer = timers.set(() => void flush(), wait);
    if (state.kind !== 'full') tell({ kind: 'saving' });
  }

  async function write(): Promise<void> {
    const savedAtMs = timers.nowMs();
    try {
      await store.writeProperty({ key, ...snapshot(), savedAtMs });
      if (firstChangeMs !== undefined) return;
      tell(store.lasting ? { kind: 'saved', atMs: savedAtMs } : { kind: 'private', sentence: PRIVATE_SENTENCE, atMs: savedAtMs });
    } catch (error) {
      tell(isStorageFull(error) ? { kind: 'full', sentence: FULL_SENTENCE } : { kind: 'failed', sentence: FAILED_SENTENCE });
    }
  }

  async function flush(): Promise<void> {
    if (timer !== undefined) timers.clear(timer);
    timer = undefined;
    while (writing) await writing;
    if (firstChangeMs === undefined) return;
    firstChangeMs = undefined;
    writing = write().finally(() => {
      writing = undefined;
    });
    await writing;
  }

  return {
    changed,
    flush,
    state: () => state,
    watchPage(page) {
      const save = (): void => void flush();
      const hidden = (): void => {
        if (page.document.visibilityState === 'hidden') save();
      };
      page.addEventListener('pagehide', save);
      page.document.addEventListener('visibilitychange', hidden);
      return () => {
        page.removeEventListener('pagehide', save);
        page.document.removeEventListener('visibilitychange', hidden);
      };
    },
    dispose: flush,
  };
}
