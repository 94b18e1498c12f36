export type * from './layer.ts';
export { STAGE_MAX_CDM2 } from './layer.ts';
export { NightPicture } from './NightPicture.tsx';
export type * from './types.ts';
