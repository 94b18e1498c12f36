import { describe, expect, it } from 'vitest';
import { findMaterial, luminanceOfRgb, materialIds, materialSheets, reflectanceSources } from '../../src/materials/index.ts';

/** Luminous reflectances: IES handbook table of building materials and outside surfaces, and its gaps filled from memory. */
const expected: Record<string, number> = {
  brickBuffWeathered: 0.35,
  brickRed: 0.25,
  brickEnglish: 0.22,
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
  brickPainted: 0.6,
  ashlar: 0.45,
  copingStone: 0.4,
  rubbleStone: 0.35,
  renderGrey: 0.35,
  stuccoWhite: 0.65,
  sidingGrey: 0.55,
  claddingBrown: 0.12,
  claddingCedar: 0.25,
  shingleWall: 0.2,
  poolTile: 0.35,
  roofTileClay: 0.2,
  roofTileConcrete: 0.2,
  shingleRoof: 0.1,
  shingleCedar: 0.2,
  roofMetal: 0.25,
  gravelPale: 0.3,
  pavingConcrete: 0.35,
  brickPaving: 0.2,
  setts: 0.18,
  decking: 0.2,
  sand: 0.3,
  steelGalvanised: 0.4,
  steelStainless: 0.5,
  brassAged: 0.25,
  copperAged: 0.15,
  steelRusted: 0.12,
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
      expect((reflectanceSources[sheet.id] ?? '').length, sheet.id).toBeGreaterThan(10);
    }
  });

  it('answers undefined for an unknown id', () => {
    expect(findMaterial('marbleFromMars')).toBeUndefined();
  });
});
