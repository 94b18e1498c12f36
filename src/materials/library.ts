import type { MaterialSheet, SurfaceClass } from './types.ts';

type Hue = readonly [number, number, number];

/** Luminance of a linear sRGB triple, IEC 61966-2-1 primaries. */
export function luminanceOfRgb(rgb: Hue): number {
  return 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
}

/** Scales a hue (linear sRGB, any size) so that its luminance equals the luminous reflectance. */
export function reflectanceOfHue(hue: Hue, reflectance: number): Hue {
  const k = reflectance / luminanceOfRgb(hue);
  return [hue[0] * k, hue[1] * k, hue[2] * k];
}

/** id, words, luminous reflectance, hue (linear sRGB, any size), relief, its depth in millimetres. */
type Row = readonly [string, string, number, number, number, number, string?, number?];

/**
 * Hues are our own choice; `sources.ts` says where each reflectance comes from. Depths are of joints, laps or stones.
 */
const rows: Record<SurfaceClass, readonly Row[]> = {
  masonry: [
    ['brickBuffWeathered', 'weathered buff brick', 0.35, 0.46, 0.34, 0.225, 'brick', 3.8],
    ['brickRed', 'red brick', 0.25, 0.41, 0.2, 0.12, 'brickRunning', 3.8],
    ['brickEnglish', 'red brick in English bond', 0.22, 0.37, 0.175, 0.11, 'brickEnglish', 4],
    ['brickOld', 'old brick', 0.22, 0.32, 0.2, 0.135, 'brickWorn', 5],
    ['brickPainted', 'white painted brick', 0.6, 0.61, 0.6, 0.57, 'brickRunning', 3.8],
    ['limestone', 'limestone', 0.5, 0.55, 0.5, 0.4, 'dressedStone', 1],
    ['ashlar', 'ashlar stone', 0.45, 0.5, 0.45, 0.36, 'ashlar', 4],
    ['copingStone', 'coping stone', 0.4, 0.42, 0.4, 0.35, 'coping', 3],
    ['rubbleStone', 'rubble stone', 0.35, 0.4, 0.35, 0.27, 'rubble', 8],
    ['concrete', 'concrete', 0.4, 0.41, 0.4, 0.37, 'cast', 3],
    ['renderPale', 'pale render', 0.65, 0.69, 0.65, 0.57, 'render', 1.2],
    ['renderGrey', 'grey render', 0.35, 0.35, 0.35, 0.34, 'render', 1.2],
    ['stuccoWhite', 'white stucco', 0.65, 0.66, 0.65, 0.62, 'stucco', 2],
    ['sidingPale', 'pale lap siding', 0.55, 0.56, 0.55, 0.52, 'siding', 12],
    ['sidingGrey', 'pale grey lap siding, 5 in', 0.55, 0.53, 0.55, 0.57, 'sidingFine', 11],
    ['claddingBrown', 'dark brown timber boards', 0.12, 0.168, 0.116, 0.078, 'boards', 12],
    ['claddingCedar', 'cedar boards', 0.25, 0.345, 0.24, 0.155, 'boards', 12],
    ['shingleWall', 'timber shingles', 0.2, 0.24, 0.2, 0.15, 'shakes', 10],
    ['poolTile', 'pool tile', 0.35, 0.2, 0.36, 0.52, 'mosaic', 1],
  ],
  smooth: [
    ['paintedTimberWhite', 'white painted timber', 0.6, 0.61, 0.6, 0.57],
    ['paintedTimberGreen', 'green painted timber', 0.08, 0.03, 0.1, 0.058],
    ['paintedTimberDark', 'dark painted timber', 0.08, 0.076, 0.08, 0.088],
    ['timberBrown', 'brown stained timber', 0.12, 0.168, 0.116, 0.078],
    ['terracotta', 'terracotta', 0.25, 0.44, 0.2, 0.105],
    ['glass', 'window glass at night', 0.08, 0.08, 0.08, 0.08],
  ],
  roof: [
    ['slate', 'dark slate', 0.08, 0.077, 0.08, 0.088, 'slate', 6],
    ['roofTileClay', 'clay roof tile', 0.2, 0.34, 0.172, 0.105, 'plainTile', 12],
    ['roofTileConcrete', 'grey concrete roof tile', 0.2, 0.2, 0.2, 0.195, 'plainTile', 12],
    ['shingleRoof', 'mineral felt shingle roof', 0.1, 0.105, 0.1, 0.093, 'shingle', 4],
    ['shingleCedar', 'weathered cedar shingle roof', 0.2, 0.21, 0.2, 0.18, 'shakes', 10],
    ['roofMetal', 'standing seam metal roof', 0.25, 0.24, 0.25, 0.265, 'seams', 25],
  ],
  ground: [
    ['gravel', 'gravel', 0.2, 0.22, 0.2, 0.165, 'gravel', 9],
    ['gravelPale', 'pale gravel', 0.3, 0.34, 0.3, 0.23, 'gravel', 9],
    ['paving', 'stone paving', 0.25, 0.265, 0.25, 0.22, 'flags', 5],
    ['pavingConcrete', 'concrete paving', 0.35, 0.355, 0.35, 0.33, 'flags', 5],
    ['brickPaving', 'brick paving', 0.2, 0.33, 0.17, 0.105, 'pavers', 4],
    ['setts', 'granite setts', 0.18, 0.185, 0.18, 0.172, 'setts', 8],
    ['decking', 'timber decking', 0.2, 0.27, 0.19, 0.125, 'decking', 6],
    ['lawn', 'lawn', 0.06, 0.05, 0.069, 0.022, 'lawn', 20],
    ['mulch', 'bark mulch', 0.05, 0.07, 0.047, 0.03, 'mulch', 14],
    ['soil', 'moist soil', 0.07, 0.09, 0.067, 0.045, 'crumbs', 10],
    ['asphalt', 'asphalt', 0.07, 0.07, 0.07, 0.069, 'asphalt', 2],
    ['sand', 'dry sand', 0.3, 0.36, 0.3, 0.2, 'asphalt', 2],
  ],
  metal: [
    ['ironBlack', 'black painted iron', 0.05, 0.05, 0.05, 0.051],
    ['leadGrey', 'weathered lead', 0.25, 0.245, 0.25, 0.262],
    ['steelGalvanised', 'galvanised steel', 0.4, 0.4, 0.4, 0.41],
    ['steelStainless', 'brushed stainless steel', 0.5, 0.5, 0.5, 0.495],
    ['brassAged', 'aged brass', 0.25, 0.36, 0.23, 0.09],
    ['copperAged', 'aged copper', 0.15, 0.2, 0.14, 0.1],
    ['steelRusted', 'weathering steel', 0.12, 0.26, 0.09, 0.045],
  ],
  bark: [
    ['barkBrown', 'brown bark', 0.12, 0.155, 0.115, 0.08, 'bark', 8],
    ['barkPale', 'pale birch bark', 0.45, 0.47, 0.45, 0.4, 'bark', 4],
    ['barkGrey', 'grey bark', 0.2, 0.21, 0.2, 0.175, 'bark', 6],
  ],
  water: [['water', 'water', 0.02, 0.02, 0.02, 0.02]],
};

export const materialSheets: readonly MaterialSheet[] = Object.entries(rows).flatMap(([surfaceClass, list]) =>
  list.map(([id, label, reflectance, r, g, b, relief, depthMm = 0]) => ({
    id,
    label,
    reflectanceRgb: reflectanceOfHue([r, g, b], reflectance),
    reflectance,
    surfaceClass: surfaceClass as SurfaceClass,
    ...(relief === undefined ? {} : { relief }),
    reliefDepthM: depthMm / 1000,
  })),
);

export const materialIds: readonly string[] = materialSheets.map((entry) => entry.id);

const sheetsById = new Map(materialSheets.map((entry) => [entry.id, entry]));

/** The sheet of a library material, or undefined when the library has none of that id. */
export function findMaterial(id: string): MaterialSheet | undefined {
  return sheetsById.get(id);
}
