import type { LegRecord, RunRecord } from '../../../scene/index.ts';
import { Choice, Toggle } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { selectLights } from '../../state/actions.ts';
import { useApp, useEditorState, useScheme, useScreen } from '../../state/context.tsx';
import { figure, volts } from '../../state/format.ts';
import { numberText } from '../../state/lights.ts';
import { changeLeg, isBeyond, leaveRun, removeLeg } from './wiringActions.ts';

/** Every leg of a run with every field of its record, and the volts at its light. */
export function LegTable({ run }: { run: RunRecord }) {
  const s = useScreen((x) => ({ power: x.judged?.power, high: x.judged?.powerAt175 }));
  return (
    <div className="table-frame">
      <table className="legs" aria-label={`Legs of run ${run.name}`}>
        <thead>
          <tr>
            <th>Ends at</th>
            <th>Starts at</th>
            <th>Metres, one way</th>
            <th>Sleeve</th>
            <th className="number">Volts at mark</th>
            <th className="number">at ×1.75</th>
            <th className="number">Above start</th>
            <th>
              <span className="spoken">Act</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {run.legs.map((leg) => (
            <Leg
              key={leg.id}
              run={run}
              leg={leg}
              at={s.power?.fixtures.find((f) => f.id === leg.fixtureId)}
              high={s.high?.fixtures.find((f) => f.id === leg.fixtureId)}
            />
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface Solved {
  volts: number | null;
  startMarginV: number | null;
}

function Leg({ run, leg, at, high }: { run: RunRecord; leg: LegRecord; at: Solved | undefined; high: Solved | undefined }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const scheme = useScheme();
  const schemeId = scheme?.id ?? '';
  const { fixtureId } = leg;
  const endWords = (l: LegRecord) =>
    l.fixtureId === undefined ? `joint ${l.id}` : `light ${numberText(document, schemeId, l.fixtureId)}`;
  const taken = new Set((scheme?.runs ?? []).flatMap((r) => r.legs.map((l) => l.fixtureId)));
  const lights = (scheme?.fixtures ?? []).filter((f) => f.id === fixtureId || !taken.has(f.id));
  const starts = run.legs.filter((l) => !isBeyond(run, leg, l));
  const ducts = document.buildings.flatMap((b) => b.parts.filter((p) => p.kind === 'duct'));
  const put = (what: string, patch: Partial<LegRecord>) => changeLeg(app, run, leg, what, patch);
  return (
    <tr>
      <td>
        <Choice
          label={fixtureId === undefined ? 'a joint' : 'a light'}
          value={fixtureId ?? ''}
          options={[
            ['', `joint ${leg.id}`],
            ...lights.map((f): [string, string] => [f.id, `light ${numberText(document, schemeId, f.id)}`]),
          ]}
          onChoose={(id) => put('end', { fixtureId: id === '' ? undefined : id })}
        />
      </td>
      <td>
        <Choice
          label="from"
          value={leg.fromId ?? ''}
          options={[['', 'transformer'], ...starts.map((l): [string, string] => [l.id, endWords(l)])]}
          onChoose={(id) => put('start', { fromId: id === '' ? undefined : id })}
        />
      </td>
      <td className="leg-length">
        <QuantityField
          label={leg.lengthGuessed ? 'guessed' : 'measured'}
          value={leg.lengthM}
          unit="m"
          min={0.1}
          max={2000}
          step={0.1}
          onTake={(lengthM) => put('length', { lengthM, lengthGuessed: false })}
        />
        <Toggle label="Guessed" on={leg.lengthGuessed} onChange={(lengthGuessed) => put('length', { lengthGuessed })} />
      </td>
      <td>
        <Choice
          label="through"
          value={leg.ductId ?? ''}
          options={[['', 'none'], ...ducts.map((d): [string, string] => [d.id, d.name || d.id])]}
          onChoose={(id) => put('sleeve', { ductId: id === '' ? undefined : id })}
        />
      </td>
      <td className="number">{at ? volts(at.volts) : ''}</td>
      <td className="number">{high ? volts(high.volts) : ''}</td>
      <td className="number">{at === undefined || at.startMarginV === null ? '' : `${figure(at.startMarginV)} V`}</td>
      <td>
        <div className="buttons tight">
          {fixtureId !== undefined && (
            <button type="button" onClick={() => selectLights(app, [fixtureId])} aria-label={`Select ${endWords(leg)}`}>
              Select
            </button>
          )}
          {fixtureId === undefined ? (
            <button type="button" disabled={run.legs.some((l) => l.fromId === leg.id)} onClick={() => removeLeg(app, run, leg)}>
              Remove
            </button>
          ) : (
            <button type="button" onClick={() => leaveRun(app, run, fixtureId)}>
              Take off
            </button>
          )}
        </div>
      </td>
    </tr>
  );
}
