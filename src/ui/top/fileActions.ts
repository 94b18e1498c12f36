import { openPropertyFile, pickFile, savePropertyFile } from '../../files/index.ts';
import type { PropertyDocument } from '../../scene/index.ts';
import type { App } from '../state/app.ts';
import { fetchDemo } from '../state/start.ts';

/** Opens a property in place of the one on screen, which stays in storage under its own record. */
export async function showProperty(app: App, document: PropertyDocument): Promise<void> {
  await app.keeper?.flush();
  app.editor.replaceDocument(document);
  app.set({
    letters: {},
    judged: undefined,
    results: {},
    compare: 'off',
    compareWith: { kind: 'before' },
    overlay: 'none',
    mode: 'rest',
    free: false,
    showMeReturn: undefined,
    scene: undefined,
  });
  app.keeper?.opened();
}

export function openFileByPicker(app: App): void {
  void pickFile().then((file) => file && openFile(app, file));
}

/** A refused file leaves the running property untouched and its bytes downloadable. */
export async function openFile(app: App, file: File): Promise<void> {
  const opened = await openPropertyFile(file);
  if (opened.ok) {
    await showProperty(app, opened.document);
    app.say(
      opened.migratedFrom === undefined
        ? `Opened ${opened.name}`
        : `Opened ${opened.name}, brought up from version ${opened.migratedFrom}`,
    );
    return;
  }
  app.set({ fileTrouble: { title: opened.sentence, text: opened.lines.join('\n'), fileName: opened.name, bytes: opened.bytes } });
}

export async function openDemo(app: App, demo?: { url: string; fileName: string }): Promise<void> {
  await showProperty(app, await fetchDemo(demo?.url, demo?.fileName));
  app.set({ tourStep: 0 });
}

export async function saveToFile(app: App): Promise<void> {
  savePropertyFile(app.editor.store.getState().document);
  app.say('Property file handed to the browser.');
}
