export { type AngleEntry, parseAngle } from './angle.ts';
export { degToRad, fcToLx, feetToM, inchesToM, lxToFc, mToFeet, mToInches, radToDeg } from './convert.ts';
export {
  formatAngle,
  formatFigure,
  formatIlluminance,
  formatLength,
  type LengthSystem,
  type LightUnit,
  spokenLength,
} from './display.ts';
export { type LengthEntry, type LengthOptions, type LengthUnit, parseLength } from './length.ts';
export type { Refusal } from './refusals.ts';
