import { describe, expect, it } from 'vitest';
import { createEditor, findFixture, lightNumber } from '../../src/editor/index.ts';
import { testProperty } from './property.ts';

const open = () => {
  const document = testProperty();
  return { document, editor: createEditor(document) };
};

describe('undo and redo', () => {
  it('takes one named step for each edit and gives it back exactly', () => {
    const { document, editor } = open();
    editor.edit('rename', (d) => ({ ...d, name: 'Other' }));
    expect(editor.store.getState().undoLabel).toBe('rename');
    editor.undo();
    expect(editor.store.getState().document).toEqual(document);
    expect(editor.store.getState().redoLabel).toBe('rename');
    editor.redo();
    expect(editor.store.getState().document.name).toBe('Other');
  });

  it('forgets what was undone once something else is done', () => {
    const { editor } = open();
    editor.edit('first', (d) => ({ ...d, name: 'first' }));
    editor.undo();
    editor.edit('second', (d) => ({ ...d, name: 'second' }));
    expect(editor.store.getState().redoLabel).toBeUndefined();
    editor.redo();
    expect(editor.store.getState().document.name).toBe('second');
  });

  it('keeps no step for an edit that changes nothing', () => {
    const { editor } = open();
    editor.edit('nothing', (d) => structuredClone(d));
    expect(editor.store.getState()).toMatchObject({ undoLabel: undefined, revision: 0 });
  });

  it('leaves camera, selection and exposure alone', () => {
    const { editor } = open();
    editor.edit('rename', (d) => ({ ...d, name: 'Other' }));
    editor.session({ ev100: 5, selection: { kind: 'lights', ids: ['L1'] } });
    editor.undo();
    expect(editor.store.getState().session).toMatchObject({ ev100: 5, selection: { kind: 'lights', ids: ['L1'] } });
  });
});

describe('gestures', () => {
  it('makes one step of a drag, each preview from the start of the gesture', () => {
    const { document, editor } = open();
    editor.beginGesture('move light 1');
    for (const x of [1, 2, 3]) {
      editor.preview((d) => {
        const light = findFixture(d, 'good', 'L1')!;
        return { ...d, name: `${d.name}${x}`, existing: [...d.existing, { ...light, id: `X${x}` }] };
      });
    }
    expect(editor.store.getState().document.existing).toHaveLength(2);
    editor.commitGesture();
    expect(editor.store.getState()).toMatchObject({ undoLabel: 'move light 1', document: { name: 'Test3' } });
    editor.undo();
    expect(editor.store.getState().document).toEqual(document);
    expect(editor.store.getState().undoLabel).toBeUndefined();
  });

  it('Escape gives back the very document and leaves no step', () => {
    const { document, editor } = open();
    editor.beginGesture('move');
    editor.preview((d) => ({ ...d, name: 'x' }));
    editor.cancelGesture();
    expect(editor.store.getState().document).toBe(document);
    expect(editor.store.getState().undoLabel).toBeUndefined();
  });

  it('undo in the midst of a drag takes the drag back, not the step before it', () => {
    const { editor } = open();
    editor.edit('first', (d) => ({ ...d, name: 'first' }));
    editor.beginGesture('drag');
    editor.preview((d) => ({ ...d, name: 'drag' }));
    editor.undo();
    expect(editor.store.getState().document.name).toBe('first');
  });

  it('refuses a preview without a gesture', () => {
    expect(() => open().editor.preview((d) => d)).toThrow(RangeError);
  });
});

