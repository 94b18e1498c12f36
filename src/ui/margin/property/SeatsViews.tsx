import type { ViewpointRecord } from '../../../scene/index.ts';
import { Choice, Fold, TextField } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
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
          <div className="fields">
            <TextField label="Name" value={v.name} onTake={(name) => put('name', { ...v, name: name.slice(0, 200) || v.name })} />
            <Choice
              label="Posture"
              value={v.posture}
              options={POSTURES}
              onChoose={(posture) => put('posture', { ...v, posture })}
            />
            <QuantityField
              label="Eye, level"
              value={v.eye[1]}
              unit="m"
              min={-5}
              max={30}
              step={0.05}
              onTake={(y) => put('eye', { ...v, eye: [v.eye[0], y, v.eye[2]] })}
            />
            <QuantityField
              label="Eye, left to right"
              value={v.eye[0]}
              unit="m"
              min={-200}
              max={200}
              step={0.1}
              onTake={(x) => put('eye', { ...v, eye: [x, v.eye[1], v.eye[2]] })}
            />
            <QuantityField
              label="Eye, toward the street"
              value={v.eye[2]}
              unit="m"
              min={-200}
              max={200}
              step={0.1}
              onTake={(z) => put('eye', { ...v, eye: [v.eye[0], v.eye[1], z] })}
            />
            <QuantityField
              label="Field of the picture"
              value={v.fieldDeg}
              unit="deg"
              min={20}
              max={100}
              step={2}
              onTake={(fieldDeg) => put('field', { ...v, fieldDeg })}
            />
            <QuantityField
              label="Weight"
              value={v.weight}
              unit=""
              min={0}
              max={3}
              step={0.5}
              onTake={(weight) => put('weight', { ...v, weight })}
            />
            <QuantityField
              label="Looks either side"
              value={v.gazeSpreadDeg}
              unit="deg"
              min={0}
              max={180}
              step={5}
              onTake={(gazeSpreadDeg) => put('gaze', { ...v, gazeSpreadDeg })}
            />
            <Choice
              label="Purpose"
              value={v.purpose}
              options={[
                ['look', 'look for'],
                ['dark', 'must stay dark'],
              ]}
              onChoose={(purpose) => put('purpose', { ...v, purpose })}
            />
          </div>
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
