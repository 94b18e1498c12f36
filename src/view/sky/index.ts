export { createSkyLayer, type SkyLayer, type SkyOptions } from './createSky.ts';
