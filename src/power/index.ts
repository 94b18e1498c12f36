export {
  ampacityA,
  conductorOhmPerM,
  gaugeLabel,
  heavierGauges,
} from './conductors.ts';
export {
  type LadderNode,
  type LadderSolution,
  type Load,
  solveLadder,
} from './ladder.ts';
export { schemeOf } from './network.ts';
export { type PowerOptions, solvePower } from './solve.ts';
export { resolvePoweredSources, solvedVolts } from './supply.ts';
export * from './types.ts';
