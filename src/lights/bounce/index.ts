export { polygonFactor } from './emitters.ts';
export { createBounceModel } from './model.ts';
export * from './types.ts';
