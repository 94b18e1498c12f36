import { useState } from 'react';
import { putFixtureInto } from '../../../editor/index.ts';
import type { FixtureRecord } from '../../../scene/index.ts';
import { Fold, Toggle } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import { fileDrop } from '../../parts/fileDrop.ts';
import { GestureRange } from '../../parts/GestureRange.tsx';
import { editLight, removeSelected, selectLights } from '../../state/actions.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { figure, volts } from '../../state/format.ts';
import { mountCautions, numberText } from '../../state/lights.ts';
import { takePhotometry } from '../../state/photometry.ts';
import { AimReading } from './AimReading.tsx';
import { CopyAlong } from './CopyAlong.tsx';
import { LampFields } from './LampFields.tsx';
import { OPTICS_FIELDS, placeFields, REASON_FIELDS } from './lightFields.ts';

/** One light: place, aim, lamp, lens, shield, dim, locks. Each field is one undo step named by what it changes. */
export function LightDetail({ fixture, existing }: { fixture: FixtureRecord; existing: boolean }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const number = numberText(document, session.schemeId, fixture.id);
  const named = existing ? fixture.name || fixture.id : `light ${number}`;
  const put = (what: string, [next]: FixtureRecord[]) => next && editLight(app, `${what} of ${named}`, next);
  return (
    <section
      className="detail"
      aria-label={existing ? named : `Light ${number}`}
      {...fileDrop((file) => takePhotometry(app, fixture.id, file))}
    >
      <header className="detail-head">
        <span className="ring" aria-hidden="true">
          {number}
        </span>
        <h3>{existing ? named : `Light ${number}`}</h3>
        <Toggle label="On" on={fixture.on} onChange={(on) => put(on ? 'switch on' : 'switch off', [{ ...fixture, on }])} />
        <button type="button" onClick={() => removeSelected(app)}>
          Delete
        </button>
        <button type="button" className="plain" aria-label="Close this light" onClick={() => selectLights(app, [])}>
          Close
        </button>
      </header>
      <AimReading fixture={fixture} />
      <button type="button" onClick={() => app.set({ dazzleLight: fixture.id, pane: 'picture' })}>
        Show where it dazzles
      </button>
      <PlaceSection fixture={fixture} named={named} />
      <LampFields fixture={fixture} named={named} />
      <GestureRange
        label="Dim"
        step={`dim ${named}`}
        value={Math.round(fixture.dim * 100)}
        min={0}
        max={100}
        by={1}
        text={`${Math.round(fixture.dim * 100)} %`}
        change={(v) => (d) => putFixtureInto(d, session.schemeId, { ...fixture, dim: v / 100 })}
      />
      <Electrical fixture={fixture} />
      <Fold title="Lens, shield, roll">
        <FieldTable fields={OPTICS_FIELDS} records={[fixture]} onPut={put} />
      </Fold>
      <Fold title="Name, reason, locks" note={fixture.reason === '' ? 'no reason written' : undefined}>
        <FieldTable fields={REASON_FIELDS} records={[fixture]} onPut={put} />
      </Fold>
      {!existing && (
        <Fold title="Copy along the wall">
          <CopyAlong fixture={fixture} />
        </Fold>
      )}
    </section>
  );
}

/** Place and aim by their table; cautions of the mount stand under it. */
function PlaceSection({ fixture, named }: { fixture: FixtureRecord; named: string }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const [along, setAlong] = useState(false);
  return (
    <>
      <FieldTable
        fields={placeFields(document, along ? 'direction' : 'point')}
        records={[fixture]}
        onPut={(what, [next]) => next && editLight(app, `${what} of ${named}`, next)}
      />
      <Toggle label="Aim goes along when the light moves" on={along} onChange={setAlong} />
      {mountCautions(document, fixture).map((text) => (
        <p key={text} className="caution small">
          {text}
        </p>
      ))}
    </>
  );
}

/** Volts at the marked draw and at ×1.75, or *not wired*. */
function Electrical({ fixture }: { fixture: FixtureRecord }) {
  const s = useScreen((x) => ({ power: x.judged?.power, high: x.judged?.powerAt175 }));
  const at = s.power?.fixtures.find((f) => f.id === fixture.id);
  const high = s.high?.fixtures.find((f) => f.id === fixture.id);
  if (!at) return <p className="second">{s.power ? 'Not wired: no volts.' : 'Volts not solved yet.'}</p>;
  if (at.runId === null) return <p>Not wired: no volts.</p>;
  return (
    <p>
      {volts(at.volts)} at the marked draw, {high ? volts(high.volts) : 'not solved'} at ×1.75
      {at.startMarginV !== null && `; ${figure(at.startMarginV)} V above its start`}
      {at.lengthGuessed && <span className="second"> (cable length guessed)</span>}
    </p>
  );
}
