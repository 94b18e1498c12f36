import type { MaterialSheet, SurfaceClass } from './types.ts';

const TABLE = 'IES handbook, table of reflectances of building materials and outside surfaces';
const MEMORY = 'from memory, no table at hand';

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

function sheet(
  id: string,
  label: string,
  reflectance: number,
  hue: Hue,
  surfaceClass: SurfaceClass,
  source: string,
  relief?: string,
  reliefDepthM = 0,
): MaterialSheet {
  return {
    id,
    label,
    reflectanceRgb: reflectanceOfHue(hue, reflectance),
    reflectance,
    source,
    surfaceClass,
    ...(relief === undefined ? {} : { relief }),
    reliefDepthM,
  };
}

/** Hues are our own choice; luminous reflectances carry their source. Depths are of joints or stones, metres. */
export const materialSheets: readonly MaterialSheet[] = [
  sheet(
    'brickBuffWeathered',
    'weathered buff brick',
    0.35,
    [0.46, 0.34, 0.225],
    'masonry',
    `${TABLE}: brick, dark buff .40; weathered buff .35 is an estimate of medium trust`,
    'brick',
    0.0038,
  ),
  sheet('brickRed', 'red brick', 0.25, [0.41, 0.2, 0.12], 'masonry', `${TABLE}: red brick .10 to .25`, 'brick', 0.0038),
  sheet(
    'brickOld',
    'old brick',
    0.22,
    [0.32, 0.2, 0.135],
    'masonry',
    `${TABLE}: red brick .10 to .25, weathered`,
    'brick',
    0.005,
  ),
  sheet(
    'limestone',
    'limestone',
    0.5,
    [0.55, 0.5, 0.4],
    'masonry',
    `${MEMORY}; the table gives white marble .45 and cement .27`,
    'dressedStone',
    0.001,
  ),
  sheet('concrete', 'concrete', 0.4, [0.41, 0.4, 0.37], 'smooth', `${TABLE}: concrete .40`),
  sheet(
    'renderPale',
    'pale render',
    0.65,
    [0.69, 0.65, 0.57],
    'masonry',
    `${TABLE}: white stucco .65 to .80, cream .55 to .65`,
    'render',
    0.0012,
  ),
  sheet('slate', 'dark slate', 0.08, [0.077, 0.08, 0.088], 'roof', `${TABLE}: slate, dark .08`, 'slate', 0.006),
  sheet('gravel', 'gravel', 0.2, [0.22, 0.2, 0.165], 'ground', `${TABLE}: gravel .13 to .30`, 'gravel', 0.009),
  sheet('paving', 'stone paving', 0.25, [0.265, 0.25, 0.22], 'ground', `${TABLE}: bluestone .18, cement .27`, 'flags', 0.005),
  sheet('lawn', 'lawn', 0.06, [0.05, 0.069, 0.022], 'ground', `${TABLE}: grass, dark green .06`, 'lawn', 0.02),
  sheet('mulch', 'bark mulch', 0.05, [0.07, 0.047, 0.03], 'ground', `${MEMORY}: bark mulch .05 to .10`, 'mulch', 0.014),
  sheet('soil', 'moist soil', 0.07, [0.09, 0.067, 0.045], 'ground', `${TABLE}: moist earth .07`, 'mulch', 0.014),
  sheet('asphalt', 'asphalt', 0.07, [0.07, 0.07, 0.069], 'ground', `${TABLE}: asphalt, clean .07`, 'asphalt', 0.002),
  sheet(
    'paintedTimberWhite',
    'white painted timber',
    0.6,
    [0.61, 0.6, 0.57],
    'smooth',
    `${TABLE}: white paint, new .75, old .55`,
  ),
  sheet('paintedTimberGreen', 'green painted timber', 0.08, [0.03, 0.1, 0.058], 'smooth', `${MEMORY}: dark paint .05 to .12`),
  sheet('paintedTimberDark', 'dark painted timber', 0.08, [0.076, 0.08, 0.088], 'smooth', `${MEMORY}: dark paint .05 to .12`),
  sheet('sidingPale', 'pale lap siding', 0.55, [0.56, 0.55, 0.52], 'masonry', `${TABLE}: white paint, old .55`, 'siding', 0.012),
  sheet('timberBrown', 'brown stained timber', 0.12, [0.2, 0.112, 0.055], 'smooth', `${MEMORY}: dark stained wood .08 to .12`),
  sheet('ironBlack', 'black painted iron', 0.05, [0.05, 0.05, 0.051], 'metal', `${MEMORY}: black paint .04 to .06`),
  sheet('leadGrey', 'weathered lead', 0.25, [0.245, 0.25, 0.262], 'metal', `${MEMORY}: weathered sheet lead .2 to .3`),
  sheet('terracotta', 'terracotta', 0.25, [0.44, 0.2, 0.105], 'smooth', `${MEMORY}; the table gives dark red glazed brick .30`),
  sheet('barkBrown', 'brown bark', 0.12, [0.155, 0.115, 0.08], 'bark', `${MEMORY}: bark .05 to .20`, 'bark', 0.008),
  sheet('barkPale', 'pale birch bark', 0.45, [0.47, 0.45, 0.4], 'bark', `${MEMORY}: birch bark .4 to .6`, 'bark', 0.004),
  sheet('barkGrey', 'grey bark', 0.2, [0.21, 0.2, 0.175], 'bark', `${MEMORY}: bark .05 to .20`, 'bark', 0.006),
  sheet(
    'glass',
    'window glass at night',
    0.08,
    [0.08, 0.08, 0.08],
    'smooth',
    `${TABLE}: clear glass .07; window seen from outside at night 8 %`,
  ),
  sheet('water', 'water', 0.02, [0.02, 0.02, 0.02], 'water', 'Fresnel equations, n = 1.333, at normal incidence 2.04 %'),
];

export const materialIds: readonly string[] = materialSheets.map((entry) => entry.id);

const sheetsById = new Map(materialSheets.map((entry) => [entry.id, entry]));

/** The sheet of a library material, or undefined when the library has none of that id. */
export function findMaterial(id: string): MaterialSheet | undefined {
  return sheetsById.get(id);
}
