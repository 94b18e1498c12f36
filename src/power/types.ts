/** Result of the cable solve. Volts and amperes are null where there is no operating point. */
export interface PowerResult {
  drawFactor: number;
  transformers: TransformerResult[];
  runs: RunResult[];
  fixtures: FixturePower[];
  /** Lights of the scheme on no run. */
  notWired: string[];
  assumptions: string[];
}
export interface TransformerResult {
  id: string;
  name: string;
  /** Watts of its lamps at this draw; the loss in the cable is counted in `voltAmperes`, not here. */
  watts: number;
  /** Σ tap volts × run amperes. */
  voltAmperes: number | null;
  capacityVa: number;
  loadFraction: number | null;
  amperes: number | null;
}
export interface RunResult {
  id: string;
  name: string;
  transformerId: string;
  amperes: number | null;
  /** One way, all legs together, without slack. */
  lengthM: number;
  lossW: number | null;
  markedWatts: number;
  /** False: the run has no steady state at this draw. */
  solved: boolean;
  /** Most watts a single lump at the far end could pass (V0²/4R × PF), for the sentence; 0 for a run without legs. */
  mostWatts: number;
  /** Current through each leg and volts at its far end, legs in order. */
  legs: LegResult[];
}
export interface LegResult {
  id: string;
  amperes: number | null;
  volts: number | null;
}
export interface FixturePower {
  id: string;
  runId: string | null;
  volts: number | null;
  amperes: number | null;
  watts: number;
  /** Solved volts with all of its transformer's lamps running − its lamp's `startV`. */
  startMarginV: number | null;
  /** True where any length between the transformer and this light is a guess. */
  lengthGuessed: boolean;
}
