export type * from './layer.ts';
export { STAGE_MAX_CDM2 } from './layer.ts';
export { NightPicture } from './NightPicture.tsx';
export type { MapSettings } from './post/eye.ts';
export type { Survey } from './survey.ts';
export type * from './types.ts';
