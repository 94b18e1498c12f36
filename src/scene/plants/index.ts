export { LEAF_REFLECTANCE_RGB, LEAF_SHARE, LEAF_TRANSMITTANCE_RGB, TWIG_REFLECTANCE_RGB, TWIG_SHARE } from './foliage.ts';
export { type GrowOptions, type GrownPlant, growPlant, MOST_LOW_CARDS, MOST_TREE_CARDS } from './grow.ts';
export { CLUMPING } from './leaves.ts';
export { createDice, type Dice, mixSeed } from './random.ts';
