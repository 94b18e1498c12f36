import { useState } from 'react';
import { anglesOf, type PlaceFields, putFixtureInto, wallPlaceOf, withPlaceFields } from '../../../editor/index.ts';
import { dirtFactorOf } from '../../../lights/index.ts';
import { groundHeightAt, type FixtureRecord, type Mount } from '../../../scene/index.ts';
import { Choice, Fold, TextField, Toggle } from '../../parts/controls.tsx';
import { GestureRange } from '../../parts/GestureRange.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { showQuantity } from '../../parts/quantity.ts';
import { editLight, removeSelected, selectLights } from '../../state/actions.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { figure, volts } from '../../state/format.ts';
import { mountCautions, numberText } from '../../state/lights.ts';
import { MOUNT_WORD } from '../../state/words.ts';
import { AimReading } from './AimReading.tsx';
import { CopyAlong } from './CopyAlong.tsx';
import { LampFields } from './LampFields.tsx';

const MOUNTS = Object.entries(MOUNT_WORD) as [Mount, string][];

/** One light: place, aim, lamp, lens, shield, dim, locks. Each field is one undo step named by what it changes. */
export function LightDetail({ fixture, existing }: { fixture: FixtureRecord; existing: boolean }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const number = numberText(document, session.schemeId, fixture.id);
  const named = existing ? fixture.name || fixture.id : `light ${number}`;
  const put = (what: string, patch: Partial<FixtureRecord>) => editLight(app, `${what} of ${named}`, { ...fixture, ...patch });
  return (
    <section className="detail" aria-label={existing ? named : `Light ${number}`}>
      <header className="detail-head">
        <span className="ring" aria-hidden="true">
          {number}
        </span>
        <h3>{existing ? named : `Light ${number}`}</h3>
        <Toggle label="On" on={fixture.on} onChange={(on) => put(on ? 'switch on' : 'switch off', { on })} />
        <button type="button" onClick={() => removeSelected(app)}>
          Delete
        </button>
        <button type="button" className="plain" aria-label="Close this light" onClick={() => selectLights(app, [])}>
          Close
        </button>
      </header>
      <AimReading fixture={fixture} />
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
        <OpticsFields fixture={fixture} put={put} />
      </Fold>
      <Fold title="Name, reason, locks" note={fixture.reason === '' ? 'no reason written' : undefined}>
        <TextField label="Name" value={fixture.name} onTake={(name) => put('rename', { name: name.slice(0, 200) })} />
        <TextField
          label="Why it is here"
          value={fixture.reason}
          multiline
          onTake={(reason) => put('reason', { reason: reason.slice(0, 4000) })}
        />
        <Choice
          label="Rank"
          value={String(fixture.rank)}
          options={[
            ['1', '1, core'],
            ['2', '2, full'],
            ['3', '3, all round'],
          ]}
          onChoose={(v) => put('rank', { rank: Number(v) })}
        />
        <Toggle
          label="Lock place"
          on={fixture.locks.place}
          onChange={(place) => put('lock', { locks: { ...fixture.locks, place } })}
        />
        <Toggle label="Lock aim" on={fixture.locks.aim} onChange={(aim) => put('lock', { locks: { ...fixture.locks, aim } })} />
        <Toggle
          label="Lock lamp"
          on={fixture.locks.lamp}
          onChange={(lamp) => put('lock', { locks: { ...fixture.locks, lamp } })}
        />
      </Fold>
      {!existing && (
        <Fold title="Copy along the wall">
          <CopyAlong fixture={fixture} />
        </Fold>
      )}
    </section>
  );
}

