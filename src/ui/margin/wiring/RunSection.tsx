import type { Gauge, RunRecord } from '../../../scene/index.ts';
import { Choice, Fold, TextField } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { useApp, useScheme, useScreen } from '../../state/context.tsx';
import { figure, watts } from '../../state/format.ts';
import { LegTable } from './LegTable.tsx';
import { addJoint, changeRun, removeRun, splitRun } from './wiringActions.ts';

const GAUGES: [string, string][] = [
  ...[18, 16, 14, 12, 10, 8].map((n): [string, string] => [`awg-${n}`, `${n} AWG`]),
  ...['1', '1.5', '2.5', '4', '6'].map((n): [string, string] => [`mm2-${n}`, `${n} mm²`]),
];

const gaugeKey = (g: Gauge): string => (g.kind === 'awg' ? `awg-${g.awg}` : g.kind === 'mm2' ? `mm2-${g.areaMm2}` : 'stated');

function gaugeOf(key: string, now: Gauge): Gauge {
  const [kind, size] = key.split('-');
  if (kind === 'awg') return { kind: 'awg', awg: Number(size) as Extract<Gauge, { kind: 'awg' }>['awg'] };
  if (kind === 'mm2') return { kind: 'mm2', areaMm2: Number(size) as Extract<Gauge, { kind: 'mm2' }>['areaMm2'] };
  return now;
}

/** One run: tap, gauge, topology, protection, slack, and its legs with volts at the marked draw and at ×1.75. */
export function RunSection({ run }: { run: RunRecord }) {
  const app = useApp();
  const scheme = useScheme();
  const s = useScreen((x) => ({ power: x.judged?.power, high: x.judged?.powerAt175 }));
  const result = s.power?.runs.find((r) => r.id === run.id);
  const high = s.high?.runs.find((r) => r.id === run.id);
  const note = !result
    ? 'not solved'
    : result.solved && result.amperes !== null
      ? `${figure(result.amperes)} A, ${figure(result.lengthM)} m`
      : noSteady(result);
  const gauges =
    run.gauge.kind === 'ohmPerM' ? [...GAUGES, ['stated', `${run.gauge.ohmPerM} ohm/m`] as [string, string]] : GAUGES;
  return (
    <Fold title={run.name.length <= 2 ? `Run ${run.name}` : run.name} note={note}>
      {high && !high.solved && <p className="error">At ×1.75: {noSteady(high)}.</p>}
      <div className="fields">
        <TextField label="Name" value={run.name} onTake={(name) => changeRun(app, 'name', run, { name })} />
        <Choice
          label="Transformer"
          value={run.transformerId}
          options={(scheme?.transformers ?? []).map((t): [string, string] => [t.id, t.name || t.id])}
          onChoose={(transformerId) => changeRun(app, 'transformer', run, { transformerId })}
        />
        <QuantityField
          label="Tap"
          value={run.tapV}
          unit="V"
          min={11}
          max={15}
          step={0.5}
          onTake={(tapV) => changeRun(app, 'tap', run, { tapV })}
        />
        <Choice
          label="Gauge"
          value={gaugeKey(run.gauge)}
          options={gauges}
          onChoose={(key) => changeRun(app, 'gauge', run, { gauge: gaugeOf(key, run.gauge) })}
        />
        <Choice
          label="Topology"
          value={run.topology}
          options={[
            ['daisy', 'daisy chain'],
            ['tee', 'tee'],
            ['hub', 'hub'],
          ]}
          onChoose={(topology) => changeRun(app, 'topology', run, { topology })}
        />
        <QuantityField
          label="Slack"
          value={run.slackShare * 100}
          unit="%"
          min={0}
          max={30}
          step={5}
          onTake={(v) => changeRun(app, 'slack', run, { slackShare: v / 100 })}
        />
        <QuantityField
          label="Breaker or fuse"
          value={run.protectionA ?? 0}
          unit="A"
          min={0}
          max={100}
          step={1}
          hint={run.protectionA === undefined ? 'none recorded' : ''}
          onTake={(v) => changeRun(app, 'protection', run, { protectionA: v > 0 ? v : undefined })}
        />
      </div>
      <LegTable run={run} />
      <div className="buttons">
        <button type="button" disabled={run.legs.length < 2} onClick={() => splitRun(app, run)}>
          Split this run
        </button>
        <button type="button" onClick={() => addJoint(app, run)}>
          Add joint
        </button>
        <button type="button" onClick={() => removeRun(app, run)}>
          Remove run
        </button>
      </div>
    </Fold>
  );
}

function noSteady(result: { markedWatts: number; mostWatts: number; solved: boolean }): string {
  return `no steady state: ${watts(result.markedWatts)} asked, at most ${watts(result.mostWatts)} can pass`;
}
