import type { PropertyDocument, SchemeRecord } from '../../records/property.ts';
import type { RunRecord } from '../../records/wiring.ts';
import type { ErrorList, PathStep } from '../errors.ts';
import { checkKnown } from './references.ts';

/** Runs hang on transformers, legs form a tree from there, and each light hangs on one leg at most. */
export function checkWiring(document: PropertyDocument, list: ErrorList): void {
  const ducts = document.buildings.flatMap((b) => b.parts.filter((p) => p.kind === 'duct').map((p) => p.id));
  const existing = document.existing.map((f) => f.id);
  document.schemes.forEach((scheme, s) => {
    const lights = [...scheme.fixtures.map((f) => f.id), ...existing];
    const fedBy = new Map<string, string>();
    scheme.runs.forEach((run, r) => {
      const steps: PathStep[] = ['schemes', s, 'runs', r];
      checkRun(scheme, run, steps, list);
      run.legs.forEach((leg, l) => {
        const at = [...steps, 'legs', l];
        checkKnown(list, [...at, 'fixtureId'], leg.fixtureId, lights, 'light of the scheme');
        checkKnown(list, [...at, 'ductId'], leg.ductId, ducts, 'duct');
        if (leg.fixtureId === undefined) return;
        const other = fedBy.get(leg.fixtureId);
        if (other !== undefined)
          list.add([...at, 'fixtureId'], `light ${leg.fixtureId} hangs on leg ${other} already`, 'one leg for each light');
        fedBy.set(leg.fixtureId, leg.id);
      });
    });
  });
}

function checkRun(scheme: SchemeRecord, run: RunRecord, steps: readonly PathStep[], list: ErrorList): void {
  const transformers = scheme.transformers.map((t) => t.id);
  checkKnown(list, [...steps, 'transformerId'], run.transformerId, transformers, 'transformer of the scheme');
  const parents = new Map(run.legs.map((leg) => [leg.id, leg.fromId]));
  run.legs.forEach((leg, l) => {
    const at = [...steps, 'legs', l, 'fromId'];
    if (leg.fromId !== undefined && !parents.has(leg.fromId)) {
      list.add(at, `there is no leg ${leg.fromId} in this run`, 'another leg of the run, or none for the transformer');
    } else if (inLoop(leg.id, parents)) {
      list.add(at, `leg ${leg.id} leads back to itself`, 'legs that lead back to the transformer');
    }
  });
}

/** Follows `fromId` up from a leg; true when it comes by the same leg again. */
function inLoop(id: string, parents: ReadonlyMap<string, string | undefined>): boolean {
  let at = parents.get(id);
  for (let steps = 0; at !== undefined && steps <= parents.size; steps++) {
    if (at === id) return true;
    at = parents.get(at);
  }
  return false;
}