describe('lights', () => {
  it('adds a light with the first lamp, numbered last, joined to the open end of the run by 1.2 × the distance', () => {
    const { document, editor } = open();
    const light = editor.addLight([3.5, 0, 0.38], [3.5, 5.8, 0]);
    const scheme = editor.scheme();
    expect(light).toMatchObject({ id: 'L3', lampId: 'p450', mount: 'stake' });
    expect(lightNumber(editor.store.getState().document, 'good', 'L3')).toBe(3);
    // L2 stands 4 m away along the wall and 0.1 m higher: sqrt(16.01) × 1.2 = 4.80 m.
    expect(scheme.runs[0]!.legs.at(-1)).toEqual({ id: 'A-3', fromId: 'A-2', lengthM: 4.8, lengthGuessed: true, fixtureId: 'L3' });
    expect(editor.store.getState().session.selection).toEqual({ kind: 'lights', ids: ['L3'] });
    editor.undo();
    expect(editor.store.getState().document).toEqual(document);
    expect(editor.store.getState().session.selection).toEqual({ kind: 'none' });
  });

  it('leaves a light not wired where the scheme has no run', () => {
    const editor = createEditor(testProperty(), { schemeId: 'empty' });
    editor.addLight([0, 0, 2], [0, 1, 0]);
    expect(editor.scheme()).toMatchObject({ id: 'empty', runs: [] });
  });

  it('removes a light from the middle of a daisy and joins the two lengths', () => {
    const { document, editor } = open();
    editor.removeFixtures(['L1']);
    expect(editor.scheme().runs[0]!.legs).toEqual([{ id: 'A-2', lengthM: 8, lengthGuessed: false, fixtureId: 'L2' }]);
    expect(editor.store.getState().undoLabel).toBe('remove light 1');
    editor.undo();
    expect(editor.store.getState().document).toEqual(document);
  });

  it('copies a light to places in one step, aim carried', () => {
    const { document, editor } = open();
    const copies = editor.copyAlong('L1', [
      [2, 0.1, 0.38],
      [5, 0.1, 0.38],
    ]);
    expect(copies.map((c) => c.aim)).toEqual([
      [2, 4, 0],
      [5, 4, 0],
    ]);
    expect(editor.scheme().fixtures).toHaveLength(4);
    editor.undo();
    expect(editor.store.getState().document).toEqual(document);
  });

  it('turns the picture to after when a light is edited while before shows', () => {
    const { editor } = open();
    editor.session({ after: false });
    editor.edit('rename', (d) => ({ ...d, name: 'x' }));
    expect(editor.store.getState().session.after).toBe(false);
    editor.removeFixtures(['L1']);
    expect(editor.store.getState().session.after).toBe(true);
  });

  it('leaves locked parts of lights alone in an edit of many', () => {
    const { editor } = open();
    editor.putFixture('lock', {
      ...findFixture(editor.store.getState().document, 'good', 'L1')!,
      locks: { place: false, aim: false, lamp: true },
    });
    editor.editLights('lamp', ['L1', 'L2'], (f) => ({ ...f, lampId: 'p250' }));
    expect(editor.scheme().fixtures.map((f) => f.lampId)).toEqual(['p450', 'p250']);
  });
});

describe('trial of a remedy', () => {
  const remedy = (editor: ReturnType<typeof createEditor>) => ({
    fixtures: { put: [{ ...editor.scheme().fixtures[0]!, dim: 0.25 }] },
  });

  it('is taken back without a trace', () => {
    const { document, editor } = open();
    editor.beginTrial('dim to 25 %', 'hotSpot L1', remedy(editor));
    expect(editor.store.getState().session.trial).toEqual({ text: 'dim to 25 %', findingId: 'hotSpot L1' });
    expect(editor.scheme().fixtures[0]!.dim).toBe(0.25);
    editor.takeBackTrial();
    expect(editor.store.getState().document).toBe(document);
    expect(editor.store.getState()).toMatchObject({ undoLabel: undefined, session: { trial: undefined } });
  });

  it('is kept as one step', () => {
    const { document, editor } = open();
    editor.beginTrial('dim to 25 %', 'hotSpot L1', remedy(editor));
    editor.keepTrial();
    expect(editor.store.getState()).toMatchObject({ undoLabel: 'dim to 25 %', session: { trial: undefined } });
    editor.undo();
    expect(editor.store.getState().document).toEqual(document);
  });
});
