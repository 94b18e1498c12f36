import { ampacityA, gaugeLabel, solvePower } from '../../power/index.ts';
import type { RunRecord, Vec3 } from '../../scene/index.ts';
import type { ReviewContext } from '../context.ts';
import { limitsOf, OPEN_CIRCUIT_V } from '../limits.ts';
import { figure, type Measurement } from '../measure.ts';

/** Place of a run: its first light, else its transformer. */
function runPlace(context: ReviewContext, run: RunRecord): Vec3 {
  const first = run.legs.map((leg) => context.lightById.get(leg.fixtureId ?? '')).find((one) => one);
  return first?.fixture.at ?? transformerPlace(context, run.transformerId);
}

function transformerPlace(context: ReviewContext, id: string): Vec3 {
  return context.scheme.transformers.find((one) => one.id === id)?.at ?? [0, 0, 0];
}

const runName = (run: RunRecord): string => (/^run\b/i.test(run.name) ? run.name : `run ${run.name || run.id}`);
const percent = (share: number): string => `${Math.round(share * 100)} %`;

/** VA ÷ rating of each transformer. */
export function measureTransformerLoad(context: ReviewContext): Measurement[] {
  return context.power.transformers.flatMap((one): Measurement[] => {
    if (one.loadFraction === null || one.voltAmperes === null) return [];
    const stressed = context.powerAt175.transformers.find((other) => other.id === one.id)?.loadFraction ?? null;
    const at175 = stressed === null ? 'no steady state at draw × 1.75' : `${percent(stressed)} at draw × 1.75`;
    return [
      {
        kind: 'transformerLoad',
        subject: one.id,
        at: transformerPlace(context, one.id),
        value: one.loadFraction,
        sentence: `${one.name}, ${figure(one.voltAmperes)} VA of ${figure(one.capacityVa)} VA, ${percent(one.loadFraction)} (${at175})`,
        limitWords: (limit) => `limit ${percent(limit)}`,
        assumptions: context.power.assumptions,
      },
    ];
  });
}

/** Largest current of any leg of a run ÷ the ampacity of its cable. */
export function measureCableCurrent(context: ReviewContext): Measurement[] {
  return context.scheme.runs.flatMap((run): Measurement[] => {
    const ampacity = ampacityA(run.gauge);
    const legs = context.power.runs.find((one) => one.id === run.id)?.legs ?? [];
    const worst = legs.reduce<{ id: string; amperes: number }>(
      (most, leg) => ((leg.amperes ?? 0) > most.amperes ? { id: leg.id, amperes: leg.amperes ?? 0 } : most),
      { id: '', amperes: 0 },
    );
    if (ampacity === undefined || worst.id === '') return [];
    const stressed = context.powerAt175.runs.find((one) => one.id === run.id)?.legs.find((leg) => leg.id === worst.id)?.amperes;
    return [
      {
        kind: 'cableCurrent',
        subject: `${run.id}/${worst.id}`,
        at: runPlace(context, run),
        value: worst.amperes / ampacity,
        sentence: `${runName(run)}, ${figure(worst.amperes)} A in ${gaugeLabel(run.gauge)}, ${percent(worst.amperes / ampacity)} of ${ampacity} A (${stressedAmperes(stressed)})`,
        limitWords: (limit) => `limit ${percent(limit)}`,
      },
    ];
  });
}

const stressedAmperes = (amperes: number | null | undefined): string =>
  amperes === null || amperes === undefined ? 'no steady state at draw × 1.75' : `${figure(amperes)} A at draw × 1.75`;

/** Amperes of each secondary circuit; each run counts as one. */
export function measureCircuitCurrent(context: ReviewContext): Measurement[] {
  return context.scheme.runs.flatMap((run): Measurement[] => {
    const amperes = context.power.runs.find((one) => one.id === run.id)?.amperes ?? null;
    if (amperes === null) return [];
    const stressed = context.powerAt175.runs.find((one) => one.id === run.id)?.amperes;
    return [
      {
        kind: 'circuitCurrent',
        subject: run.id,
        at: transformerPlace(context, run.transformerId),
        value: amperes,
        sentence: `${runName(run)}, ${figure(amperes)} A (${stressedAmperes(stressed)})`,
      },
    ];
  });
}

/** Runs with no breaker or fuse recorded. */
export function measureNoProtection(context: ReviewContext): Measurement[] {
  return context.scheme.runs
    .filter((run) => run.protectionA === undefined && run.legs.length > 0)
    .map((run) => ({
      kind: 'noProtection',
      subject: run.id,
      at: transformerPlace(context, run.transformerId),
      value: 1,
      sentence: `${runName(run)}, no breaker or fuse recorded`,
      limitWords: () => 'one is wanted on each run',
    }));
}

