import { createStore, type StoreApi } from 'zustand/vanilla';
import { createEditor, type Editor } from '../../editor/index.ts';
import type { PropertyDocument } from '../../scene/index.ts';
import type { LightClient } from '../../worker/index.ts';
import type { PictureHandleRef } from '../picture/handle.ts';
import { clock } from './format.ts';
import { OPENING_SCREEN, type ScreenState } from './screen.ts';
import type { Keeper } from './start.ts';

/** Everything the components share: the headless editor, the worker's client, and the screen's own state. */
export interface App {
  editor: Editor;
  client: LightClient;
  screen: StoreApi<ScreenState>;
  picture: PictureHandleRef;
  /** Autosave; absent in tests. */
  keeper: Keeper | undefined;
  set(patch: Partial<ScreenState>): void;
  /** Said politely, at most one in two seconds; kept in Help. */
  say(text: string): void;
  /** Only for *not saved* and *solver stopped*. */
  shout(text: string): void;
}

const KEPT_MESSAGES = 50;

/** A phone turned sideways opens with the picture alone. */
function sideways(): boolean {
  return typeof matchMedia === 'function' && matchMedia('(max-height: 499px)').matches;
}

export function createApp(document: PropertyDocument, client: LightClient, schemeId?: string): App {
  const screen = createStore<ScreenState>(() => ({ ...OPENING_SCREEN, marginFolded: sideways() }));
  const editor = createEditor(document, { schemeId });
  const set = (patch: Partial<ScreenState>) => screen.setState(patch);
  const keep = (text: string) => ({
    messages: [{ at: clock(), text }, ...screen.getState().messages].slice(0, KEPT_MESSAGES),
  });
  let lastSaid = 0;
  let waiting: ReturnType<typeof setTimeout> | undefined;
  const say = (text: string) => {
    set(keep(text));
    const speak = () => {
      lastSaid = performance.now();
      set({ polite: text });
    };
    clearTimeout(waiting);
    const wait = lastSaid + 2000 - performance.now();
    if (wait <= 0) speak();
    else waiting = setTimeout(speak, wait);
  };
  const shout = (text: string) => set({ ...keep(text), assertive: text });
  return { editor, client, screen, picture: { current: null }, keeper: undefined, set, say, shout };
}
