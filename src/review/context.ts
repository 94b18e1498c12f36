import { eveningAt } from '../exposure/index.ts';
import type { Conditions, DirtRule, LightModel, Source } from '../lights/index.ts';
import { resolvePoweredSources, schemeOf } from '../power/index.ts';
import type { Face, FixtureRecord, LampRecord, PropertyDocument, SchemeRecord } from '../scene/index.ts';
import type { ReviewInput } from './types.ts';

/** Findings hold for this night: sun at −12°, no moon, house lights as the owner leaves them. */
export const judgingNight = (document: PropertyDocument): Conditions => ({
  ...eveningAt(document.site, -12),
  moon: 'none',
  cloud: 'clear',
  leaves: 'on',
});

export const JUDGING_WORDS = 'Judging night: sun at −12°, no moon, clear, leaves on, house lights as recorded.';
export const CLEAN_WORDS = 'Lenses clean (first night).';
export const DIRT_WORDS = 'Dirt factors counted.';

/** A light of the scheme, with what its findings are called by. */
export interface ReviewLight {
  id: string;
  fixture: FixtureRecord;
  lamp: LampRecord;
  /** "light 4" or "light 4, left pier". */
  label: string;
  /** On and not dimmed to nothing. */
  lit: boolean;
}

/** What every kind measures with. */
export interface ReviewContext extends ReviewInput {
  scheme: SchemeRecord;
  lights: ReviewLight[];
  lightById: ReadonlyMap<string, ReviewLight>;
  faceIndex: ReadonlyMap<string, number>;
  model: LightModel;
  /** Flux balance of a light, worked out once a review. */
  fluxOf: LightModel['fluxOf'];
}

/** Builds the context; the model's sources are not touched. */
export function createContext(input: ReviewInput): ReviewContext {
  const scheme = schemeOf(input.document, input.schemeId);
  const lamps = new Map(input.document.catalogue.lamps.map((lamp) => [lamp.id, lamp]));
  const lights = scheme.fixtures.flatMap((fixture, i): ReviewLight[] => {
    const lamp = lamps.get(fixture.lampId);
    if (!lamp) return [];
    const label = fixture.name ? `light ${i + 1}, ${fixture.name}` : `light ${i + 1}`;
    return [{ id: fixture.id, fixture, lamp, label, lit: fixture.on && fixture.dim > 0 }];
  });
  return {
    ...input,
    scheme,
    lights,
    lightById: new Map(lights.map((one) => [one.id, one])),
    faceIndex: new Map(input.model.scene.faces.map((face, i) => [face.id, i])),
    fluxOf: remembered((id) => input.model.fluxOf(id)),
  };
}

function remembered<T>(work: (id: string) => T): (id: string) => T {
  const known = new Map<string, T>();
  return (id) => {
    const result = known.get(id) ?? work(id);
    known.set(id, result);
    return result;
  };
}

/** Sources of the scheme for judging, by dirt rule. */
export function judgedSources(document: PropertyDocument, schemeId: string, dirt: DirtRule): Source[] {
  return resolvePoweredSources(document, schemeId, { after: true, dirt });
}

/** Sets the model to the judging night and solves what is missing, pausing where the solver does. */
export function* judgingSteps(context: ReviewContext, dirt: DirtRule): Generator<void, void, void> {
  context.model.setSources(judgedSources(context.document, context.schemeId, dirt), judgingNight(context.document));
  for (const _ of context.model.solve()) yield;
}

/** Name of a face for a sentence. */
export function faceName(face: Face): string {
  return face.name || face.id;
}
