import type { LightModel } from '../lights/index.ts';
import { createLightModel } from '../lights/index.ts';
import { resolvePoweredSources } from '../power/index.ts';
import { judgingNight } from '../review/index.ts';
import type { PropertyDocument } from '../scene/index.ts';
import { buildScene } from '../scene/index.ts';
import { InputError } from './arguments.ts';

/** The solved light of one scheme on the judging night, weights as shown (with dirt). */
export function solveScheme(document: PropertyDocument, schemeId: string): LightModel {
  const model = createLightModel(buildScene(document), { surroundings: document.site.surroundings });
  model.setSources(resolvePoweredSources(document, schemeId, { after: true, dirt: 'asShown' }), judgingNight(document));
  model.solveAll();
  return model;
}

/** Ids named by `--only`, checked. @throws {InputError} an id that is no light of the scheme. */
export function namedLights(document: PropertyDocument, schemeId: string, only: string | undefined): string[] | undefined {
  if (only === undefined) return undefined;
  const scheme = document.schemes.find((s) => s.id === schemeId);
  const known = new Set([...(scheme?.fixtures ?? []), ...document.existing].map((f) => f.id));
  const ids = only
    .split(',')
    .map((id) => id.trim())
    .filter(Boolean);
  const stranger = ids.find((id) => !known.has(id));
  if (stranger || ids.length === 0)
    throw new InputError(
      `--only ${only}: ${stranger ?? 'nothing'} is no light of scheme ${schemeId}; it has ${[...known].join(', ') || 'none'}`,
    );
  return ids;
}
