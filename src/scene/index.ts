export * from './camera.ts';
export * from './massing/index.ts';
export * from './records/index.ts';
export * from './document/index.ts';
export { createDice, LEAF_SHARE, mixSeed, TWIG_REFLECTANCE_RGB, TWIG_SHARE } from './plants/index.ts';
