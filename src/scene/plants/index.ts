export { type GrownPlant, growPlant } from './grow.ts';
export { CLUMPING, LEAF_REFLECTANCE_RGB, LEAF_SHARE, LEAF_TRANSMITTANCE_RGB } from './leaves.ts';
export { createDice, type Dice, mixSeed } from './random.ts';
