import { createStore } from 'zustand/vanilla';
import type { SchemeChange } from '../review/index.ts';
import type { FixtureRecord, PropertyDocument, Vec3 } from '../scene/index.ts';
import { createHistory } from './history.ts';
import { createLight, lightAdded, lightsCopied } from './lights.ts';
import {
  findFixture,
  fixturesRemoved,
  lightLabel,
  putFixtureInto,
  schemeChangeApplied,
  schemeOf,
  withLocksKept,
} from './schemeEdits.ts';
import { createSession } from './session.ts';
import type { Editor, EditorState, SessionState } from './types.ts';

type DocumentChange = (document: PropertyDocument) => PropertyDocument;

/** A change under way and not yet a step: a drag, or a remedy on trial. `base` is the document as it was before. */
interface Pending {
  kind: 'gesture' | 'trial';
  label: string;
  base: PropertyDocument;
}

/**
 * Headless editor of one property. Every change of the document is one named undo step; camera, selection, exposure and
 * all else in `session` stay outside undo.
 *
 * A gesture's `preview` is worked out from the document as it was when the gesture began, so a drag never adds up its own
 * rounding. An edit during a gesture takes the gesture as a step first; undo during a gesture or trial takes that back.
 * Editing while "before" shows turns the picture to "after".
 */
export function createEditor(document: PropertyDocument, options: { schemeId?: string } = {}): Editor {
  const history = createHistory<PropertyDocument>();
  let pending: Pending | undefined;
  const store = createStore<EditorState>(() => ({
    document,
    session: createSession(document, options.schemeId),
    undoLabel: undefined,
    redoLabel: undefined,
    revision: 0,
  }));
  const now = (): PropertyDocument => store.getState().document;
  const schemeId = (): string => store.getState().session.schemeId;

  /** Shows a document: counts the change, keeps the session pointing at things that exist. */
  function show(next: PropertyDocument, patch: Partial<SessionState> = {}): void {
    store.setState((state) => ({
      document: next,
      session: settled(next, { ...state.session, ...turnedToAfter(state, next), ...patch }),
      undoLabel: pending ? pending.label : history.undoLabel(),
      redoLabel: pending ? undefined : history.redoLabel(),
      revision: next === state.document ? state.revision : state.revision + 1,
    }));
  }

  /** Ends what is under way: as a step, or as if it had not been. */
  function end(how: 'keep' | 'drop'): void {
    if (!pending) return;
    const { base, label, kind } = pending;
    pending = undefined;
    const changed = how === 'keep' && history.record(label, base, now());
    show(changed ? now() : base, kind === 'trial' ? { trial: undefined } : {});
  }

  function edit(label: string, change: DocumentChange): void {
    end('keep');
    const before = now();
    const after = change(before);
    if (history.record(label, before, after)) show(after);
  }

  function begin(kind: Pending['kind'], label: string): void {
    end(kind === 'trial' && pending?.kind === 'trial' ? 'drop' : 'keep');
    pending = { kind, label, base: now() };
  }

  const label = (id: string): string => lightLabel(now(), schemeId(), id);

  return {
    store,
    edit,
    beginGesture: (name) => begin('gesture', name),
    preview(change) {
      if (pending?.kind !== 'gesture') throw new RangeError('preview: no gesture was begun');
      show(change(pending.base));
    },
    commitGesture() {
      if (pending?.kind === 'gesture') end('keep');
    },
    cancelGesture() {
      if (pending?.kind === 'gesture') end('drop');
    },
    undo() {
      if (pending) return end('drop');
      const before = history.undo(now());
      if (before) show(before);
    },
    redo() {
      end('drop');
      const after = history.redo(now());
      if (after) show(after);
    },
    session(patch) {
      const { trial: _owned, ...free } = patch;
      if (free.schemeId !== undefined && free.schemeId !== schemeId()) {
        end(pending?.kind === 'trial' ? 'drop' : 'keep');
      }
      store.setState((state) => ({ session: settled(state.document, { ...state.session, ...free }) }));
    },
    replaceDocument(next, wantedScheme) {
      pending = undefined;
      history.clear();
      store.setState((state) => ({
        document: next,
        session: { ...createSession(next, wantedScheme), ...kept(state.session) },
        undoLabel: undefined,
        redoLabel: undefined,
        revision: state.revision + 1,
      }));
    },
    scheme: () => schemeOf(now(), schemeId()),
    putFixture: (name, fixture) => edit(name, (doc) => putFixtureInto(doc, schemeId(), fixture)),
    removeFixtures(ids) {
      const name = ids.length === 1 ? `remove ${label(ids[0]!)}` : `remove ${ids.length} lights`;
      edit(name, (doc) => fixturesRemoved(doc, schemeId(), ids));
    },
    addLight(at: Vec3, aim: Vec3, given?: Partial<FixtureRecord>) {
      end('keep');
      const fixture = createLight(now(), schemeId(), at, aim, given);
      const number = schemeOf(now(), schemeId()).fixtures.length + 1;
      edit(`add light ${number}`, (doc) => lightAdded(doc, schemeId(), fixture));
      store.setState((state) => ({ session: { ...state.session, selection: { kind: 'lights', ids: [fixture.id] } } }));
      return fixture;
    },
    copyAlong(id, places) {
      end('keep');
      const original = findFixture(now(), schemeId(), id);
      if (!original) throw new RangeError(`light ${id}: not in the scheme`);
      const { document: next, copies } = lightsCopied(now(), schemeId(), original, places);
      edit(`copy ${label(id)} to ${places.length} places`, () => next);
      return copies;
    },
    editLights(name, ids, change) {
      edit(name, (doc) =>
        ids.reduce((all, id) => {
          const fixture = findFixture(all, schemeId(), id);
          if (!fixture) return all;
          const changed = change(fixture, all);
          return putFixtureInto(all, schemeId(), ids.length > 1 ? withLocksKept(fixture, changed) : changed);
        }, doc),
      );
    },
    applySchemeChange: (name, change: SchemeChange) => edit(name, (doc) => schemeChangeApplied(doc, schemeId(), change)),
    beginTrial(text, findingId, change) {
      begin('trial', text);
      show(schemeChangeApplied(now(), schemeId(), change), { trial: { text, findingId } });
    },
    keepTrial() {
      if (pending?.kind === 'trial') end('keep');
    },
    takeBackTrial() {
      if (pending?.kind === 'trial') end('drop');
    },
  };
}

