export { type ContactMap, traceContact } from './map.ts';
export { openOfPatches } from './patches.ts';
export { contactCellM, contactDiffers, hiddenShares } from './read.ts';
