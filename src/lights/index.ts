export * from './types.ts';
export * from './sources.ts';
