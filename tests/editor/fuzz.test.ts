import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyChanges, diff } from '../../src/editor/diff.ts';
import { createEditor, type Editor, findFixture } from '../../src/editor/index.ts';
import { crossCheck } from '../../src/scene/index.ts';
import { testProperty } from './property.ts';

const seed = 41_209;

/** One random act of a person; each is harmless where it does not apply. */
type Act = { name: string; a: number; b: number };

const acts: Record<string, (editor: Editor, a: number, b: number) => void> = {
  add: (editor, a, b) => void editor.addLight([a * 10 - 5, 0, b * 3 + 0.1], [a * 10 - 5, 4, 0]),
  remove: (editor, a) => {
    const { fixtures } = editor.scheme();
    if (fixtures.length > 0) editor.removeFixtures([fixtures[Math.floor(a * fixtures.length)]!.id]);
  },
  copy: (editor, a, b) => {
    const light = editor.scheme().fixtures[0];
    if (light)
      editor.copyAlong(light.id, [
        [a, 0, 1],
        [b, 0, 2],
      ]);
  },
  dim: (editor, a) => {
    const ids = editor.scheme().fixtures.map((f) => f.id);
    editor.editLights('dim', ids, (f) => ({ ...f, dim: a, reason: undefined as unknown as string }));
  },
  drag: (editor, a, b) => {
    editor.beginGesture('drag');
    for (let i = 0; i < 3; i++) {
      editor.preview((d) => ({ ...d, name: `${d.name}${a}`, site: { ...d.site, ev100: b + i } }));
    }
    if (a < 0.5) editor.commitGesture();
    else if (a < 0.8) editor.cancelGesture();
  },
  trial: (editor, a) => {
    const light = editor.scheme().fixtures[0];
    if (!light) return;
    editor.beginTrial('dim', 'finding', { fixtures: { put: [{ ...light, dim: a }], remove: a > 0.7 ? ['L2'] : [] } });
    if (a < 0.4) editor.keepTrial();
    else if (a < 0.6) editor.takeBackTrial();
  },
  newField: (editor, a) => editor.edit('zone', (d) => ({ ...d, site: { ...d.site, latitudeDeg: a } })),
  dropField: (editor) =>
    editor.edit('no latitude', (d) => {
      const { latitudeDeg: _gone, ...site } = d.site;
      return { ...d, site };
    }),
  scheme: (editor, a) => editor.session({ schemeId: a < 0.5 ? 'good' : 'empty', after: a < 0.3 }),
  undo: (editor) => editor.undo(),
  redo: (editor) => editor.redo(),
};

const act: fc.Arbitrary<Act> = fc.record({
  name: fc.constantFrom(...Object.keys(acts)),
  a: fc.double({ min: 0, max: 0.999, noNaN: true }),
  b: fc.double({ min: 0, max: 1, noNaN: true }),
});

describe(`random edits, seed ${seed}`, () => {
  it('undo leads back to the very start and redo to the very end', () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 25 }), (list) => {
        const start = testProperty();
        const untouched = structuredClone(start);
        const editor = createEditor(start);
        for (const { name, a, b } of list) acts[name]!(editor, a, b);
        editor.commitGesture();
        editor.keepTrial();
        const state = () => editor.store.getState();
        while (state().redoLabel !== undefined) editor.redo();
        const end = structuredClone(state().document);
        while (state().undoLabel !== undefined) editor.undo();
        expect(state().document).toStrictEqual(untouched);
        while (state().redoLabel !== undefined) editor.redo();
        expect(state().document).toStrictEqual(end);
        expect(start).toStrictEqual(untouched);
      }),
      { seed, numRuns: 150 },
    );
  });

  it('ends in a property whose cross-checks find nothing', () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 25 }), (list) => {
        const editor = createEditor(testProperty());
        for (const { name, a, b } of list) acts[name]!(editor, a, b);
        expect(crossCheck(editor.store.getState().document)).toEqual([]);
        const { session, document } = editor.store.getState();
        if (session.selection.kind === 'lights') {
          for (const id of session.selection.ids) expect(findFixture(document, session.schemeId, id)).toBeDefined();
        }
      }),
      { seed, numRuns: 150 },
    );
  });
});

describe(`differences, seed ${seed}`, () => {
  const json = fc.jsonValue({ maxDepth: 4 });
  it('lead from either side to the other', () => {
    fc.assert(
      fc.property(json, json, (before, after) => {
        const changes = diff(before, after);
        expect(applyChanges(before, changes, 'redo')).toStrictEqual(after);
        expect(applyChanges(after, changes, 'undo')).toStrictEqual(before);
      }),
      { seed, numRuns: 300 },
    );
  });

  it('tell a missing field from one that holds undefined', () => {
    const changes = diff({ a: undefined }, {});
    expect(changes).toHaveLength(1);
    expect(Object.hasOwn(applyChanges<object>({}, changes, 'undo'), 'a')).toBe(true);
    expect(Object.hasOwn(applyChanges<object>({ a: undefined }, changes, 'redo'), 'a')).toBe(false);
  });
});
