import { groundReliefs } from './grounds.ts';
import type { ReliefRecipe } from './recipe.ts';
import { wallReliefs } from './walls.ts';

/** Every relief by name. */
export const reliefRecipes: readonly ReliefRecipe[] = [...wallReliefs, ...groundReliefs];

const byName = new Map(reliefRecipes.map((recipe) => [recipe.name, recipe]));

export function findRelief(name: string): ReliefRecipe | undefined {
  return byName.get(name);
}
