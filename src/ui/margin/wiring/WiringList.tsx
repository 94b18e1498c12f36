import { withScheme } from '../../../editor/index.ts';
import { cautionOf } from '../../../kit/index.ts';
import type { PropertyDocument, RunRecord, SchemeRecord, TransformerRecord } from '../../../scene/index.ts';
import { Choice, Fold, TextField } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { selectLights } from '../../state/actions.ts';
import { useApp, useEditorState, useScheme, useScreen } from '../../state/context.tsx';
import { figure, percent, voltAmperes, watts } from '../../state/format.ts';
import { numberText } from '../../state/lights.ts';
import { EMPTY } from '../../state/words.ts';
import { LoadBar } from '../../strip/LoadPanel.tsx';
import { PowerSites } from './PowerSites.tsx';
import { RunSection } from './RunSection.tsx';
import { addRun, addTransformer, joinRun } from './wiringActions.ts';

/** Power sites, transformers, runs, and the lights on no run. */
export default function WiringList() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const scheme = useScheme();
  const power = useScreen((s) => s.judged?.power);
  if (!scheme) return <p>No scheme yet. Add a light first.</p>;
  const notWired =
    power?.notWired ??
    scheme.fixtures.filter((f) => !scheme.runs.some((r) => r.legs.some((l) => l.fixtureId === f.id))).map((f) => f.id);
  return (
    <>
      {document.powerSites.length === 0 && <p>{EMPTY.wiring}</p>}
      <PowerSites />
      <div className="list-head">
        <h3>Transformers</h3>
        <button type="button" onClick={() => addTransformer(app)}>
          Add transformer
        </button>
      </div>
      {scheme.transformers.map((t) => (
        <TransformerSection key={t.id} transformer={t} scheme={scheme} />
      ))}
      <div className="list-head">
        <h3>Runs</h3>
        <button type="button" disabled={scheme.transformers.length === 0} onClick={() => addRun(app)}>
          Add run
        </button>
      </div>
      {scheme.runs.map((run) => (
        <RunSection key={run.id} run={run} />
      ))}
      {notWired.length > 0 && (
        <section aria-label="Not wired">
          <h3>Not wired: no volts</h3>
          {notWired.map((id) => (
            <div key={id} className="wire-row">
              <button type="button" className="plain" onClick={() => selectLights(app, [id])}>
                Light {numberText(document, scheme.id, id)}
              </button>
              <Choice
                label="Join run"
                value=""
                options={[['', 'not wired'], ...scheme.runs.map((r): [string, string] => [r.id, r.name || r.id])]}
                onChoose={(runId) => runId !== '' && joinRun(app, id, runId)}
              />
            </div>
          ))}
        </section>
      )}
      <Fold title="Assumed in these figures">
        {(power?.assumptions ?? []).map((a) => (
          <p key={a} className="small second">
            {a}
          </p>
        ))}
      </Fold>
      {(['wiring', 'outlet', 'splice', 'trench'] as const).map((act) => (
        <p key={act} className="caution small">
          {cautionOf(act)}
        </p>
      ))}
    </>
  );
}

function TransformerSection({ transformer, scheme }: { transformer: TransformerRecord; scheme: SchemeRecord }) {
  const app = useApp();
  const powerSites = useEditorState((s) => s.document.powerSites);
  const power = useScreen((s) => s.judged?.power.transformers.find((t) => t.id === transformer.id));
  const high = useScreen((s) => s.judged?.powerAt175.transformers.find((t) => t.id === transformer.id));
  const put = (what: string, patch: Partial<TransformerRecord>) =>
    app.editor.edit(`${what} of transformer ${transformer.name}`, (d: PropertyDocument) =>
      withScheme(d, scheme.id, (s) => ({
        ...s,
        transformers: s.transformers.map((t) => (t.id === transformer.id ? { ...t, ...patch } : t)),
      })),
    );
  const used = scheme.runs.some((r: RunRecord) => r.transformerId === transformer.id);
  return (
    <Fold
      title={transformer.name || transformer.id}
      note={
        power ? `${voltAmperes(power.voltAmperes)} of ${transformer.capacityVa} VA, ${percent(power.loadFraction)}` : 'not solved'
      }
    >
      {power && (
        <p>
          <LoadBar fraction={power.loadFraction} /> {watts(power.watts)} marked,{' '}
          {power.amperes === null ? 'no steady state' : `${figure(power.amperes)} A`}; at ×1.75{' '}
          {percent(high?.loadFraction ?? null)}. Limit 80 % (common practice).
        </p>
      )}
      <div className="fields">
        <TextField label="Name" value={transformer.name} onTake={(name) => put('name', { name })} />
        <QuantityField
          label="Rating"
          value={transformer.capacityVa}
          unit="VA"
          min={25}
          max={1200}
          step={25}
          onTake={(capacityVa) => put('rating', { capacityVa })}
        />
        <Choice
          label="Power site"
          value={transformer.powerSiteId ?? ''}
          options={[['', 'not known'], ...powerSites.map((p): [string, string] => [p.id, p.name])]}
          onChoose={(id) => put('power site', { powerSiteId: id === '' ? undefined : id })}
        />
      </div>
      <button
        type="button"
        disabled={used}
        onClick={() =>
          app.editor.edit(`remove transformer ${transformer.name}`, (d) =>
            withScheme(d, scheme.id, (s) => ({ ...s, transformers: s.transformers.filter((t) => t.id !== transformer.id) })),
          )
        }
      >
        {used ? 'Remove: move its runs first' : 'Remove'}
      </button>
    </Fold>
  );
}
