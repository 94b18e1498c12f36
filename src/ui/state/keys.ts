import { useEffect } from 'react';
import { openFileByPicker, saveToFile } from '../top/fileActions.ts';
import { openList, removeSelected, selectLights, showAfter, stepFinding, stepLight, stepViewpoint } from './actions.ts';
import type { App } from './app.ts';
import { PACKAGES, showPackage } from './schemes.ts';

const REGIONS = ['.top', '.stage', '.strip', '.margin'];

/** Chords that work anywhere. Single letters live in `pictureKey` and work only while the picture has focus. */
export function useGlobalKeys(app: App): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.defaultPrevented) return;
      if (event.key === 'F6') {
        event.preventDefault();
        walkRegions(event.shiftKey ? -1 : 1);
      } else if (event.key === 'Escape') stepOut(app);
      else if (event.ctrlKey || event.metaKey) chord(app, event);
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [app]);
}

function chord(app: App, event: KeyboardEvent): void {
  const key = event.key.toLowerCase();
  const typing = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement;
  const acts: Record<string, () => void> = {
    k: () => app.set({ overlay: 'find' }),
    o: () => openFileByPicker(app),
    s: () => void saveToFile(app),
    enter: () => app.set({ overlay: 'client' }),
  };
  if (!typing) {
    acts.z = () => (event.shiftKey ? redo(app) : undo(app));
    acts.y = () => redo(app);
  }
  const act = acts[key];
  if (!act) return;
  event.preventDefault();
  act();
}

export function undo(app: App): void {
  const label = app.editor.store.getState().undoLabel;
  if (label === undefined) return;
  app.editor.undo();
  app.say(`Undone: ${label}`);
}

export function redo(app: App): void {
  const label = app.editor.store.getState().redoLabel;
  if (label === undefined) return;
  app.editor.redo();
  app.say(`Redone: ${label}`);
}

/** One level out, always: mode, open cell, trial, judging night, compare, selection. */
export function stepOut(app: App): boolean {
  const s = app.screen.getState();
  const { session } = app.editor.store.getState();
  // An open plate closes by its own cancel event; one press goes one level out.
  if (s.overlay !== 'none' || document.querySelector('dialog[open]')) return false;
  if (s.mode !== 'rest') {
    app.set({ mode: 'rest' });
    app.say('Add light put away.');
  } else if (s.openCell) app.set({ openCell: undefined });
  else if (s.crosshair) app.set({ crosshair: undefined });
  else if (session.trial) app.editor.takeBackTrial();
  else if (s.explain) app.set({ explain: undefined, solo: undefined });
  else if (s.dazzleLight !== undefined) app.set({ dazzleLight: undefined });
  else if (s.showMeReturn) s.showMeReturn();
  else if (s.compare !== 'off') app.set({ compare: 'off' });
  else if (session.selection.kind !== 'none') selectLights(app, []);
  else return false;
  return true;
}

function walkRegions(by: 1 | -1): void {
  const here = REGIONS.findIndex((r) => document.activeElement?.closest(r));
  const next = REGIONS[(here + by + REGIONS.length) % REGIONS.length];
  const region = next ? document.querySelector<HTMLElement>(next) : null;
  const target = region?.matches('[tabindex]') ? region : region?.querySelector<HTMLElement>('button, [tabindex="0"], input, a');
  target?.focus();
}

const COLOURS = ['dark', 'paper', 'red'] as const;
const TAGS = ['off', 'selected', 'all'] as const;

function following<T>(list: readonly T[], now: T): T {
  return list[(list.indexOf(now) + 1) % list.length] as T;
}

/** Single letters of the picture. Returns true when the key was taken. */
export function pictureKey(app: App, key: string, shift: boolean): boolean {
  const { session } = app.editor.store.getState();
  const s = app.screen.getState();
  const acts: Record<string, () => void> = {
    a: () => app.set({ mode: s.mode === 'rest' ? 'addByList' : 'rest' }),
    b: () => app.editor.session({ after: !session.after }),
    c: () => app.set({ crosshair: s.crosshair ? undefined : { xPx: -1, yPx: -1 } }),
    d: () => app.set({ colours: following(COLOURS, s.colours) }),
    f: () => stepFinding(app, shift ? -1 : 1),
    k: () => app.editor.session({ markClipped: !session.markClipped }),
    l: () => {
      const now = session.falseColour;
      app.editor.session({ falseColour: shift ? (now === 'luminance' ? 'off' : 'luminance') : now === 'lux' ? 'off' : 'lux' });
    },
    m: () => app.set({ marginFolded: !s.marginFolded }),
    n: () => stepLight(app, shift ? -1 : 1),
    p: () => app.set({ pane: s.pane === 'picture' ? 'plan' : s.pane === 'plan' ? 'both' : 'picture' }),
    t: () => app.editor.session({ tags: following(TAGS, session.tags) }),
    v: () => stepViewpoint(app, shift ? -1 : 1),
  };
  const chosen = s.singleKeys && !shift ? PACKAGES.find((p) => String(p.rank) === key) : undefined;
  if (chosen) {
    showPackage(app, chosen);
    return true;
  }
  if (key === 'Delete') {
    removeSelected(app);
    return true;
  }
  if (key === 'Enter' && session.selection.kind === 'lights') {
    openList(app, 'lights');
    showAfter(app);
    return true;
  }
  if (key === '?') {
    app.set({ overlay: 'help' });
    return true;
  }
  const act = s.singleKeys ? acts[key.toLowerCase()] : undefined;
  if (!act) return false;
  act();
  return true;
}
