import { Range } from '../parts/controls.tsx';
import { QuantityField } from '../parts/QuantityField.tsx';
import { selectLights } from '../state/actions.ts';
import { useApp, useEditorState, useScheme, useScreen } from '../state/context.tsx';
import { figure, percent, voltAmperes, volts, watts } from '../state/format.ts';
import { lampOf, numberText } from '../state/lights.ts';
import { energyPerYearKwh, loadOf, SUPPLY_EFFICIENCY } from './load.ts';

/** Per transformer and run, volts a lamp in run order at the marked draw and at ×1.75, energy and cost a year. */
export function LoadPanel() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const scheme = useScheme();
  const s = useScreen((x) => ({ judged: x.judged, hours: x.hoursPerNight, price: x.pricePerKwh }));
  const load = loadOf(document, scheme, s.judged?.power);
  const kwh = energyPerYearKwh(load.watts, s.hours, SUPPLY_EFFICIENCY);
  const high = s.judged?.powerAt175;
  if (!s.judged) return <p>Not solved yet.</p>;
  return (
    <>
      <div className="table-frame">
        <table aria-label="Transformers">
          <thead>
            <tr>
              <th>Transformer</th>
              <th className="number">Marked</th>
              <th className="number">VA</th>
              <th className="number">A</th>
              <th className="number">Load (limit 80 %)</th>
              <th className="number">Load at ×1.75</th>
            </tr>
          </thead>
          <tbody>
            {s.judged.power.transformers.map((t) => {
              const t175 = high?.transformers.find((x) => x.id === t.id);
              return (
                <tr key={t.id}>
                  <td>
                    {t.name || t.id}, {t.capacityVa} VA
                    <LoadBar fraction={t.loadFraction} />
                  </td>
                  <td className="number">{watts(t.watts)}</td>
                  <td className="number">{voltAmperes(t.voltAmperes)}</td>
                  <td className="number">{t.amperes === null ? 'none' : `${figure(t.amperes)} A`}</td>
                  <td className="number">{percent(t.loadFraction)}</td>
                  <td className="number">{t175 ? percent(t175.loadFraction) : ''}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <div className="fields">
        <Range
          label="Hours a night"
          value={s.hours}
          min={0}
          max={14}
          step={0.25}
          text={`${s.hours} h`}
          onChange={(hoursPerNight) => app.set({ hoursPerNight })}
        />
        <QuantityField
          label="Price per kWh, own currency"
          value={s.price ?? 0}
          unit=""
          min={0}
          max={100}
          step={0.01}
          hint={s.price === undefined ? 'blank: energy only' : ''}
          onTake={(price) => app.set({ pricePerKwh: price > 0 ? price : undefined })}
        />
      </div>
      <p aria-live="polite">
        {watts(load.watts)} for {s.hours} h a night at {percent(SUPPLY_EFFICIENCY)} efficiency: {kwh.toFixed(0)} kWh a year
        {s.price !== undefined && `, ${(kwh * s.price).toFixed(2)} a year at ${s.price} per kWh`}.
      </p>
      <div className="table-frame">
        <table aria-label="Volts by lamp in run order">
          <thead>
            <tr>
              <th>Run, light</th>
              <th className="number">Volts at mark</th>
              <th className="number">Volts at ×1.75</th>
              <th className="number">Lamp accepts</th>
              <th className="number">Above its start</th>
            </tr>
          </thead>
          <tbody>
            {s.judged.power.fixtures.map((f) => {
              const fixture = scheme?.fixtures.find((x) => x.id === f.id);
              const lamp = fixture && lampOf(document, fixture);
              const at175 = high?.fixtures.find((x) => x.id === f.id);
              const run = s.judged?.power.runs.find((r) => r.id === f.runId);
              return (
                <tr key={f.id} onPointerEnter={() => selectLights(app, [f.id])}>
                  <td>
                    {run?.name ?? 'not wired'}, light {numberText(document, scheme?.id ?? '', f.id)}
                    {f.lengthGuessed && <span className="second"> length guessed</span>}
                  </td>
                  <td className="number">{f.runId === null ? 'not wired' : volts(f.volts)}</td>
                  <td className="number">{f.runId === null ? '' : at175 ? volts(at175.volts) : ''}</td>
                  <td className="number">{lamp ? `${lamp.lowestV} to ${lamp.highestV} V` : ''}</td>
                  <td className="number">{f.startMarginV === null ? '' : `${figure(f.startMarginV)} V`}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </>
  );
}

/** Bar with the 80 % mark; the figure stands beside it in words. */
export function LoadBar({ fraction }: { fraction: number | null }) {
  const width = Math.min(1, fraction ?? 1) * 120;
  return (
    <svg className="load-bar" viewBox="0 0 122 10" width="122" height="10" aria-hidden="true">
      <rect x="0.5" y="0.5" width="121" height="9" className="frame" />
      <rect x="1" y="2" width={width} height="6" className={(fraction ?? 2) > 0.8 ? 'over' : 'under'} />
      <line x1={97} x2={97} y1="0" y2="10" className="mark" />
    </svg>
  );
}
