import type { ViewpointRecord } from '../../../scene/index.ts';
import { Fold } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import { choice, type FieldSpec, number, place, text } from '../../parts/fields.ts';
import { goToViewpoint } from '../../state/actions.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { EMPTY } from '../../state/words.ts';

const POSTURES = [
  ['standing', 'standing, 1.60 m'],
  ['seated', 'seated, 1.15 m'],
  ['lounging', 'lounger, 0.45 m'],
  ['child', 'child, 1.00 m'],
  ['driving', 'driver, 1.10 m'],
  ['inside', 'inside'],
] as const;

export const VIEW_FIELDS: FieldSpec<ViewpointRecord>[] = [
  text('Name', 'name'),
  choice('Posture', 'posture', POSTURES),
  ...place<ViewpointRecord>('eye', 'xyz', 'Eye'),
  ...place<ViewpointRecord>('lookAt', 'xyz', 'Looks at'),
  number('Field of the picture', 'fieldDeg', 'deg', [20, 100, 2]),
  number('Weight', 'weight', '', [0, 3, 0.5]),
  number('Looks either side', 'gazeSpreadDeg', 'deg', [0, 180, 5]),
  choice('Purpose', 'purpose', [
    ['look', 'look for'],
    ['dark', 'must stay dark'],
  ]),
];

/** Eyes of the property: where one stands or sits, which way one looks, what must stay dark. */
export function SeatsViews() {
  const app = useApp();
  const viewpoints = useEditorState((s) => s.document.viewpoints);
  const put = (what: string, v: ViewpointRecord) =>
    app.editor.edit(`${what} of ${v.name}`, (d) => ({ ...d, viewpoints: d.viewpoints.map((x) => (x.id === v.id ? v : x)) }));
  const addHere = () => {
    const { camera } = app.editor.store.getState().session;
    app.editor.edit('add a seat', (d) => {
      let n = d.viewpoints.length + 1;
      while (d.viewpoints.some((v) => v.id === `view-${n}`)) n += 1;
      const view: ViewpointRecord = {
        id: `view-${n}`,
        name: `Seat ${n}`,
        eye: camera.eye,
        lookAt: camera.lookAt,
        fieldDeg: camera.fieldDeg,
        posture: 'seated',
        weight: 1,
        purpose: 'look',
        gazeSpreadDeg: 30,
      };
      return { ...d, viewpoints: [...d.viewpoints, view] };
    });
  };
  return (
    <>
      {viewpoints.length === 0 && <p>{EMPTY.seats}</p>}
      {viewpoints.map((v) => (
        <Fold key={v.id} title={v.name} note={v.purpose === 'dark' ? 'must stay dark' : 'look for'}>
          <FieldTable fields={VIEW_FIELDS} records={[v]} onPut={(what, [next]) => next && put(what, next)} />
          <div className="buttons">
            <button type="button" onClick={() => goToViewpoint(app, v)}>
              See from here
            </button>
            <button
              type="button"
              onClick={() =>
                app.editor.edit(`remove ${v.name}`, (d) => ({ ...d, viewpoints: d.viewpoints.filter((x) => x.id !== v.id) }))
              }
            >
              Remove
            </button>
          </div>
        </Fold>
      ))}
      <button type="button" onClick={addHere}>
        Add a seat where the picture stands
      </button>
    </>
  );
}
