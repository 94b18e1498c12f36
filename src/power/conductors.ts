import type { Gauge } from '../scene/index.ts';

/**
 * Resistance of one stranded copper conductor at 30 °C, ohm per metre, by AWG.
 * Source: NEC chapter 9 table 8, uncoated stranded at 75 °C (from memory), corrected by R2 = R1·[1 + .00323·(T − 75)].
 */
const STRANDED_30C_OHM_PER_M: Record<18 | 16 | 14 | 12 | 10 | 8, number> = {
  18: 22.29e-3,
  16: 13.99e-3,
  14: 8.81e-3,
  12: 5.55e-3,
  10: 3.48e-3,
  8: 2.18e-3,
};

/** Resistance of one conductor at 20 °C, ohm per metre, by mm². Source: IEC 60228 class 2 (from memory). */
const IEC60228_20C_OHM_PER_M: Record<1 | 1.5 | 2.5 | 4 | 6, number> = {
  1: 18.1e-3,
  1.5: 12.1e-3,
  2.5: 7.41e-3,
  4: 4.61e-3,
  6: 3.08e-3,
};

/** Temperature coefficient of copper at 20 °C, 1/K (handbook value). */
export const COPPER_ALPHA_PER_K = 0.00393;
export const CONDUCTOR_TEMPERATURE_C = 30;

/** Ampacity of two-conductor garden cable, A. Common practice, from memory: the cable's own listing governs. */
const AMPACITY_AWG_A: Record<18 | 16 | 14 | 12 | 10 | 8, number> = {
  18: 6,
  16: 10,
  14: 15,
  12: 20,
  10: 25,
  8: 25,
};
const AMPACITY_MM2_A: Record<1 | 1.5 | 2.5 | 4 | 6, number> = {
  1: 10,
  1.5: 16,
  2.5: 20,
  4: 25,
  6: 32,
};

/**
 * Resistance of one conductor, out or back, ohm per metre at 30 °C (`ohmPerM`: as given, no correction).
 *
 *     R(T) = R20 · [1 + α·(T − 20)],  α = .00393 / K     (mm² sizes)
 */
export function conductorOhmPerM(gauge: Gauge): number {
  if (gauge.kind === 'awg') return STRANDED_30C_OHM_PER_M[gauge.awg];
  if (gauge.kind === 'ohmPerM') return gauge.ohmPerM;
  return IEC60228_20C_OHM_PER_M[gauge.areaMm2] * (1 + COPPER_ALPHA_PER_K * (CONDUCTOR_TEMPERATURE_C - 20));
}

/** Ampacity of the cable, A, or undefined where the gauge is a bare resistance. */
export function ampacityA(gauge: Gauge): number | undefined {
  if (gauge.kind === 'awg') return AMPACITY_AWG_A[gauge.awg];
  return gauge.kind === 'mm2' ? AMPACITY_MM2_A[gauge.areaMm2] : undefined;
}

/** "12 AWG", "2.5 mm²" or "5.55 mohm/m". */
export function gaugeLabel(gauge: Gauge): string {
  if (gauge.kind === 'awg') return `${gauge.awg} AWG`;
  return gauge.kind === 'mm2' ? `${gauge.areaMm2} mm²` : `${Number((gauge.ohmPerM * 1000).toPrecision(3))} mohm/m`;
}

const AWG_SIZES = [18, 16, 14, 12, 10, 8] as const;
const MM2_SIZES = [1, 1.5, 2.5, 4, 6] as const;

/** Heavier cables of the same kind, next size first. */
export function heavierGauges(gauge: Gauge): Gauge[] {
  if (gauge.kind === 'awg')
    return AWG_SIZES.filter((awg) => awg < gauge.awg).map((awg) => ({
      kind: 'awg',
      awg,
    }));
  if (gauge.kind === 'ohmPerM') return [];
  return MM2_SIZES.filter((area) => area > gauge.areaMm2).map((areaMm2) => ({
    kind: 'mm2',
    areaMm2,
  }));
}

/** Leads of fixtures are taken as 18 AWG, stranded, 30 °C (assumption, shown). */
export const LEAD_OHM_PER_M = STRANDED_30C_OHM_PER_M[18];
