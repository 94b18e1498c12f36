import { describe, expect, it } from 'vitest';
import {
  createAutosave,
  createMemoryStore,
  keepVersion,
  type PropertyStore,
  removeOldVersions,
  restoreLast,
  type SaveState,
  type Timers,
} from '../../src/files/index.ts';
import { createEmptyProperty, serialiseProperty } from '../../src/scene/index.ts';

/** Clock and timers turned by hand. */
function handTimers(): Timers & { advance(ms: number): void } {
  let now = 0;
  let waiting: { run: () => void; atMs: number }[] = [];
  return {
    set(run, afterMs) {
      const entry = { run, atMs: now + afterMs };
      waiting.push(entry);
      return entry;
    },
    clear(handle) {
      waiting = waiting.filter((entry) => entry !== handle);
    },
    nowMs: () => now,
    advance(ms) {
      now += ms;
      const due = waiting.filter((entry) => entry.atMs <= now);
      waiting = waiting.filter((entry) => entry.atMs > now);
      for (const entry of due) entry.run();
    },
  };
}

function bench(store: PropertyStore = createMemoryStore({ lasting: true })) {
  const timers = handTimers();
  const states: SaveState['kind'][] = [];
  let property = createEmptyProperty('House');
  const autosave = createAutosave({
    store,
    key: 'k1',
    snapshot: () => ({ name: property.name, text: serialiseProperty(property), view: { schemeId: 'scheme-1', list: 'wiring' } }),
    onState: (state) => states.push(state.kind),
    timers,
  });
  const rename = (name: string): void => {
    property = { ...property, name };
    autosave.changed();
  };
  return { store, timers, states, autosave, rename };
}

describe('autosave', () => {
  it('writes within a second of a change, and restores property and view', async () => {
    const { store, timers, autosave, rename } = bench();
    rename('Brick');
    expect(autosave.state().kind).toBe('saving');
    timers.advance(999);
    await autosave.flush();
    expect(autosave.state()).toEqual({ kind: 'saved', atMs: 999 });
    const last = await restoreLast(store);
    expect(last).toMatchObject({ key: 'k1', name: 'Brick', view: { schemeId: 'scheme-1', list: 'wiring' } });
    expect(last?.result.ok && last.result.document.name).toBe('Brick');
  });

  it('writes within a second even while changes go on', async () => {
    const { store, timers, rename } = bench();
    for (let i = 0; i < 9; i++) {
      rename(`n${i}`);
      timers.advance(110);
    }
    await Promise.resolve();
    expect((await store.readProperty('k1'))?.name).toBe('n7');
  });

  it('writes what waits when the page is hidden or left', async () => {
    const { store, autosave, rename } = bench();
    const page = Object.assign(new EventTarget(), { document: Object.assign(new EventTarget(), { visibilityState: 'visible' }) });
    const stop = autosave.watchPage(page as unknown as Window);
    rename('leaving');
    page.dispatchEvent(new Event('pagehide'));
    await autosave.flush();
    expect((await store.readProperty('k1'))?.name).toBe('leaving');
    rename('hidden');
    page.document.visibilityState = 'hidden';
    page.document.dispatchEvent(new Event('visibilitychange'));
    await autosave.flush();
    expect((await store.readProperty('k1'))?.name).toBe('hidden');
    stop();
  });

  it('never lets an older write land after a newer one', async () => {
    const store = createMemoryStore({ lasting: true });
    const gates: (() => void)[] = [];
    const slow: PropertyStore = {
      ...store,
      writeProperty: (saved) =>
        new Promise<void>((resolve) => {
          gates.push(() => resolve(store.writeProperty(saved)));
        }),
    };
    const { autosave, rename, states } = bench(slow);
    rename('first');
    const first = autosave.flush();
    rename('second');
    const second = autosave.flush();
    gates.shift()!();
    await first;
    await Promise.resolve();
    gates.shift()!();
    await second;
    expect((await store.readProperty('k1'))?.name).toBe('second');
    expect(states.at(-1)).toBe('saved');
  });

  it('says that storage is full, loses nothing, and saves when there is room again', async () => {
    const size = serialiseProperty(createEmptyProperty('Brick')).length;
    const store = createMemoryStore({ lasting: true, capacityCharacters: size + 10 });
    await keepVersion(store, { propertyKey: 'k1', name: 'x', label: 'old', text: 'x'.repeat(size) }, 1);
    const { autosave, rename } = bench(store);
    rename('Brick');
    await autosave.flush();
    expect(autosave.state()).toEqual({ kind: 'full', sentence: 'Not saved: storage is full' });
    expect(await removeOldVersions(store, 'k1', 0)).toBe(1);
    autosave.changed();
    await autosave.flush();
    expect(autosave.state().kind).toBe('saved');
  });

  it('says that a browser forgets on closing', async () => {
    const { autosave, rename } = bench(createMemoryStore({ lasting: false }));
    rename('Brick');
    await autosave.flush();
    expect(autosave.state()).toMatchObject({ kind: 'private', sentence: 'This browser forgets on closing' });
  });

  it('writes nothing for a property that was only looked at', async () => {
    const { store, autosave } = bench();
    await autosave.dispose();
    expect(await store.listProperties()).toEqual([]);
    expect(await restoreLast(store)).toBeUndefined();
  });
});

describe('kept versions', () => {
  it('lists the newest first and removes the old ones', async () => {
    const store = createMemoryStore();
    for (const at of [1, 3, 2]) await keepVersion(store, { propertyKey: 'k', name: 'n', label: `at ${at}`, text: '{}' }, at);
    await keepVersion(store, { propertyKey: 'other', name: 'n', label: 'other', text: '{}' }, 9);
    expect((await store.listVersions('k')).map((v) => v.label)).toEqual(['at 3', 'at 2', 'at 1']);
    expect(await removeOldVersions(store, 'k', 1)).toBe(2);
    expect((await store.listVersions('k')).map((v) => v.label)).toEqual(['at 3']);
    expect(await store.listVersions('other')).toHaveLength(1);
  });
});

describe('what storage gives back', () => {
  it('is read like any file: a newer save is refused with its text, an odd view is left out', async () => {
    const store = createMemoryStore();
    const text = serialiseProperty(createEmptyProperty('x')).replace('"version": 2', '"version": 77');
    await store.writeProperty({ key: 'k', name: 'x', text, view: { list: 'nowhere' } as never, savedAtMs: 1 });
    const last = await restoreLast(store);
    expect(last?.result).toMatchObject({ ok: false, kind: 'newer' });
    expect(last).toMatchObject({ text, view: {} });
  });
});
