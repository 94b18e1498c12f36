import { createReliefMaps, findRelief, type ReliefMaps } from '../../materials/index.ts';

/** Works out one relief; undefined for an unknown name. */
export function makeRelief(name: string): ReliefMaps | undefined {
  const recipe = findRelief(name);
  return recipe && createReliefMaps(recipe);
}
