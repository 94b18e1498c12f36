import type { PowerResult } from '../../power/index.ts';
import type { PropertyDocument, SchemeRecord } from '../../scene/index.ts';

export interface LoadSummary {
  watts: number;
  voltAmperes: number | null;
  notWired: number;
  fullest: { name: string; fraction: number | null } | undefined;
}

/**
 * Load of the scheme as the strip says it, at the marked draw: what the cable solve adds up per transformer, plus marked
 * watts and W/PF of lights on no run. Before the first solve marked watts only. This is the connected load: dimmed and
 * switched-off lights count whole, since cable and transformer must carry them. VA is null where a run has no steady state.
 */
export function loadOf(
  document: PropertyDocument,
  scheme: SchemeRecord | undefined,
  power: PowerResult | undefined,
): LoadSummary {
  const notWired = new Set(power?.notWired ?? []);
  const loose = (scheme?.fixtures ?? []).filter((f) => power === undefined || notWired.has(f.id));
  const lamps = loose.flatMap((f) => document.catalogue.lamps.filter((l) => l.id === f.lampId));
  let watts = lamps.reduce((sum, lamp) => sum + lamp.powerW, 0);
  let va: number | null = power ? lamps.reduce((sum, lamp) => sum + lamp.powerW / lamp.powerFactor, 0) : null;
  let fullest: LoadSummary['fullest'];
  for (const t of power?.transformers ?? []) {
    watts += t.watts;
    va = va === null || t.voltAmperes === null ? null : va + t.voltAmperes;
    const higher = (t.loadFraction ?? Number.POSITIVE_INFINITY) > (fullest?.fraction ?? -1);
    if (!fullest || higher) fullest = { name: t.name || t.id, fraction: t.loadFraction };
  }
  return { watts, voltAmperes: va, notWired: notWired.size, fullest };
}

/** Energy a year, kWh, at stated mean hours a night and transformer efficiency: W·h·365 ÷ (1000·η). */
export function energyPerYearKwh(watts: number, hoursPerNight: number, efficiency: number): number {
  return (watts * hoursPerNight * 365) / (1000 * efficiency);
}

/** Efficiency of transformer and cable taken for the cost line; common practice, no source. */
export const SUPPLY_EFFICIENCY = 0.85;
