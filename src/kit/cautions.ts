import {
  type FixtureRecord,
  groundHeightAt,
  type LampRecord,
  type PropertyDocument,
  type SchemeRecord,
  type Vec3,
} from '../scene/index.ts';

/** Month in which the wording below was last read over. */
export const CAUTIONS_DATE = '2026-11';

export type Act =
  | 'wiring'
  | 'outlet'
  | 'water'
  | 'trench'
  | 'roots'
  | 'treeMount'
  | 'height'
  | 'greatHeight'
  | 'heat'
  | 'splice'
  | 'nightWork'
  | 'neighbours'
  | 'publicUse'
  | 'picture';

/** What is said where the act is, and on every sheet. Standards named are from memory: verify the edition. */
const WORDING: Record<Act, string> = {
  wiring:
    'Wiring: switch off and unplug before splicing; isolating low-voltage transformer only, never in parallel, never earth its output; mains is never opened, a plug-in meter measures it. Overcurrent protection on each run, current within the listing of the cable.',
  outlet:
    'Outlet: protected (GFCI or RCD) outlet with in-use cover, no extension cord, transformer listed for outdoor landscape use and 0.3 m (12 in) above ground; mains work by a licensed electrician.',
  water:
    'Water: this program keeps 3.5 m, or 3.05 m (10 ft) in the US, from pools, spas, fountains and ponds (IEC 60364-7-702; NEC 411 and 680, from memory, to be verified); local code and a licensed electrician decide.',
  trench:
    'Digging: have buried lines located first (gas, power, water, fibre); that often takes 2 to 3 working days and misses private lines; dig by hand near marks; nothing under a pool. Cover for low-voltage cable 150 mm (6 in) or more in the US (NEC 300.5, from memory).',
  roots: 'Roots: no trench through roots under a crown; route along the drip line or radially, dig by hand or air.',
  treeMount:
    'Tree mount: stainless stand-off fixings, slack in the cable, no wrapping, no tight staples; check yearly; ask an arborist for old or protected trees.',
  height:
    'Height: ladder 4:1, three points of contact, second person, level ground; find overhead lines before the ladder goes up; gutters and outlets stay clear, no screws into shingles.',
  greatHeight: 'Above 6 m: trained people with harness, or an arborist.',
  heat: 'Heat: in-grade and halogen lamps ignite or melt under mulch and leaves; keep leaves and mulch off, cover the lens, tell mulch crews; mind touch temperature where people walk.',
  splice: 'Splices: rated for wet (gel-filled or heat-shrink), never tape alone, with strain relief.',
  nightWork: 'Night work: watch for trips, pets and traffic; do not look into lamps; never from a ladder in the dark.',
  neighbours:
    'Neighbours and wildlife: light only what is useful, low, warm and switched off by curfew; lit trees off in breeding and migration weeks; ask before lighting roosts or a neighbour’s tree.',
  publicUse:
    'Guests and public: escape and accessible routes need their own design; lamps hung over people need a calculated support and a second hold.',
  picture: 'Preview, not a promise: assumptions, exposure and dirt factor belong to each picture.',
};

/** The caution of one act: dated, with "check local code". */
export function cautionOf(act: Act): string {
  return `${WORDING[act]} (${CAUTIONS_DATE}; check local code.)`;
}

/** All acts a scheme asks for, in the order of the work. */
export function actsOf(document: PropertyDocument, scheme: SchemeRecord): Act[] {
  const lights = scheme.fixtures;
  const heights = lights.map((one) => heightAboveGroundM(document, one.at));
  const highest = Math.max(0, ...heights);
  const acts: Record<Act, boolean> = {
    wiring: lights.length > 0,
    outlet: lights.length > 0,
    water: document.water.length > 0,
    trench: scheme.runs.some((run) => run.legs.length > 0),
    roots: document.planting.length > 0 && scheme.runs.length > 0,
    treeMount: lights.some((one) => one.mount === 'tree'),
    height: highest > 3 || lights.some((one) => one.mount === 'gutter'),
    greatHeight: highest > 6,
    heat: lights.some((one) => one.mount === 'inGrade' || isHalogen(lampOf(document, one))),
    splice: lights.length > 0,
    nightWork: lights.length > 0,
    neighbours: lights.length > 0,
    publicUse: lights.some((one) => one.mount === 'hanging'),
    picture: true,
  };
  return (Object.keys(acts) as Act[]).filter((act) => acts[act]);
}

/** Height of a place above the ground level drawn under it, metres. */
export function heightAboveGroundM(document: PropertyDocument, at: Vec3): number {
  return at[1] - groundHeightAt(document, at[0], at[2]);
}

/** Catalogue lamp of a light. */
export function lampOf(document: PropertyDocument, fixture: FixtureRecord): LampRecord | undefined {
  return document.catalogue.lamps.find((lamp) => lamp.id === fixture.lampId);
}

function isHalogen(lamp: LampRecord | undefined): boolean {
  return lamp?.electrical === 'resistive';
}
