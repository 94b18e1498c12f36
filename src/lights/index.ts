export * from './beam.ts';
export * from './bounce/index.ts';
export * from './distribution.ts';
export { createLightModel, type LightModelOptions } from './model.ts';
export * from './photometry/index.ts';
export { type Caster, createCaster } from './rays/index.ts';
export * from './sources.ts';
export * from './types.ts';
