export { checkPhotometrySize, PHOTOMETRY_MAX_BYTES } from './decode.ts';
export { type LampFromFile, lampFromPhotometry } from './lampFromPhotometry.ts';
export { readPhotometry } from './read.ts';
export { type LampSet, type Photometry, PhotometryError, type PhotometryMetadata, type PhotometryFormat } from './types.ts';
