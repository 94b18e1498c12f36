export { type Emitter, emitterLx, polygonFactor } from './emitters.ts';
export { bounceModelSteps, createBounceModel } from './model.ts';
export * from './types.ts';
