/** What reliefs need beyond the first picture, in one piece that is loaded after it. */
export { unitAndJoint } from '../../materials/index.ts';
export { reliefMaps } from './reliefSource.ts';
