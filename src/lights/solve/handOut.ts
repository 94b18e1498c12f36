import type { LampHelpers } from '../types.ts';
import { unpackSight } from './foreseen.ts';
import { sightFrom } from './groups.ts';
import type { Lit, SolverState } from './state.ts';

/** Fewer new places than this are looked from at once: handing over would cost more than it saves. */
const LEAST_LAMPS = 6;

/**
 * Gives the sources to light in the order in which they can be: helpers look from some while the caller works on others.
 * What helpers saw lies ready when its lamp comes; a lamp whose helper is gone comes like any other. Gives `undefined` while
 * nothing is left but what others have in hand: the caller must then let messages arrive.
 */
export function* handOut(
  state: SolverState,
  lits: readonly Lit[],
  helpers: LampHelpers | undefined,
): Generator<Lit | undefined, void, void> {
  const unseen = lits.filter((lit) => !lit.leaving && !state.context.places.has(lit.emitter.placeKey));
  if (!helpers || unseen.length < LEAST_LAMPS) {
    yield* lits;
    return;
  }
  const waiting = [...unseen];
  const asked = new Map<string, Lit>();
  const askMore = (): void => {
    while (waiting.length > 0) {
      const lit = waiting[0]!;
      if (!helpers.ask(state.scene, { source: lit.source, leavesOn: state.context.leavesOn })) return;
      asked.set(lit.source.id, lit);
      waiting.shift();
    }
  };
  askMore();
  yield* lits.filter((lit) => !unseen.includes(lit));
  while (waiting.length > 0 || asked.size > 0) {
    for (const { sourceId, sight } of helpers.take()) {
      const lit = asked.get(sourceId);
      if (!lit || !asked.delete(sourceId)) continue;
      if (sight?.placeKey === lit.emitter.placeKey) takeIn(state, lit, sight);
      askMore();
      yield lit;
    }
    const own = waiting.pop();
    if (own) yield own;
    else if (asked.size > 0) yield undefined;
  }
}

function takeIn(state: SolverState, lit: Lit, sight: Parameters<typeof unpackSight>[0]): void {
  const { placeKey } = lit.emitter;
  state.foreseen.set(placeKey, unpackSight(sight, state.groups, sightFrom(state, placeKey).each));
  state.caster.rays += sight.rays;
}
