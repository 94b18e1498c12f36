import { fixturesRemoved, putById } from '../../editor/index.ts';
import type { PropertyDocument, SchemeRecord } from '../../scene/index.ts';
import { chooseScheme } from './actions.ts';
import type { App } from './app.ts';

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

export const PACKAGES = [
  { rank: 1, id: 'core', word: 'Core' },
  { rank: 2, id: 'full', word: 'Full front' },
  { rank: 3, id: 'all', word: 'All round' },
] as const;
export type Package = (typeof PACKAGES)[number];

/** Ids hold 64 signs; a longer base is cut so that it is never overwritten. */
const packageId = (base: SchemeRecord, chosen: Package) => `${base.id.slice(0, 63 - chosen.id.length)}.${chosen.id}`;
const packageOf = (schemeId: string) => PACKAGES.find((p) => p.rank < 3 && schemeId.endsWith(`.${p.id}`));

/** The scheme a package was cut from, and which package is on screen; a scheme of its own is its All round. */
export function packageShown(document: PropertyDocument, schemeId: string): { base: SchemeRecord | undefined; rank: number } {
  const cut = packageOf(schemeId);
  const base = cut && document.schemes.find((s) => s.id === schemeId.slice(0, -cut.id.length - 1));
  return base && cut ? { base, rank: cut.rank } : { base: document.schemes.find((s) => s.id === schemeId), rank: 3 };
}

/**
 * A package is a scheme of its own, cut afresh from its base each time it is shown: the base's lights up to a rank, their
 * cable shortened by what is left out, gauge, taps and transformers as the last phase needs them.
 */
export function cutPackage(document: PropertyDocument, base: SchemeRecord, chosen: Package): PropertyDocument {
  const id = packageId(base, chosen);
  const out = base.fixtures.filter((f) => f.rank > chosen.rank).map((f) => f.id);
  const alone: PropertyDocument = { ...document, existing: [], schemes: [base] };
  const cut = fixturesRemoved(alone, base.id, out).schemes[0] ?? base;
  const scheme: SchemeRecord = {
    ...cut,
    id,
    name: `${base.name}, ${chosen.word}`.slice(0, 200),
    notes: `Lights of rank 1 to ${chosen.rank} of ${base.name}; cable sizes stay as the last phase needs them.`,
    expectedFindings: undefined,
  };
  return { ...document, schemes: putById(document.schemes, scheme) };
}

/** Shows a package: All round is the scheme itself, the others are cut from it as one undo step. */
export function showPackage(app: App, chosen: Package): void {
  const { document, session } = app.editor.store.getState();
  const { base } = packageShown(document, session.schemeId);
  if (!base) return;
  if (chosen.rank === 3) {
    chooseScheme(app, base.id);
    return;
  }
  const next = cutPackage(document, base, chosen);
  const id = packageId(base, chosen);
  const same =
    JSON.stringify(next.schemes.find((s) => s.id === id)) === JSON.stringify(document.schemes.find((s) => s.id === id));
  if (!same) app.editor.edit(`cut package ${chosen.word} from ${base.name}`, () => next);
  chooseScheme(app, id);
}
