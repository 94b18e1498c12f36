import type { PowerResult } from '../../power/index.ts';
import type { PropertyDocument, SchemeRecord } from '../../scene/index.ts';

export interface LoadSummary {
  watts: number;
  voltAmperes: number | null;
  notWired: number;
  fullest: { name: string; fraction: number | null } | undefined;
}

/**
 * Load of the scheme as the strip says it: marked watts × dim of the lights that are on. The volt-amperes are those of
 * the cable solve plus W/PF of lights on no run; null where a run has no steady state or nothing is solved yet.
 */
export function loadOf(
  document: PropertyDocument,
  scheme: SchemeRecord | undefined,
  power: PowerResult | undefined,
): LoadSummary {
  let watts = 0;
  let unwiredVa = 0;
  const unwired = new Set(power?.notWired ?? []);
  for (const fixture of scheme?.fixtures ?? []) {
    const lamp = document.catalogue.lamps.find((l) => l.id === fixture.lampId);
    if (!lamp || !fixture.on) continue;
    watts += lamp.powerW * fixture.dim;
    if (unwired.has(fixture.id)) unwiredVa += (lamp.powerW * fixture.dim) / lamp.powerFactor;
  }
  let va: number | null = power ? unwiredVa : null;
  let fullest: LoadSummary['fullest'];
  for (const t of power?.transformers ?? []) {
    va = va === null || t.voltAmperes === null ? null : va + t.voltAmperes;
    const higher = (t.loadFraction ?? Number.POSITIVE_INFINITY) > (fullest?.fraction ?? -1);
    if (!fullest || higher) fullest = { name: t.name || t.id, fraction: t.loadFraction };
  }
  return { watts, voltAmperes: va, notWired: unwired.size, fullest };
}

/** Energy a year, kWh, at stated mean hours a night and transformer efficiency: W·h·365 ÷ (1000·η). */
export function energyPerYearKwh(watts: number, hoursPerNight: number, efficiency: number): number {
  return (watts * hoursPerNight * 365) / (1000 * efficiency);
}

/** Efficiency of transformer and cable taken for the cost line; common practice, no source. */
export const SUPPLY_EFFICIENCY = 0.85;
