export * from './camera.ts';
export * from './massing/index.ts';
export * from './records/index.ts';
export * from './document/index.ts';
export { LEAF_SHARE } from './plants/index.ts';
