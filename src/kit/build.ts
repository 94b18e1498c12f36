import { gaugeLabel, schemeOf } from '../power/index.ts';
import type { FixtureRecord, LampRecord, PartOf, PropertyDocument, SchemeRecord } from '../scene/index.ts';
import { actsOf, cautionOf, heightAboveGroundM, lampOf } from './cautions.ts';
import { MOUNT_WORDS, mountParts } from './mounts.ts';
import type { Kit, KitPart, PartGroup } from './types.ts';

/** Spare splices, share of their number; spare lamps of each kind. Common practice, no source. */
const SPLICE_SPARE_SHARE = 0.1;
const SPARE_LAMPS_OF_EACH = 2;
const CLIP_SPACING_M = 1;

/** Sums equal lines as they are added. */
class PartList {
  private readonly lines = new Map<string, KitPart>();

  add(group: PartGroup, description: string, quantity: number, usedBy: readonly string[], unit = 'each'): void {
    const key = `${group}|${description}|${unit}`;
    const line = this.lines.get(key) ?? { description, quantity: 0, unit, usedBy: [], group };
    line.quantity += quantity;
    for (const id of usedBy) if (!line.usedBy.includes(id)) line.usedBy.push(id);
    this.lines.set(key, line);
  }

  toParts(): KitPart[] {
    return [...this.lines.values()];
  }
}

/**
 * Parts list of one scheme: lights by mount, lamp, beam and colour; parts of each mount; lenses and shields; splices,
 * cable by gauge with slack, sleeves, clips, transformers, protection, control, spare lamps. Fixtures that belong to the
 * property (`existing`) are not listed. No maker is named.
 *
 * @throws {RangeError} no such scheme.
 * @source quantities: common practice, no source.
 */
export function buildKit(document: PropertyDocument, schemeId: string): Kit {
  const scheme = schemeOf(document, schemeId);
  const list = new PartList();
  for (const fixture of scheme.fixtures) addLight(list, document, fixture);
  addSplices(list, scheme);
  addCable(list, document, scheme);
  addSupply(list, scheme);
  addSpares(list, document, scheme);
  return {
    parts: list.toParts(),
    cautions: actsOf(document, scheme).map(cautionOf),
    assumptions: kitAssumptions(document, scheme),
  };
}

function addLight(list: PartList, document: PropertyDocument, fixture: FixtureRecord): void {
  const lamp = lampOf(document, fixture);
  const words = lamp ? lampWords(lamp) : `lamp ${fixture.lampId} (not in the catalogue)`;
  const rating = fixture.ingressRating ? `, ${fixture.ingressRating}` : '';
  list.add('light', `Light, ${MOUNT_WORDS[fixture.mount]}, ${words}${rating}`, 1, [fixture.id]);
  for (const part of mountParts(fixture.mount, heightAboveGroundM(document, fixture.at))) {
    list.add('mount', part.description, part.quantity, [fixture.id]);
  }
  if (fixture.lens.kind !== 'clear') list.add('accessory', LENS_WORDS[fixture.lens.kind], 1, [fixture.id]);
  if (fixture.shield.kind !== 'none') {
    list.add('accessory', `${SHIELD_WORDS[fixture.shield.kind]}, cut-off ${fixture.shield.cutOffDeg}°`, 1, [fixture.id]);
  }
}

const LENS_WORDS = { frosted: 'Frosted lens', linearSpread: 'Linear spread lens' } as const;
const SHIELD_WORDS = { shroud: 'Shroud', louvre: 'Louvre', halfShield: 'Half shield' } as const;

/** "450 lm, 24°, 2700 K, 5.5 W". */
function lampWords(lamp: LampRecord): string {
  const { distribution } = lamp;
  const light =
    distribution.kind === 'model'
      ? `${distribution.fluxLm} lm, ${distribution.beamAngleFullDeg}°`
      : `measured table${distribution.sourceName ? ` ${distribution.sourceName}` : ''}`;
  const halogen = lamp.electrical === 'resistive' ? ' halogen' : '';
  return `${light}, ${lamp.cctK} K, ${lamp.powerW} W${halogen}`;
}

function addSplices(list: PartList, scheme: SchemeRecord): void {
  const lights = scheme.fixtures.map((one) => one.id);
  const withSpares = Math.ceil(lights.length * (1 + SPLICE_SPARE_SHARE) - 1e-9);
  if (lights.length > 0) list.add('splice', 'Splice at a light, wet-rated (gel-filled or heat-shrink)', withSpares, lights);
  for (const run of scheme.runs) {
    const joints = run.legs.filter((leg) => leg.fixtureId === undefined && run.legs.some((next) => next.fromId === leg.id));
    if (joints.length > 0) list.add('splice', 'Joint of cables, wet-rated (tee or hub)', joints.length, [run.id]);
  }
}

