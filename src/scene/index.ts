export * from './camera.ts';
export * from './massing/index.ts';
export * from './records/index.ts';
export { groundHeightAt, insideOutline } from './document/lookup.ts';
