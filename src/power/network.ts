import type { FixtureRecord, LampRecord, LegRecord, PropertyDocument, RunRecord, SchemeRecord } from '../scene/index.ts';
import { conductorOhmPerM, LEAD_OHM_PER_M } from './conductors.ts';
import type { LadderNode, Load } from './ladder.ts';

/** Volts at which a resistive lamp's marked watts hold. */
export const RESISTIVE_RATED_V = 12;

export interface DrawOptions {
  /** Lamps draw this many times their marked watts. */
  drawFactor: number;
  /** Lights that are off draw nothing, dimmed ones their share. */
  runningOnly: boolean;
  /** Only these lights draw. */
  only?: ReadonlySet<string>;
}

/** Where one light of a run sits in the ladder. */
export interface WiredLight {
  fixture: FixtureRecord;
  lamp: LampRecord;
  node: number;
  watts: number;
  voltAmperes: number;
  lengthGuessed: boolean;
}

/** One run as a ladder. */
export interface RunNetwork {
  run: RunRecord;
  nodes: LadderNode[];
  /** Ladder node of each leg that is connected, by leg id. */
  legNode: Map<string, number>;
  lights: WiredLight[];
  /** Loop resistance from the transformer to the farthest end, leads left out. */
  farthestOhm: number;
  remarks: string[];
}

/** Looks up a scheme; a wrong id is the caller's mistake. */
export function schemeOf(document: PropertyDocument, schemeId: string): SchemeRecord {
  const scheme = document.schemes.find((one) => one.id === schemeId);
  if (scheme) return scheme;
  const known = document.schemes.map((one) => one.id).join(', ') || 'none';
  throw new RangeError(`no scheme "${schemeId}"; this property has: ${known}`);
}

/** Volt-amperes and watts of one lamp at this draw. */
export function lampDraw(fixture: FixtureRecord, lamp: LampRecord, options: DrawOptions): { watts: number; voltAmperes: number } {
  const off = (options.only && !options.only.has(fixture.id)) || (options.runningOnly && !fixture.on);
  const share = off ? 0 : options.runningOnly ? fixture.dim : 1;
  const watts = lamp.powerW * options.drawFactor * share;
  return {
    watts,
    voltAmperes: lamp.electrical === 'resistive' ? watts : watts / lamp.powerFactor,
  };
}

function loadOf(lamp: LampRecord, voltAmperes: number): Load | undefined {
  if (voltAmperes <= 0) return undefined;
  if (lamp.electrical === 'constantPower') return { kind: 'constantPower', voltAmperes };
  return { kind: 'resistive', ohm: RESISTIVE_RATED_V ** 2 / voltAmperes };
}

/** Builds the ladder of one run: legs as branches, leads of lights as branches of their own. */
export function buildRunNetwork(
  document: PropertyDocument,
  scheme: SchemeRecord,
  run: RunRecord,
  options: DrawOptions,
): RunNetwork {
  const network: RunNetwork = {
    run,
    nodes: [],
    legNode: new Map(),
    lights: [],
    farthestOhm: 0,
    remarks: [],
  };
  const loopOhmPerM = 2 * conductorOhmPerM(run.gauge) * (1 + run.slackShare);
  const fromSource: { ohm: number; guessed: boolean }[] = [];
  for (const leg of legsInOrder(run, network.remarks)) {
    const parent = leg.fromId === undefined ? -1 : network.legNode.get(leg.fromId)!;
    const ohm = leg.lengthM * loopOhmPerM;
    const node = network.nodes.push({ parent, ohm }) - 1;
    network.legNode.set(leg.id, node);
    const before = parent < 0 ? { ohm: 0, guessed: false } : fromSource[parent]!;
    fromSource[node] = {
      ohm: before.ohm + ohm,
      guessed: before.guessed || leg.lengthGuessed,
    };
    network.farthestOhm = Math.max(network.farthestOhm, fromSource[node].ohm);
    if (leg.fixtureId !== undefined) {
      addLight(document, scheme, leg, node, fromSource[node].guessed, network, options);
      while (fromSource.length < network.nodes.length) fromSource.push(fromSource[node]);
    }
  }
  return network;
}

function addLight(
  document: PropertyDocument,
  scheme: SchemeRecord,
  leg: LegRecord,
  node: number,
  lengthGuessed: boolean,
  network: RunNetwork,
  options: DrawOptions,
): void {
  const fixture = [...scheme.fixtures, ...document.existing].find((one) => one.id === leg.fixtureId);
  const lamp = document.catalogue.lamps.find((one) => one.id === fixture?.lampId);
  if (!fixture || !lamp) {
    const missing = fixture ? `lamp ${fixture.lampId}` : `light ${leg.fixtureId}`;
    network.remarks.push(`Run ${network.run.id}, leg ${leg.id}: ${missing} is not there, so the leg ends in a bare joint.`);
    return;
  }
  if (network.lights.some((one) => one.fixture.id === fixture.id)) {
    network.remarks.push(`Run ${network.run.id}: light ${fixture.id} hangs on two legs; counted on the first.`);
    return;
  }
  const { watts, voltAmperes } = lampDraw(fixture, lamp, options);
  const load = loadOf(lamp, voltAmperes);
  const leadOhm = 2 * fixture.leadLengthM * LEAD_OHM_PER_M;
  let lightNode = node;
  if (leadOhm > 0) lightNode = network.nodes.push({ parent: node, ohm: leadOhm, load }) - 1;
  else network.nodes[node]!.load = load;
  network.lights.push({
    fixture,
    lamp,
    node: lightNode,
    watts,
    voltAmperes,
    lengthGuessed,
  });
}

/** Legs with parents first; legs that hang on nothing are left out and named. */
function legsInOrder(run: RunRecord, remarks: string[]): LegRecord[] {
  const ordered: LegRecord[] = [];
  const placed = new Set<string>();
  let waiting = run.legs;
  while (waiting.length > 0) {
    const ready = waiting.filter((leg) => leg.fromId === undefined || placed.has(leg.fromId));
    if (ready.length === 0) break;
    for (const leg of ready) {
      ordered.push(leg);
      placed.add(leg.id);
    }
    waiting = waiting.filter((leg) => !placed.has(leg.id));
  }
  for (const leg of waiting) {
    remarks.push(
      `Run ${run.id}: leg ${leg.id} starts at ${leg.fromId}, which does not lead to the transformer; it carries nothing.`,
    );
  }
  return ordered;
}