/** Mount, set-back, along wall, height, tilt, bearing, aim height: against the nearest wall, as a rule and a compass read it. */
function PlaceSection({ fixture, named }: { fixture: FixtureRecord; named: string }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const system = useEditorState((s) => s.session.lengthSystem);
  const [along, setAlong] = useState(false);
  const place = wallPlaceOf(document, fixture);
  const angles = anglesOf(fixture.at, fixture.aim);
  const heightM = fixture.at[1] - groundHeightAt(document, fixture.at[0], fixture.at[2]);
  const put = (what: string, fields: PlaceFields) =>
    editLight(app, `${what} of ${named}`, withPlaceFields(document, fixture, fields, { keep: along ? 'direction' : 'point' }));
  const near = place && place.setBackM < 10;
  const lockedPlace = fixture.locks.place;
  const lockedAim = fixture.locks.aim;
  const offSquare = place
    ? `${Math.abs(place.offSquareDeg).toFixed(0)}° ${place.offSquareDeg < 0 ? 'left' : 'right'} of square to wall`
    : '';
  const graze =
    near && fixture.aim[1] - fixture.at[1] > 0.5 ? grazeWords(place.setBackM, (fixture.aim[1] - fixture.at[1]) / 2) : '';
  const cautions = mountCautions(document, fixture);
  return (
    <>
      <div className="fields">
        <Choice
          label="Mount"
          value={fixture.mount}
          options={MOUNTS}
          disabled={lockedPlace}
          onChoose={(mount) => editLight(app, `mount of ${named}`, { ...fixture, mount })}
        />
        <QuantityField
          label="Lens height above ground"
          value={heightM}
          unit="m"
          min={-0.05}
          max={12}
          step={0.01}
          disabled={lockedPlace}
          hint={fixture.mount === 'riser' && heightM > 0.6 ? 'needs a stay' : ''}
          onTake={(v) => put('height', { heightM: v })}
        />
        {near && (
          <QuantityField
            label="Set-back from wall"
            value={place.setBackM}
            unit="m"
            min={0.05}
            max={10}
            step={0.01}
            disabled={lockedPlace}
            hint={graze}
            onTake={(v) => put('set-back', { setBackM: v })}
          />
        )}
        {near && (
          <QuantityField
            label={`Along ${place.wallName}`}
            value={place.alongM}
            unit="m"
            min={0}
            max={place.wallLengthM}
            step={0.01}
            disabled={lockedPlace}
            onTake={(v) => put('place along the wall', { alongM: v })}
          />
        )}
        <QuantityField
          label="Tilt from upright"
          value={angles.tiltDeg}
          unit="deg"
          min={0}
          max={180}
          step={1}
          decimals={0}
          disabled={lockedAim}
          hint={angles.tiltDeg > 35 && angles.tiltDeg < 90 ? 'who looks this way?' : ''}
          onTake={(v) => put('tilt', { tiltDeg: v })}
        />
        <QuantityField
          label="Bearing"
          value={angles.bearingDeg}
          unit="deg"
          min={0}
          max={359}
          step={1}
          decimals={0}
          disabled={lockedAim}
          hint={offSquare}
          onTake={(v) => put('bearing', { bearingDeg: v })}
        />
        <QuantityField
          label="Aims at, height"
          value={fixture.aim[1]}
          unit="m"
          min={-10}
          max={60}
          step={0.1}
          disabled={lockedAim}
          hint={`${showQuantity(angles.distanceM, 'm', system)} away`}
          onTake={(v) => editLight(app, `aim of ${named}`, { ...fixture, aim: [fixture.aim[0], v, fixture.aim[2]] })}
        />
      </div>
      <Toggle label="Aim goes along when the light moves" on={along} onChange={setAlong} />
      {cautions.map((text) => (
        <p key={text} className="caution small">
          {text}
        </p>
      ))}
    </>
  );
}

/** A joint of depth t throws a shadow t·h/s down from h above the lens at set-back s. */
function grazeWords(setBackM: number, heightM: number): string {
  const shadowMm = (10 * heightM) / setBackM;
  return `graze: a 10 mm joint throws ${shadowMm.toFixed(0)} mm at ${heightM.toFixed(1)} m up`;
}

function OpticsFields({ fixture, put }: { fixture: FixtureRecord; put(what: string, patch: Partial<FixtureRecord>): void }) {
  return (
    <div className="fields">
      <Choice
        label="Lens"
        value={fixture.lens.kind}
        options={[
          ['clear', 'clear'],
          ['frosted', 'frosted'],
          ['linearSpread', 'linear spread'],
        ]}
        onChoose={(kind) => put('lens', { lens: { ...fixture.lens, kind } })}
      />
      {fixture.lens.kind === 'linearSpread' && (
        <QuantityField
          label="Spread roll"
          value={fixture.lens.rollDeg}
          unit="deg"
          min={0}
          max={179}
          step={1}
          onTake={(rollDeg) => put('lens roll', { lens: { ...fixture.lens, rollDeg } })}
        />
      )}
      <Choice
        label="Shield"
        value={fixture.shield.kind}
        options={[
          ['none', 'none'],
          ['shroud', 'shroud'],
          ['louvre', 'louvre'],
          ['halfShield', 'half shield'],
        ]}
        onChoose={(kind) => put('shield', { shield: { ...fixture.shield, kind } })}
      />
      {fixture.shield.kind !== 'none' && (
        <QuantityField
          label="Cut-off"
          value={fixture.shield.cutOffDeg}
          unit="deg"
          min={15}
          max={60}
          step={5}
          onTake={(cutOffDeg) => put('cut-off', { shield: { ...fixture.shield, cutOffDeg } })}
        />
      )}
      <QuantityField
        label="Dirt factor"
        value={dirtFactorOf(fixture)}
        unit=""
        min={0.3}
        max={1}
        step={0.01}
        hint={fixture.dirtFactor === undefined ? 'set by its mount' : ''}
        onTake={(dirtFactor) => put('dirt factor', { dirtFactor })}
      />
      <QuantityField
        label="Wanted on its target"
        value={fixture.wantedLx}
        unit="lx"
        min={0}
        max={10000}
        step={1}
        onTake={(wantedLx) => put('wanted lux', { wantedLx })}
      />
      <QuantityField
        label="Lead of the fixture"
        value={fixture.leadLengthM}
        unit="m"
        min={0}
        max={50}
        step={0.1}
        onTake={(leadLengthM) => put('lead', { leadLengthM })}
      />
    </div>
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
