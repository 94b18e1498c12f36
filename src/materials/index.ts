export * from './library.ts';
export * from './relief/looks.ts';
export * from './relief/maps.ts';
export * from './relief/recipes.ts';
export * from './relief/variation.ts';
export type * from './types.ts';
