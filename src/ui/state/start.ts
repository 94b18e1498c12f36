import demoUrl from '../../../demo/brick-two-storey/brick-two-storey.property.json?url';
import {
  type Autosave,
  createAutosave,
  createPropertyKey,
  type KeptVersion,
  keepVersion,
  openBrowserStore,
  openPropertyText,
  type PropertyStore,
  restoreLast,
  type SavedView,
  type SaveState,
} from '../../files/index.ts';
import { type PropertyDocument, serialiseProperty } from '../../scene/index.ts';
import { createLightClient } from '../../worker/index.ts';
import { type App, createApp } from './app.ts';
import { clock } from './format.ts';
import type { ScreenState } from './screen.ts';
import { connectWorker } from './shown.ts';

const PREFERENCES = 'screen';

/** The text's own font comes after the first picture (or the word that there is none); until then the system's. */
function fetchFontAfterPicture(app: App): () => void {
  const stop = app.screen.subscribe((s) => {
    if (s.drawn === 0 && s.pictureTrouble === undefined) return;
    stop();
    void import('../styles/fonts.css');
  });
  return stop;
}

/** An invented property; without an address the one of a first visit. */
export async function fetchDemo(url = demoUrl, fileName = 'brick-two-storey.property.json'): Promise<PropertyDocument> {
  const reply = await fetch(url);
  if (!reply.ok) throw new Error(`The demo property could not be fetched (${reply.status}). Load the page again.`);
  const opened = await openPropertyText(await reply.text(), fileName);
  if (!opened.ok) throw new Error(`${opened.sentence} ${opened.lines.join(' ')}`);
  return opened.document;
}

export interface StartedApp {
  app: App;
  stop(): void;
}

/** Opens the last property with its view and list; on a first visit the demo with the tour. */
export async function startApp(): Promise<StartedApp> {
  // The worker loads while the property is read.
  const client = createLightClient();
  const store = await openBrowserStore();
  const last = await restoreLast(store).catch(() => undefined);
  const restored = last?.result.ok ? last.result.document : undefined;
  const document = restored ?? (await fetchDemo());
  const app = createApp(document, client, restored ? last?.view.schemeId : undefined);
  if (last && restored) app.editor.session(definedOnly(last.view));
  else app.set({ tourStep: 0 });
  if (last && !last.result.ok) {
    app.set({
      fileTrouble: {
        title: `The last property, ${last.name}, could not be read back`,
        text: 'Its text is kept; save it as a file. The demo is open instead.',
        fileName: 'last-property.json',
        bytes: new Blob([last.text], { type: 'application/json' }),
      },
    });
  }
  await restorePreferences(app, store);
  const stops = [connectWorker(app), keepPreferences(app, store), fetchFontAfterPicture(app)];
  app.keeper = createKeeper(app, store, restored ? last?.key : undefined);
  return {
    app,
    stop() {
      for (const stop of stops) stop();
      app.keeper?.stop();
      app.client.close();
    },
  };
}

function definedOnly(view: SavedView): SavedView {
  return Object.fromEntries(Object.entries(view).filter(([, value]) => value !== undefined));
}

/** Autosave of the property on screen; opening another one starts a new record, the old one stays. */
export interface Keeper {
  opened(): void;
  flush(): Promise<void>;
  /** Keeps the property as it is under a label. */
  keep(label: string): Promise<void>;
  /** Versions of this property kept on purpose, newest first. */
  versions(): Promise<KeptVersion[]>;
  forget(id: string): Promise<void>;
  stop(): void;
}

function createKeeper(app: App, store: PropertyStore, firstKey: string | undefined): Keeper {
  let now: ReturnType<typeof start>;
  let propertyKey = firstKey ?? createPropertyKey();
  const start = (key: string): { autosave: Autosave; unwatch: () => void } => {
    const autosave = createAutosave({
      store,
      key,
      snapshot: () => {
        const { document, session } = app.editor.store.getState();
        return { name: document.name, text: serialiseProperty(document), view: viewOf(session) };
      },
      onState: (state) => showSave(app, state),
    });
    return { autosave, unwatch: autosave.watchPage(window) };
  };
  now = start(propertyKey);
  let skip = false;
  const unsubscribe = app.editor.store.subscribe((state, before) => {
    if (!skip && (state.document !== before.document || state.session !== before.session)) now.autosave.changed();
  });
  const end = () => {
    now.unwatch();
    void now.autosave.dispose();
  };
  return {
    opened() {
      skip = true;
      end();
      propertyKey = createPropertyKey();
      now = start(propertyKey);
      skip = false;
      now.autosave.changed();
    },
    flush: () => now.autosave.flush(),
    async keep(label) {
      const { document } = app.editor.store.getState();
      await keepVersion(store, { propertyKey, name: document.name, label, text: serialiseProperty(document) });
    },
    versions: () => store.listVersions(propertyKey),
    forget: (id) => store.removeVersion(id),
    stop() {
      unsubscribe();
      end();
    },
  };
}

function viewOf(session: ReturnType<App['editor']['store']['getState']>['session']): SavedView {
  const { schemeId, after, viewpointId, camera, ev100, evNote, list, tags, lengthSystem, lightUnit } = session;
  return { schemeId, after, viewpointId, camera, ev100, evNote, list, tags, lengthSystem, lightUnit };
}

function showSave(app: App, state: SaveState): void {
  switch (state.kind) {
    case 'untouched':
      app.set({ save: { kind: 'idle', text: 'Not changed' } });
      return;
    case 'saving':
      app.set({ save: { kind: 'saving', text: 'Saving' } });
      return;
    case 'saved':
      app.set({ save: { kind: 'saved', text: `Saved ${clock(new Date(state.atMs))}` } });
      return;
    case 'private':
      app.set({ save: { kind: 'forgetful', text: state.sentence } });
      return;
    default:
      app.set({ save: { kind: 'failed', text: state.sentence } });
      app.shout(state.sentence);
  }
}

type Preference = Pick<
  ScreenState,
  'colours' | 'dimPercent' | 'textPercent' | 'singleKeys' | 'lessMotion' | 'leftHand' | 'marginPx'
>;

function preferenceOf(s: ScreenState): Preference {
  const { colours, dimPercent, textPercent, singleKeys, lessMotion, leftHand, marginPx } = s;
  return { colours, dimPercent, textPercent, singleKeys, lessMotion, leftHand, marginPx };
}

/** Takes kept choices whose kind of value still fits; anything else keeps its opening value. */
async function restorePreferences(app: App, store: PropertyStore): Promise<void> {
  const kept = await store.readSetting(PREFERENCES).catch(() => undefined);
  if (typeof kept !== 'object' || kept === null) return;
  const now = preferenceOf(app.screen.getState());
  const fitting = Object.entries(kept).filter(
    ([key, value]) => key in now && typeof value === typeof now[key as keyof Preference],
  );
  app.set(Object.fromEntries(fitting) as Partial<Preference>);
}

function keepPreferences(app: App, store: PropertyStore): () => void {
  let before = JSON.stringify(preferenceOf(app.screen.getState()));
  return app.screen.subscribe((s) => {
    const next = JSON.stringify(preferenceOf(s));
    if (next === before) return;
    before = next;
    void store.writeSetting(PREFERENCES, preferenceOf(s)).catch(() => undefined);
  });
}
