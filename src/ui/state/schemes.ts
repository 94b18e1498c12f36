import type { SchemeRecord } from '../../scene/index.ts';
import type { App } from './app.ts';
import { chooseScheme } from './actions.ts';

/** New copy of the scheme on screen under a free id; one undo step. */
export function copyScheme(app: App): void {
  const { document, session } = app.editor.store.getState();
  const source = document.schemes.find((s) => s.id === session.schemeId);
  const ids = new Set(document.schemes.map((s) => s.id));
  let n = document.schemes.length + 1;
  while (ids.has(`scheme-${n}`)) n += 1;
  const blank: SchemeRecord = { id: '', name: '', notes: '', fixtures: [], zones: [], transformers: [], runs: [] };
  const copy: SchemeRecord = {
    ...(source ?? blank),
    id: `scheme-${n}`,
    name: `${source?.name ?? 'Scheme'} copy`,
    expectedFindings: undefined,
  };
  app.editor.edit(`copy scheme ${source?.name ?? ''}`.trim(), (d) => ({ ...d, schemes: [...d.schemes, copy] }));
  chooseScheme(app, copy.id);
}

export function renameScheme(app: App, id: string, name: string): void {
  const clean = name.trim().slice(0, 200);
  if (clean === '') return;
  app.editor.edit(`rename scheme to ${clean}`, (d) => ({
    ...d,
    schemes: d.schemes.map((s) => (s.id === id ? { ...s, name: clean } : s)),
  }));
}