/** An edit of a light while "before" shows would be invisible: turn to "after". */
function turnedToAfter(state: EditorState, next: PropertyDocument): Partial<SessionState> {
  return state.session.after || next.schemes === state.document.schemes ? {} : { after: true };
}

/** Drops what the session points at and the document no longer has. */
function settled(document: PropertyDocument, session: SessionState): SessionState {
  const scheme = schemeOf(document, session.schemeId);
  const selection = session.selection;
  const schemeId = document.schemes.length > 0 ? scheme.id : session.schemeId;
  const viewpointId = document.viewpoints.some((v) => v.id === session.viewpointId) ? session.viewpointId : undefined;
  if (selection.kind !== 'lights') return { ...session, schemeId, viewpointId };
  const ids = selection.ids.filter((id) => findFixture(document, schemeId, id));
  if (ids.length === selection.ids.length) return { ...session, schemeId, viewpointId };
  return { ...session, schemeId, viewpointId, selection: ids.length > 0 ? { kind: 'lights', ids } : { kind: 'none' } };
}

/** What a person chose for the screen outlives a change of property. */
function kept(session: SessionState): Pick<SessionState, 'lengthSystem' | 'lightUnit' | 'list' | 'tags'> {
  const { lengthSystem, lightUnit, list, tags } = session;
  return { lengthSystem, lightUnit, list, tags };
}
