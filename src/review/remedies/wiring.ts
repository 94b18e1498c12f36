import { gaugeLabel, heavierGauges } from '../../power/index.ts';
import type { LegRecord, RunRecord, TransformerRecord } from '../../scene/index.ts';
import type { ReviewContext } from '../context.ts';
import type { Candidate } from './edits.ts';

const TAPS_V = [11, 12, 13, 14, 15] as const;
const RATINGS_VA = [75, 100, 150, 200, 300, 600, 900, 1200] as const;
const BREAKERS_A = [3, 5, 7.5, 10, 15, 20, 25] as const;

const runWords = (run: RunRecord): string => `run ${run.name || run.id}`;
const putRuns = (...runs: RunRecord[]): Candidate['change'] => ({ runs: { put: runs } });

/** The run on each heavier cable, next size first. */
export function heavierCable(run: RunRecord): Candidate[] {
  return heavierGauges(run.gauge).map((gauge) => ({
    text: `Use ${gaugeLabel(gauge)} for ${runWords(run)}`,
    change: putRuns({ ...run, gauge }),
  }));
}

/** The run on other taps, next one first; never above 15 V. */
export function otherTaps(run: RunRecord, higher: boolean): Candidate[] {
  const taps = TAPS_V.filter((tap) => (higher ? tap > run.tapV : tap < run.tapV));
  return (higher ? taps : [...taps].reverse()).map((tapV) => ({
    text: `Set ${runWords(run)} on the ${tapV} V tap`,
    change: putRuns({ ...run, tapV }),
  }));
}

/** The run cut in two: the leg whose lights draw nearest to half of it gets a cable of its own from the transformer. */
export function splitRun(context: ReviewContext, run: RunRecord): Candidate[] {
  const draw = (leg: LegRecord) => context.lightById.get(leg.fixtureId ?? '')?.lamp.powerW ?? 0;
  const beyond = (leg: LegRecord): LegRecord[] => {
    const out = [leg];
    for (let i = 0; i < out.length; i++)
      out.push(...run.legs.filter((next) => next.fromId === out[i]!.id && !out.includes(next)));
    return out;
  };
  const total = run.legs.reduce((sum, leg) => sum + draw(leg), 0);
  const shareOf = (leg: LegRecord) => beyond(leg).reduce((sum, one) => sum + draw(one), 0) / Math.max(total, 1e-9);
  const cut = run.legs
    .filter((leg) => leg.fromId !== undefined && shareOf(leg) > 0 && shareOf(leg) < 1)
    .sort((a, b) => Math.abs(shareOf(a) - 0.5) - Math.abs(shareOf(b) - 0.5))[0];
  if (!cut) return [];
  const moved = beyond(cut);
  const { fromId: _fromId, ...rest } = cut;
  const feed: LegRecord = { ...rest, lengthM: lengthFromSource(run, cut), lengthGuessed: true };
  const id = freeRunId(context, run);
  const second: RunRecord = { ...run, id, name: `${run.name || run.id} b`, legs: [feed, ...moved.slice(1)] };
  const first: RunRecord = { ...run, legs: run.legs.filter((leg) => !moved.includes(leg)) };
  return [
    {
      text: `Split ${runWords(run)} at leg ${cut.id}, with a cable of its own from the transformer`,
      change: putRuns(first, second),
    },
  ];
}

function lengthFromSource(run: RunRecord, leg: LegRecord): number {
  let sum = 0;
  const seen = new Set<string>();
  for (let at: LegRecord | undefined = leg; at && !seen.has(at.id); ) {
    seen.add(at.id);
    sum += at.lengthM;
    const { fromId }: LegRecord = at;
    at = run.legs.find((one) => one.id === fromId);
  }
  return sum;
}

function freeRunId(context: ReviewContext, run: RunRecord): string {
  const used = new Set(context.scheme.runs.map((one) => one.id));
  for (let n = 2; ; n++) if (!used.has(`${run.id}-${n}`)) return `${run.id}-${n}`;
}

/** A larger transformer, or one of its runs moved to another that has room. */
export function lighterTransformer(context: ReviewContext, transformer: TransformerRecord): Candidate[] {
  const runs = context.scheme.runs.filter((run) => run.transformerId === transformer.id);
  const others = context.scheme.transformers.filter((one) => one.id !== transformer.id);
  const moves =
    runs.length < 2
      ? []
      : runs.flatMap((run) =>
          others.map((other) => ({
            text: `Move ${runWords(run)} to ${other.name}`,
            change: putRuns({ ...run, transformerId: other.id }),
          })),
        );
  const larger = RATINGS_VA.filter((va) => va > transformer.capacityVa).map((capacityVa) => ({
    text: `Take a ${capacityVa} VA transformer for ${transformer.name}`,
    change: { transformers: { put: [{ ...transformer, capacityVa }] } },
  }));
  return [...moves, ...larger];
}

/** The smallest breaker a quarter above the run's amperes. */
export function fitBreaker(context: ReviewContext, run: RunRecord): Candidate[] {
  const amperes = context.power.runs.find((one) => one.id === run.id)?.amperes ?? null;
  const protectionA = BREAKERS_A.find((rating) => amperes !== null && rating >= 1.25 * amperes);
  return protectionA === undefined
    ? []
    : [{ text: `Fit a ${protectionA} A breaker or fuse to ${runWords(run)}`, change: putRuns({ ...run, protectionA }) }];
}