/** Volts at each lamp over its lowest. */
export function measureLowVolts(context: ReviewContext): Measurement[] {
  return context.power.fixtures.flatMap((one): Measurement[] => {
    const light = context.lightById.get(one.id);
    if (!light || one.volts === null) return [];
    const run = context.scheme.runs.find((other) => other.id === one.runId);
    return [
      {
        kind: 'lowVolts',
        subject: one.id,
        at: light.fixture.at,
        value: one.volts - light.lamp.lowestV,
        sentence: `${light.label}${run ? `, ${runName(run)}` : ''}, ${one.volts.toFixed(1)} V; its lamp wants ${light.lamp.lowestV} to ${light.lamp.highestV} V`,
        limitWords: (limit) => (limit === 0 ? `limit ${light.lamp.lowestV} V` : `within ${figure(limit)} V of its lowest`),
        assumptions: one.lengthGuessed ? ['A cable length is a guess.'] : [],
      },
    ];
  });
}

/** Volts at each lamp over its highest, with all others on and all others off; taps above 15 V. */
export function measureHighVolts(context: ReviewContext): Measurement[] {
  const limits = limitsOf('highVolts', context.document);
  const lamps = context.power.fixtures.flatMap((one): Measurement[] => {
    const light = context.lightById.get(one.id);
    const run = context.scheme.runs.find((other) => other.id === one.runId);
    if (!light || !run) return [];
    // A lamp never sees more than its tap, so the solve with all others off is needed only near the limit.
    if (run.tapV - light.lamp.highestV < (limits.note ?? 0)) return [];
    const alone = solvePower(context.document, context.schemeId, { only: [one.id] });
    const volts = alone.fixtures.find((other) => other.id === one.id)?.volts ?? one.volts;
    if (volts === null) return [];
    return [
      {
        kind: 'highVolts',
        subject: one.id,
        at: light.fixture.at,
        value: volts - light.lamp.highestV,
        sentence: `${light.label}, ${runName(run)}, ${volts.toFixed(1)} V with all other lamps off; its lamp takes at most ${light.lamp.highestV} V`,
        limitWords: (limit) => (limit === 0 ? `limit ${light.lamp.highestV} V` : `within ${figure(-limit)} V of its highest`),
      },
    ];
  });
  return [...lamps, ...highTaps(context)];
}

function highTaps(context: ReviewContext): Measurement[] {
  return context.scheme.runs
    .filter((run) => run.tapV > OPEN_CIRCUIT_V)
    .map((run) => ({
      kind: 'highVolts',
      subject: run.id,
      at: transformerPlace(context, run.transformerId),
      value: run.tapV,
      limits: { ...limitsOf('highVolts', context.document), note: undefined, warn: undefined, stop: OPEN_CIRCUIT_V, unit: 'V' },
      sentence: `${runName(run)}, tap of ${run.tapV} V open circuit`,
    }));
}

/**
 * Runs with no operating point (stop at the marked draw, note at draw × 1.75), and lamps whose solved volts lie less
 * than 1 V above, or below, what they need to start.
 */
export function measureMayNotStart(context: ReviewContext): Measurement[] {
  const unsolved = context.scheme.runs.flatMap((run) => unsolvedRun(context, run));
  const margins = context.power.fixtures.flatMap((one): Measurement[] => {
    const light = context.lightById.get(one.id);
    if (!light || one.startMarginV === null || one.volts === null) return [];
    const stressed = context.powerAt175.fixtures.find((other) => other.id === one.id)?.startMarginV ?? null;
    const at175 = stressed === null ? 'no steady state at draw × 1.75' : `${margin(stressed)} at draw × 1.75`;
    return [
      {
        kind: 'mayNotStart',
        subject: one.id,
        at: light.fixture.at,
        value: one.startMarginV,
        sentence: `${light.label}, ${one.volts.toFixed(1)} V with all lamps running, ${margin(one.startMarginV)} the ${light.lamp.startV} V it needs to start (${at175})`,
        limitWords: (limit) => `limit ${figure(limit)} V`,
        assumptions: one.lengthGuessed ? ['A cable length is a guess.'] : [],
      },
    ];
  });
  return [...unsolved, ...margins];
}

/** "0.9 V above" or "0.3 V below". */
const margin = (volts: number): string => `${Math.abs(volts).toFixed(1)} V ${volts < 0 ? 'below' : 'above'}`;

function unsolvedRun(context: ReviewContext, run: RunRecord): Measurement[] {
  const marked = context.power.runs.find((one) => one.id === run.id);
  const stressed = context.powerAt175.runs.find((one) => one.id === run.id);
  if (!marked || !stressed || (marked.solved && stressed.solved)) return [];
  const shown = marked.solved ? stressed : marked;
  const asks = marked.solved
    ? `asks ${figure(shown.markedWatts)} W if lamps draw 1.75 times their mark`
    : `asks ${figure(shown.markedWatts)} W at the marked draw`;
  const base = limitsOf('mayNotStart', context.document);
  return [
    {
      kind: 'mayNotStart',
      subject: run.id,
      at: runPlace(context, run),
      value: shown.markedWatts,
      limits: {
        ...base,
        worse: 'above',
        unit: 'W',
        note: marked.solved ? 0 : undefined,
        warn: undefined,
        stop: marked.solved ? undefined : 0,
      },
      sentence: `${runName(run)} ${asks} and has no steady state; ${figure(shown.lengthM)} m of ${gaugeLabel(run.gauge)} at ${run.tapV} V can feed at most ${figure(shown.mostWatts)} W at its far end`,
      limitWords: () => 'a steady state is wanted',
      assumptions: context.power.assumptions,
    },
  ];
}
