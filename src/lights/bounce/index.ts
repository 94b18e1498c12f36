export { polygonFactor } from './emitters.ts';
export { bounceModelSteps, createBounceModel } from './model.ts';
export * from './types.ts';
