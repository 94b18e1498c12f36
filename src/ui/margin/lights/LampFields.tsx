import { lazy, Suspense, useState } from 'react';
import { type ShapeKind, withShape } from '../../../lights/index.ts';
import type { FixtureRecord, LampRecord } from '../../../scene/index.ts';
import { Choice, Fold } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import { editLight, showAfter } from '../../state/actions.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { figure } from '../../state/format.ts';
import { lampOf, lampWords } from '../../state/lights.ts';
import { axisCandela } from './axisCandela.ts';
import { LAMP_FIELDS, shapeOf } from './lightFields.ts';
import { PhotometryFile } from './PhotometryFile.tsx';

const SHAPES: [ShapeKind, string][] = [
  ['disc', 'disc, a lens'],
  ['globe', 'globe, a pendant'],
  ['line', 'line, a strip'],
];

const LampSwap = lazy(() => import('./LampSwap.tsx'));

/** The lamp of one light: choose from the catalogue, change its figures, or try another. */
export function LampFields({ fixture, named }: { fixture: FixtureRecord; named: string }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const [trying, setTrying] = useState(false);
  const lamp = lampOf(document, fixture);
  const locked = fixture.locks.lamp;
  return (
    <>
      <Choice
        label="Lamp"
        value={fixture.lampId}
        disabled={locked}
        options={document.catalogue.lamps.map((l): [string, string] => [l.id, `${l.name}: ${lampWords(l)}`])}
        onChoose={(lampId) => editLight(app, `lamp of ${named}`, { ...fixture, lampId })}
      />
      <div className="buttons">
        <button type="button" disabled={locked} aria-expanded={trying} onClick={() => setTrying(!trying)}>
          Try another lamp
        </button>
        <PhotometryFile lightId={fixture.id} disabled={locked} />
      </div>
      {trying && (
        <Suspense fallback={null}>
          <LampSwap fixture={fixture} named={named} />
        </Suspense>
      )}
      {lamp && (
        <Fold title="Figures of this lamp" note={`${figure(axisCandela(lamp, fixture))} cd on its axis`}>
          <p className="second small">A change here is a change of every light that uses this lamp.</p>
          <LampRecordFields lamp={lamp} disabled={locked} />
        </Fold>
      )}
      {!lamp && <p className="error">{lampWords(lamp)}</p>}
    </>
  );
}

function LampRecordFields({ lamp, disabled }: { lamp: LampRecord; disabled: boolean }) {
  const app = useApp();
  const put = (what: string, next: LampRecord | undefined) => {
    if (!next || next.name.trim() === '') return;
    app.editor.edit(`${what} of lamp ${lamp.name}`, (d) => ({
      ...d,
      catalogue: { ...d.catalogue, lamps: d.catalogue.lamps.map((l) => (l.id === lamp.id ? next : l)) },
    }));
    showAfter(app);
  };
  return (
    <>
      <Choice
        label="Shape of what shines"
        value={shapeOf(lamp)}
        disabled={disabled}
        options={SHAPES}
        onChoose={(shape) => put('shape', withShape(lamp, shape))}
      />
      <FieldTable fields={LAMP_FIELDS} records={[lamp]} disabled={disabled} onPut={(what, [next]) => put(what, next)} />
    </>
  );
}
