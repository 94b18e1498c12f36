import type { PropertyDocument } from '../scene/index.ts';
import { type LadderSolution, loadCurrent, solveLadder } from './ladder.ts';
import { buildRunNetwork, type DrawOptions, type RunNetwork, schemeOf, type WiredLight } from './network.ts';
import type { FixturePower, PowerResult, RunResult, TransformerResult } from './types.ts';

export interface PowerOptions {
  /** Lamps draw this many times their marked watts; 1 unless said. */
  drawFactor?: number;
  /** Lights that are switched off draw nothing and dimmed ones their share; otherwise all lamps run full. */
  runningOnly?: boolean;
  /** Only these lights draw (a lamp with all others off). */
  only?: readonly string[];
}

interface SolvedRun {
  network: RunNetwork;
  solution: LadderSolution | undefined;
}

/**
 * Solves the low-voltage network of one scheme.
 *
 *     lamp:         I = P / (PF·V)   constant power        I = V / R, R = 12² / P   resistive
 *     leg:          R = 2 · length · (1 + slack) · ohm per metre of one conductor
 *     transformer:  VA = Σ V_tap · I_run
 *
 * Lamps hang on leads of 18 AWG of their own length. Each run is fed by an ideal source of its tap voltage. Apparent
 * currents are added as if in phase. Mains wiring is outside this model.
 *
 * @returns volts and amperes per light, run and transformer; null where a run has no operating point.
 * @throws {RangeError} no such scheme, or a draw factor that is not a positive number.
 * @source trade practice for the constant-power lamp; circuit laws. See tests/power for handbook chains.
 */
export function solvePower(document: PropertyDocument, schemeId: string, options: PowerOptions = {}): PowerResult {
  const draw = toDrawOptions(options);
  const scheme = schemeOf(document, schemeId);
  const solved = scheme.runs.map((run): SolvedRun => {
    const network = buildRunNetwork(document, scheme, run, draw);
    return { network, solution: solveLadder(run.tapV, network.nodes) };
  });
  const wired = new Map<string, FixturePower>();
  for (const run of solved) for (const light of run.network.lights) addFixture(wired, run, light);
  const fixtures = [...wired.values()];
  const notWired = scheme.fixtures.filter((one) => !wired.has(one.id));
  for (const { id, lampId } of notWired) fixtures.push(unwired(id, document, lampId, draw.drawFactor));
  return {
    drawFactor: draw.drawFactor,
    transformers: scheme.transformers.map((one) => transformerResult(one.id, one.name, one.capacityVa, solved)),
    runs: solved.map(runResult),
    fixtures,
    notWired: notWired.map((one) => one.id),
    assumptions: [...assumptionsOf(document, solved, draw), ...solved.flatMap((run) => run.network.remarks)],
  };
}

function toDrawOptions(options: PowerOptions): DrawOptions {
  const drawFactor = options.drawFactor ?? 1;
  if (!(drawFactor > 0 && Number.isFinite(drawFactor))) throw new RangeError(`draw factor ${drawFactor}; more than 0 is needed`);
  return {
    drawFactor,
    runningOnly: options.runningOnly ?? false,
    only: options.only && new Set(options.only),
  };
}

function addFixture(wired: Map<string, FixturePower>, { network, solution }: SolvedRun, light: WiredLight): void {
  if (wired.has(light.fixture.id)) {
    network.remarks.push(
      `Light ${light.fixture.id} hangs on two runs; its volts are those of run ${wired.get(light.fixture.id)!.runId}.`,
    );
    return;
  }
  const volts = solution ? solution.volts[light.node]! : null;
  const load = network.nodes[light.node]!.load;
  const amperes = volts === null ? null : loadCurrent(load, volts);
  wired.set(light.fixture.id, {
    id: light.fixture.id,
    runId: network.run.id,
    volts,
    amperes,
    watts: load?.kind === 'resistive' && volts !== null ? (volts * volts) / load.ohm : light.watts,
    startMarginV: volts === null ? null : volts - light.lamp.startV,
    lengthGuessed: light.lengthGuessed,
  });
}

function unwired(id: string, document: PropertyDocument, lampId: string, drawFactor: number): FixturePower {
  const markedW = document.catalogue.lamps.find((one) => one.id === lampId)?.powerW ?? 0;
  return {
    id,
    runId: null,
    volts: null,
    amperes: null,
    watts: markedW * drawFactor,
    startMarginV: null,
    lengthGuessed: false,
  };
}

