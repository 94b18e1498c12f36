import type { KeptVersion } from '../../files/index.ts';
import { isStorageFull } from '../../files/index.ts';
import { parseProperty } from '../../scene/index.ts';
import type { App } from '../state/app.ts';
import { clock } from '../state/format.ts';

/** Keeps the property as it is, under the clock's time unless a label is given; says where it lies. */
export async function keepThisVersion(app: App, label = ''): Promise<void> {
  if (!app.keeper) return;
  const named = label.trim().slice(0, 200) || `kept at ${clock()}`;
  try {
    await app.keeper.keep(named);
    app.say(`Version ${named} kept. History holds it.`);
  } catch (error) {
    const full = isStorageFull(error);
    app.shout(
      full ? 'Version not kept: storage is full. Save a file, or forget old versions.' : `Version not kept: ${String(error)}`,
    );
  }
}

/** Puts a kept version in place of what is on screen, as one step that Undo takes back. */
export function restoreVersion(app: App, version: KeptVersion): void {
  const read = parseProperty(version.text);
  if (!read.ok) {
    const [first] = read.errors;
    app.say(`Version ${version.label} could not be read: ${first?.path} ${first?.reason}. Nothing was changed.`);
    return;
  }
  app.editor.edit(`restore version ${version.label}`, () => read.document);
  app.set({ overlay: 'none' });
  app.say(`Version ${version.label} is back. Undo returns to what was on screen.`);
}
