import { type DirtRule, resolveSources, type Source, type VoltsByLight } from '../lights/index.ts';
import type { PropertyDocument } from '../scene/index.ts';
import { solvePower } from './solve.ts';

/** Volts of each wired light of a scheme at the marked draw, all lamps running; null where its run has no operating point. */
export function solvedVolts(document: PropertyDocument, schemeId: string): VoltsByLight {
  if (!document.schemes.some((scheme) => scheme.id === schemeId)) return new Map();
  const wired = solvePower(document, schemeId).fixtures.filter((light) => light.runId !== null);
  return new Map(wired.map((light) => [light.id, light.volts]));
}

/**
 * Sources of one scheme, each lamp giving what its solved volts let it give: halogen follows its volts, a lamp that has not
 * started is dark. Picture, review and command line take their sources from here.
 * @throws {RangeError} unknown scheme, or a fixture whose lamp is not in the catalogue.
 * @see tests/power/supply.test.ts
 */
export function resolvePoweredSources(
  document: PropertyDocument,
  schemeId: string,
  options: { after: boolean; dirt: DirtRule },
): Source[] {
  return resolveSources(document, schemeId, { ...options, volts: solvedVolts(document, schemeId) });
}
