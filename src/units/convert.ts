/** Inches in one foot. */
const INCHES_PER_FOOT = 12;
/** Lux in one footcandle: 1 lm/ft², the foot being 0.3048 m exactly (international yard and pound agreement, 1959). */
const LX_PER_FC = 1 / (0.3048 * 0.3048);

/** Inches to metres, 1 in = 0.0254 m exactly. Multiplies before it divides, so whole and dyadic inches come out correctly rounded. */
export function inchesToM(inches: number): number {
  return (inches * 254) / 10_000;
}

/** Metres to inches. */
export function mToInches(lengthM: number): number {
  return (lengthM * 10_000) / 254;
}

/** Feet to metres, 1 ft = 0.3048 m exactly. */
export function feetToM(feet: number): number {
  return inchesToM(feet * INCHES_PER_FOOT);
}

/** Metres to feet. */
export function mToFeet(lengthM: number): number {
  return mToInches(lengthM) / INCHES_PER_FOOT;
}

/** Degrees to radians. */
export function degToRad(angleDeg: number): number {
  return (angleDeg * Math.PI) / 180;
}

/** Radians to degrees. */
export function radToDeg(angleRad: number): number {
  return (angleRad * 180) / Math.PI;
}

/** Lux to footcandles (lumens a square foot). */
export function lxToFc(illuminanceLx: number): number {
  return illuminanceLx / LX_PER_FC;
}

/** Footcandles to lux. */
export function fcToLx(illuminanceFc: number): number {
  return illuminanceFc * LX_PER_FC;
}
