export * from './massing/types.ts';
export * from './records/index.ts';
