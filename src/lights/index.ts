export * from './beam.ts';
export * from './bounce/index.ts';
export * from './distribution.ts';
export type { LightModelOptions } from './model.ts';
export * from './photometry/index.ts';
export { type Caster, createCaster } from './rays/index.ts';
export { createLightModel } from './shapes/model.ts';
export * from './sources.ts';
export * from './types.ts';
