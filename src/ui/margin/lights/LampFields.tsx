import { lazy, Suspense, useState } from 'react';
import type { FixtureRecord, LampRecord } from '../../../scene/index.ts';
import { Choice, Fold } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { editLight, showAfter } from '../../state/actions.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { lampOf, lampWords } from '../../state/lights.ts';

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
      </div>
      {trying && (
        <Suspense fallback={null}>
          <LampSwap fixture={fixture} named={named} />
        </Suspense>
      )}
      {lamp && (
        <Fold title="Figures of this lamp" note="all lights that use it">
          <LampRecordFields lamp={lamp} disabled={locked} />
        </Fold>
      )}
      {!lamp && <p className="error">{lampWords(lamp)}</p>}
    </>
  );
}

function LampRecordFields({ lamp, disabled }: { lamp: LampRecord; disabled: boolean }) {
  const app = useApp();
  const put = (what: string, patch: Partial<LampRecord>) => {
    app.editor.edit(`${what} of lamp ${lamp.name}`, (d) => ({
      ...d,
      catalogue: { ...d.catalogue, lamps: d.catalogue.lamps.map((l) => (l.id === lamp.id ? { ...l, ...patch } : l)) },
    }));
    showAfter(app);
  };
  const d = lamp.distribution;
  return (
    <div className="fields">
      {d.kind === 'model' && (
        <>
          <QuantityField
            label="Output"
            value={d.fluxLm}
            unit="lm"
            min={20}
            max={3000}
            step={10}
            disabled={disabled}
            onTake={(fluxLm) => put('output', { distribution: { ...d, fluxLm } })}
          />
          <QuantityField
            label="Beam, full angle"
            value={d.beamAngleFullDeg}
            unit="deg"
            min={5}
            max={120}
            step={1}
            disabled={disabled}
            onTake={(beamAngleFullDeg) => put('beam', { distribution: { ...d, beamAngleFullDeg } })}
          />
          <QuantityField
            label="Spill share"
            value={d.spillShare}
            unit=""
            min={0}
            max={1}
            step={0.01}
            disabled={disabled}
            onTake={(spillShare) => put('spill', { distribution: { ...d, spillShare } })}
          />
        </>
      )}
      <QuantityField
        label="Power"
        value={lamp.powerW}
        unit="W"
        min={0.5}
        max={60}
        step={0.5}
        disabled={disabled}
        onTake={(powerW) => put('power', { powerW })}
      />
      <QuantityField
        label="Power factor"
        value={lamp.powerFactor}
        unit=""
        min={0.4}
        max={1}
        step={0.01}
        disabled={disabled}
        onTake={(powerFactor) => put('power factor', { powerFactor })}
      />
      <QuantityField
        label="Colour"
        value={lamp.cctK}
        unit="K"
        min={1800}
        max={6500}
        step={100}
        disabled={disabled}
        onTake={(cctK) => put('colour', { cctK })}
      />
      <QuantityField
        label="Lowest volts, holds"
        value={lamp.lowestV}
        unit="V"
        min={0}
        max={60}
        step={0.1}
        disabled={disabled}
        onTake={(lowestV) => put('lowest volts', { lowestV })}
      />
      <QuantityField
        label="Starting volts"
        value={lamp.startV}
        unit="V"
        min={0}
        max={60}
        step={0.1}
        disabled={disabled}
        onTake={(startV) => put('starting volts', { startV })}
      />
      <QuantityField
        label="Highest volts"
        value={lamp.highestV}
        unit="V"
        min={0}
        max={60}
        step={0.1}
        disabled={disabled}
        onTake={(highestV) => put('highest volts', { highestV })}
      />
    </div>
  );
}
