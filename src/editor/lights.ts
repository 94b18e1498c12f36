import type { FixtureRecord, LampRecord, PropertyDocument, Vec3 } from '../scene/index.ts';
import { freeId } from './freeId.ts';
import { mountFor } from './hosts.ts';
import { putFixtureInto, schemeOf, withScheme } from './schemeEdits.ts';
import { moveLight } from './wallPlace.ts';
import { joinNearestRun } from './wiringEdits.ts';

/** Lamp a property gets with its first light when its catalogue is empty; an ordinary 12 V lamp, figures invented. */
export const FIRST_LAMP: LampRecord = {
  id: 'lamp-450lm-24',
  name: '450 lm, 24 degrees, 2,700 K',
  distribution: { kind: 'model', fluxLm: 450, beamAngleFullDeg: 24, spillShare: 0.1 },
  cctK: 2700,
  colourRendering: 80,
  powerW: 5.5,
  powerFactor: 0.7,
  electrical: 'constantPower',
  lowestV: 9,
  startV: 10,
  highestV: 15,
  lensRadiusM: 0.02,
};

/** A light with every field at its default; mount from what it stands on, first lamp of the catalogue. */
export function createLight(
  document: PropertyDocument,
  schemeId: string,
  at: Vec3,
  aim: Vec3,
  options: Partial<FixtureRecord> = {},
): FixtureRecord {
  const used = [...schemeOf(document, schemeId).fixtures, ...document.existing].map((f) => f.id);
  return {
    id: freeId('L', used),
    name: '',
    rollDeg: 0,
    mount: options.mount ?? mountFor(document, at),
    lampId: document.catalogue.lamps[0]?.id ?? FIRST_LAMP.id,
    lens: { kind: 'clear', rollDeg: 0 },
    shield: { kind: 'none', cutOffDeg: 45, rollDeg: 0 },
    leadLengthM: 3,
    wantedLx: 20,
    dim: 1,
    on: true,
    locks: { place: false, aim: false, lamp: false },
    reason: '',
    rank: 2,
    ...options,
    at,
    aim,
  };
}

/** Puts a new light into the scheme, its lamp into an empty catalogue, and joins it to the nearest run. */
export function lightAdded(document: PropertyDocument, schemeId: string, fixture: FixtureRecord): PropertyDocument {
  const needsLamp = fixture.lampId === FIRST_LAMP.id && !document.catalogue.lamps.some((l) => l.id === FIRST_LAMP.id);
  const stocked = needsLamp
    ? { ...document, catalogue: { ...document.catalogue, lamps: [...document.catalogue.lamps, FIRST_LAMP] } }
    : document;
  const put = putFixtureInto(stocked, schemeId, fixture);
  return withScheme(put, schemeId, (scheme) => joinNearestRun(scheme, fixture));
}

/** Copies of a light at other places with tilt and bearing carried along; each joins the wiring like a new light. */
export function lightsCopied(
  document: PropertyDocument,
  schemeId: string,
  original: FixtureRecord,
  places: readonly Vec3[],
): { document: PropertyDocument; copies: FixtureRecord[] } {
  let next = document;
  const copies: FixtureRecord[] = [];
  for (const at of places) {
    const { id: _id, targetId: _target, ...rest } = moveLight(original, at, 'direction');
    const copy = createLight(next, schemeId, at, rest.aim, { ...rest, name: '' });
    next = lightAdded(next, schemeId, copy);
    copies.push(copy);
  }
  return { document: next, copies };
}

/** Places at `spacingM` steps from a start along a direction in plan: 1, 2, … `count` steps away. */
export function placesAlong(from: Vec3, direction: readonly [number, number, number], spacingM: number, count: number): Vec3[] {
  const length = Math.hypot(...direction);
  if (!(length > 0)) throw new RangeError('direction: a vector of length above 0');
  return Array.from({ length: count }, (_, i): Vec3 => {
    const step = (spacingM * (i + 1)) / length;
    return [from[0] + direction[0] * step, from[1] + direction[1] * step, from[2] + direction[2] * step];
  });
}