function runResult({ network, solution }: SolvedRun): RunResult {
  const { run, nodes, lights } = network;
  const watts = lights.reduce((sum, one) => sum + one.watts, 0);
  const voltAmperes = lights.reduce((sum, one) => sum + one.voltAmperes, 0);
  const powerFactor = voltAmperes > 0 ? watts / voltAmperes : 1;
  const mostVa = network.farthestOhm > 0 ? run.tapV ** 2 / (4 * network.farthestOhm) : 0;
  return {
    id: run.id,
    name: run.name,
    transformerId: run.transformerId,
    amperes: feedAmperes({ network, solution }),
    lengthM: run.legs.reduce((sum, leg) => sum + leg.lengthM, 0),
    lossW: solution ? nodes.reduce((sum, node, i) => sum + solution.amperes[i]! ** 2 * node.ohm, 0) : null,
    markedWatts: watts,
    solved: solution !== undefined,
    mostWatts: mostVa * powerFactor,
    legs: run.legs.map((leg) => {
      const node = network.legNode.get(leg.id);
      if (node === undefined || !solution) return { id: leg.id, amperes: null, volts: null };
      return {
        id: leg.id,
        amperes: solution.amperes[node]!,
        volts: solution.volts[node]!,
      };
    }),
  };
}

function feedAmperes({ network, solution }: SolvedRun): number | null {
  if (!solution) return null;
  return network.nodes.reduce((sum, node, i) => (node.parent < 0 ? sum + solution.amperes[i]! : sum), 0);
}

function transformerResult(id: string, name: string, capacityVa: number, solved: SolvedRun[]): TransformerResult {
  const own = solved.filter((one) => one.network.run.transformerId === id);
  const watts = own.reduce((sum, one) => sum + one.network.lights.reduce((all, light) => all + light.watts, 0), 0);
  const base = { id, name, watts, capacityVa };
  if (own.some((one) => !one.solution)) return { ...base, voltAmperes: null, loadFraction: null, amperes: null };
  const amperes = own.reduce((sum, one) => sum + feedAmperes(one)!, 0);
  const voltAmperes = own.reduce((sum, one) => sum + one.network.run.tapV * feedAmperes(one)!, 0);
  return {
    ...base,
    voltAmperes,
    loadFraction: voltAmperes / capacityVa,
    amperes,
  };
}

function assumptionsOf(document: PropertyDocument, solved: SolvedRun[], draw: DrawOptions): string[] {
  const lines = [
    draw.drawFactor === 1 ? 'Lamps draw their marked watts.' : `Lamps draw ${draw.drawFactor} times their marked watts.`,
    'LED lamps hold their power: current = watts / (power factor × volts), apparent currents added as if in phase.',
    'Copper stranded at 30 °C (AWG: NEC chapter 9 table 8, from memory, corrected; mm²: IEC 60228 at 20 °C, corrected).',
    'Each transformer holds its tap voltage under load; leads of lights are 18 AWG of their recorded length.',
    'Low voltage only; mains work is for a licensed electrician.',
  ];
  const runs = solved.map((one) => one.network.run);
  const slacks = [...new Set(runs.map((run) => run.slackShare))].sort((a, b) => a - b);
  if (slacks.some((share) => share > 0))
    lines.push(`Cable slack counted: ${slacks.map((s) => `${Math.round(s * 100)} %`).join(', ')}.`);
  const lamps = solved.flatMap((one) => one.network.lights.map((light) => light.lamp));
  const factors = [...new Set(lamps.filter((lamp) => lamp.electrical === 'constantPower').map((lamp) => lamp.powerFactor))];
  if (factors.length > 0) lines.push(`Power factors as recorded: ${factors.sort((a, b) => a - b).join(', ')}.`);
  if (lamps.some((lamp) => lamp.electrical === 'resistive'))
    lines.push('Halogen lamps are plain resistances, marked watts at 12 V.');
  if (draw.runningOnly) lines.push('Lights that are off draw nothing; dimmed ones draw their share.');
  const guessed = runs.flatMap((run) => run.legs).filter((leg) => leg.lengthGuessed).length;
  if (guessed > 0) lines.push(`${guessed} cable ${guessed === 1 ? 'length is a guess' : 'lengths are guesses'}.`);
  if (document.site.region === 'unknown')
    lines.push('The region is not stated; local rules for taps and circuits are not known.');
  return lines;
}
