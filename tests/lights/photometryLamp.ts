import type { LampRecord } from '../../src/scene/index.ts';

/** A lamp of stated lumens and no spill. */
export const textbookLamp: LampRecord = {
  id: 'lamp-1',
  name: 'textbook',
  distribution: { kind: 'model', fluxLm: 450, beamAngleFullDeg: 36, spillShare: 0 },
  cctK: 2700,
  colourRendering: 80,
  powerW: 5.5,
  powerFactor: 1,
  electrical: 'constantPower',
  lowestV: 9,
  startV: 9,
  highestV: 15,
  lensRadiusM: 0,
};
