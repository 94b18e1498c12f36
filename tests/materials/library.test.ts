import { describe, expect, it } from 'vitest';
import { findMaterial, luminanceOfRgb, materialIds, materialSheets } from '../../src/materials/index.ts';

/** Luminous reflectances: IES handbook table of building materials and outside surfaces, and its gaps filled from memory. */
const expected: Record<string, number> = {
  brickBuffWeathered: 0.35,
  brickRed: 0.25,
  brickOld: 0.22,
  limestone: 0.5,
  concrete: 0.4,
  renderPale: 0.65,
  slate: 0.08,
  gravel: 0.2,
  paving: 0.25,
  lawn: 0.06,
  mulch: 0.05,
  soil: 0.07,
  asphalt: 0.07,
  paintedTimberWhite: 0.6,
  paintedTimberGreen: 0.08,
  paintedTimberDark: 0.08,
  sidingPale: 0.55,
  timberBrown: 0.12,
  ironBlack: 0.05,
  leadGrey: 0.25,
  terracotta: 0.25,
  barkBrown: 0.12,
  barkPale: 0.45,
  barkGrey: 0.2,
  glass: 0.08,
  water: 0.02,
};

describe('material library', () => {
  it('holds every material once, with its reflectance', () => {
    expect([...materialIds].sort()).toEqual(Object.keys(expected).sort());
    for (const [id, reflectance] of Object.entries(expected)) expect(findMaterial(id)?.reflectance).toBe(reflectance);
  });

  it('colours each material so that its luminance is its reflectance', () => {
    // Luminance weights of IEC 61966-2-1.
    for (const sheet of materialSheets) expect(luminanceOfRgb(sheet.reflectanceRgb)).toBeCloseTo(sheet.reflectance, 12);
  });

  it('keeps every channel between 0 and 1 and names a source', () => {
    for (const sheet of materialSheets) {
      for (const channel of sheet.reflectanceRgb) {
        expect(channel).toBeGreaterThan(0);
        expect(channel).toBeLessThan(1);
      }
      expect(sheet.source.length).toBeGreaterThan(10);
    }
  });

  it('answers undefined for an unknown id', () => {
    expect(findMaterial('marbleFromMars')).toBeUndefined();
  });
});
