import type { EditorState, SessionState } from '../../editor/index.ts';
import { clockAtSun, duskTimes, knownPlace } from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import { type FixtureRecord, type PropertyDocument, schemeAtHour } from '../../scene/index.ts';
import type { ShowRequest, WorkerEvent } from '../../worker/index.ts';
import type { App } from './app.ts';
import { countSeverities, extendLetters } from './letters.ts';
import type { ScreenState } from './screen.ts';

type Wanted = Omit<ShowRequest, 'revision'>;

/** Scheme and side the picture should show: the chosen one, or the other while `H` is held. */
export function shownSide(
  session: SessionState,
  screen: Pick<ScreenState, 'held' | 'compareWith'>,
): { schemeId: string; after: boolean } {
  const other = screen.compareWith;
  if (!screen.held) return { schemeId: session.schemeId, after: session.after };
  if (other.kind === 'scheme') return { schemeId: other.schemeId, after: true };
  return { schemeId: session.schemeId, after: !session.after };
}

/** What of the document the picture shows beside all of it: one light alone, or the lights that are on at the hour. */
export type ShownOnly = Pick<ScreenState, 'solo' | 'byHours'>;

let lastShown: { document: PropertyDocument; key: string; shown: PropertyDocument } | undefined;

/**
 * The document as shown: all of it; while a light's bar is pointed at in *Explain this place*, with every other light off;
 * and, when lamps follow their hours, with the zones that are off at the picture's clock time off. The same copy comes back
 * for the same question.
 */
export function shownDocument(
  document: PropertyDocument,
  schemeId: string,
  conditions: Conditions,
  only: ShownOnly,
): PropertyDocument {
  const hours = only.byHours ? hoursOf(document, conditions) : undefined;
  if (only.solo === undefined && !hours) return document;
  const key = JSON.stringify([schemeId, only.solo, hours]);
  if (lastShown?.document === document && lastShown.key === key) return lastShown.shown;
  const alone = (fixtures: FixtureRecord[]) =>
    only.solo === undefined ? fixtures : fixtures.map((f) => (f.id === only.solo ? f : { ...f, on: false }));
  const schemes = document.schemes.map((scheme) => {
    if (scheme.id !== schemeId) return scheme;
    const lit = hours ? schemeAtHour(scheme, hours.sunset, hours.clock) : scheme;
    return { ...lit, fixtures: alone(lit.fixtures) };
  });
  const shown = { ...document, schemes, existing: alone(document.existing) };
  lastShown = { document, key, shown };
  return shown;
}

/** Clock times of sunset and of the picture, where place and date are known. */
export function hoursOf(document: PropertyDocument, conditions: Conditions): { sunset: number; clock: number } | undefined {
  const place = knownPlace(document.site);
  const sunset = place && duskTimes(place).sunset;
  const clock = place && clockAtSun(place, conditions.sunAltitudeDeg);
  return sunset === undefined || clock === undefined ? undefined : { sunset, clock };
}

function wantedOf(state: EditorState, screen: ScreenState): Wanted {
  const side = shownSide(state.session, screen);
  const { conditions } = state.session;
  const document = shownDocument(state.document, side.schemeId, conditions, screen);
  const judge = screen.solo === undefined && !screen.byHours ? {} : { judge: false };
  return { document, ...side, conditions, ...judge };
}

function same(a: Wanted | undefined, b: Wanted): boolean {
  return (
    a !== undefined &&
    a.document === b.document &&
    a.schemeId === b.schemeId &&
    a.after === b.after &&
    a.conditions === b.conditions
  );
}

/** Two frames later the field that came before *settled* has been drawn. */
function afterDrawing(then: () => void): void {
  requestAnimationFrame(() => requestAnimationFrame(then));
}

/** Marks the page settled once light, judgement and drawing of the newest request are all there. Tests wait on this. */
function markSettled(app: App): void {
  const s = app.screen.getState();
  const root = document.documentElement.dataset;
  root.revision = String(s.requested);
  root.stage = s.failed ? 'failed' : s.stage;
  const judged = s.solo === undefined && !s.byHours ? (s.judged?.revision ?? -1) : s.requested;
  const drawn = s.pictureTrouble !== undefined || s.drawnRevision >= s.requested;
  if (s.settled === s.requested && judged === s.requested && drawn) root.settled = String(s.requested);
}

/**
 * Keeps the worker on what is wanted and the screen on what the worker found. The newest request wins; replies of
 * older ones are dropped.
 */
export function connectWorker(app: App): () => void {
  let last: Wanted | undefined;
  let slowTimer: ReturnType<typeof setTimeout> | undefined;
  let queued = false;

  const send = () => {
    queued = false;
    const wanted = wantedOf(app.editor.store.getState(), app.screen.getState());
    if (same(last, wanted)) return;
    last = wanted;
    const revision = app.screen.getState().requested + 1;
    clearTimeout(slowTimer);
    slowTimer = setTimeout(() => app.set({ slow: app.screen.getState().settled !== revision }), 200);
    app.set({ requested: revision, stage: 'asked', failed: undefined });
    app.client.show({ revision, ...wanted });
  };
  const ask = () => {
    if (queued) return;
    queued = true;
    queueMicrotask(send);
  };

  const onEvent = (event: WorkerEvent) => {
    const current = app.screen.getState();
    const revision = 'revision' in event ? event.revision : event.type === 'field' ? event.update.revision : event.state.revision;
    if (revision !== current.requested && event.type !== 'scene') return;
    switch (event.type) {
      case 'scene':
        app.set({ scene: event.scene });
        return;
      case 'field':
        app.set({ stage: event.update.stage });
        return;
      case 'progress':
        app.set({ progress: event.text });
        return;
      case 'settled':
        app.set({ settled: event.revision, stage: 'settled', progress: undefined, slow: false, failed: undefined });
        afterDrawing(() => {
          if (app.screen.getState().requested === event.revision) app.set({ drawnRevision: event.revision });
        });
        return;
      case 'judged': {
        const before = current.judged ? countSeverities(current.judged.findings) : undefined;
        const counts = countSeverities(event.state.findings);
        if (last) {
          const { document: property, schemeId } = last;
          app.set({ results: { ...current.results, [schemeId]: { document: property, judged: event.state } } });
        }
        app.set({ judged: event.state, letters: extendLetters(current.letters, event.state.findings) });
        if (before && (before.stop !== counts.stop || before.warn !== counts.warn || before.note !== counts.note)) {
          app.say(`Findings: ${counts.stop} Stop, ${counts.warn} Warn, ${counts.note} Note`);
        }
        return;
      }
      case 'failed':
        app.set({ failed: { during: event.during, message: event.message }, progress: undefined, slow: false });
        app.shout(`The light could not be worked out after ${event.during}. The picture shows the state before it.`);
    }
  };

  const stops = [
    app.client.onEvent(onEvent),
    app.editor.store.subscribe(ask),
    app.screen.subscribe(() => markSettled(app)),
    app.screen.subscribe((s, p) => {
      if (s.held !== p.held || s.compareWith !== p.compareWith || s.solo !== p.solo || s.byHours !== p.byHours) ask();
    }),
  ];
  send();
  return () => {
    clearTimeout(slowTimer);
    for (const stop of stops) stop();
  };
}

/** Asks again after a failure, with the same document. */
export function askAgain(app: App): void {
  const wanted = wantedOf(app.editor.store.getState(), app.screen.getState());
  const revision = app.screen.getState().requested + 1;
  app.set({ requested: revision, failed: undefined, stage: 'asked' });
  app.client.show({ revision, ...wanted });
}
