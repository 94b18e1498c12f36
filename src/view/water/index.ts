export { createWaterLayer, type MirrorDraw, type WaterLayer } from './createWater.ts';