function addCable(list: PartList, document: PropertyDocument, scheme: SchemeRecord): void {
  const byGauge = new Map<string, { metres: number; runs: string[] }>();
  for (const run of scheme.runs) {
    const metres = run.legs.reduce((sum, leg) => sum + leg.lengthM, 0) * (1 + run.slackShare);
    const line = byGauge.get(gaugeLabel(run.gauge)) ?? { metres: 0, runs: [] };
    byGauge.set(gaugeLabel(run.gauge), { metres: line.metres + metres, runs: [...line.runs, run.id] });
  }
  for (const [gauge, { metres, runs }] of byGauge) {
    if (metres <= 0) continue;
    list.add('cable', `Two-conductor cable ${gauge}, for direct burial, slack included`, Math.ceil(metres - 1e-9), runs, 'm');
    list.add('cable', 'Cable clip or ground staple', Math.ceil(metres / CLIP_SPACING_M - 1e-9), runs);
  }
  addDucts(list, document, scheme);
}

function addDucts(list: PartList, document: PropertyDocument, scheme: SchemeRecord): void {
  const ducts = document.buildings.flatMap((one) => one.parts).filter((part): part is PartOf<'duct'> => part.kind === 'duct');
  for (const duct of ducts) {
    const runs = scheme.runs.filter((run) => run.legs.some((leg) => leg.ductId === duct.id)).map((run) => run.id);
    if (runs.length === 0) continue;
    const lengthM = Math.hypot(...duct.to.map((end, i) => end - duct.from[i]!));
    const millimetres = Math.round(duct.diameterM * 1000);
    list.add('cable', `Sleeve or duct ${millimetres} mm (where not there yet)`, Math.ceil(lengthM - 1e-9), runs, 'm');
  }
}

function addSupply(list: PartList, scheme: SchemeRecord): void {
  for (const one of scheme.transformers) {
    const runs = scheme.runs.filter((run) => run.transformerId === one.id);
    const taps = [...new Set(runs.map((run) => run.tapV))].sort((a, b) => a - b);
    const tapWords = taps.length > 0 ? `, taps ${taps.join(', ')} V in use` : '';
    list.add('supply', `Isolating transformer ${one.capacityVa} VA, outdoor rated${tapWords}`, 1, [one.id]);
  }
  for (const run of scheme.runs) {
    if (run.protectionA !== undefined) list.add('supply', `Breaker or fuse ${run.protectionA} A`, 1, [run.id]);
  }
  if (scheme.zones.length > 0) {
    list.add(
      'supply',
      'Control channel (sunset to off time), rated for outdoors and for inrush',
      scheme.zones.length,
      scheme.zones.map((zone) => zone.id),
    );
  }
}

function addSpares(list: PartList, document: PropertyDocument, scheme: SchemeRecord): void {
  for (const lamp of document.catalogue.lamps) {
    const lights = scheme.fixtures.filter((one) => one.lampId === lamp.id).map((one) => one.id);
    if (lights.length > 0) list.add('spare', `Spare lamp, ${lampWords(lamp)}`, SPARE_LAMPS_OF_EACH, lights);
  }
}

function kitAssumptions(document: PropertyDocument, scheme: SchemeRecord): string[] {
  const lines = [
    'Quantities: common practice, no source. One splice a light and a tenth more; two spare lamps of each kind; one clip a metre of cable.',
    'Cable lengths as drawn, with the slack of each run; rounded up to whole metres by gauge.',
  ];
  const wired = new Set(scheme.runs.flatMap((run) => run.legs.map((leg) => leg.fixtureId)));
  const notWired = scheme.fixtures.filter((one) => !wired.has(one.id)).map((one) => one.id);
  if (notWired.length > 0) lines.push(`Not wired, so no cable is counted for: ${notWired.join(', ')}.`);
  const guessed = scheme.runs.flatMap((run) => run.legs).filter((leg) => leg.lengthGuessed).length;
  if (guessed > 0) lines.push(`${guessed} cable ${guessed === 1 ? 'length is a guess' : 'lengths are guesses'}.`);
  const unprotected = scheme.runs.filter((run) => run.protectionA === undefined).map((run) => run.id);
  if (unprotected.length > 0) lines.push(`No breaker or fuse recorded for: ${unprotected.join(', ')}; none is listed.`);
  const bare = scheme.fixtures.filter((one) => one.mount === 'free').map((one) => one.id);
  if (bare.length > 0) lines.push(`No mount chosen for: ${bare.join(', ')}; no mount parts are listed.`);
  if (document.site.invented) lines.push('This property is invented.');
  return lines;
}
