/**
 * Horizontal illuminance of the clear twilight sky, lux: E = 133 775 · M, with U = sin h, X = 753.66156,
 * s = asin(X·cos h/(X + 1)), m = X·(cos s − U) + cos s, M = e^(−.21m)·U + .0289·e^(−.042m)·(1 + (h + 90)·U/57.29578).
 *
 * | symbol | code               | meaning                             | unit | domain   |
 * | ------ | ------------------ | ----------------------------------- | ---- | -------- |
 * | h      | `sunAltitudeDeg`   | apparent altitude, no refraction added | °  | −18 … 90 |
 *
 * Validity: below −18° the term is nil; airglow and starlight are `AIRGLOW_LX`, added apart. Above the horizon the figure
 * contains the direct sun.
 * @source Janiczek & DeYoung, US Naval Observatory Circular 171 (1987), as in a public port of it.
 * @see tests/exposure/sky.test.ts
 */
export function sunTwilightLx(sunAltitudeDeg: number): number {
  const h = Math.min(90, Math.max(-90, sunAltitudeDeg));
  if (h < -20) return 0;
  const rad = Math.PI / 180;
  const X = 753.66156;
  const U = Math.sin(h * rad);
  const s = Math.asin((X * Math.cos(h * rad)) / (X + 1));
  const m = X * (Math.cos(s) - U) + Math.cos(s);
  const M = Math.exp(-0.21 * m) * U + 0.0289 * Math.exp(-0.042 * m) * (1 + ((h + 90) * U) / 57.29578);
  return Math.max(0, 133775 * M);
}

/** Airglow and starlight, constant, lux (USNO Circular 171). */
export const AIRGLOW_LX = 0.0005;

/** Clear moonless sky without any town: sun term plus airglow, lux. 3.0 at −6°. */
export const clearTwilightLx = (sunAltitudeDeg: number): number => sunTwilightLx(sunAltitudeDeg) + AIRGLOW_LX;

/** log10 E = Σ c_i (h/90)^i of the full moon at mean distance (Urban & Seidelmann, Explanatory Supplement, 3rd ed., p. 518 ff). */
const moonSeries: readonly {
  fromDeg: number;
  c: readonly [number, number, number, number];
}[] = [
  { fromDeg: 20, c: [-1.95, 4.06, -4.24, 1.56] },
  { fromDeg: 5, c: [-2.58, 12.58, -42.58, 59.06] },
  { fromDeg: -0.8, c: [-2.79, 24.27, -252.95, 1321.29] },
];

/**
 * Light of the moon ÷ that of a full moon (elongation 175°), by its elongation from the sun:
 * P = .892·exp(−3.343/tan(Z/2)^.632) + .0344·(sin Z − Z·cos Z), Z the elongation; divided by 1 − .005·cos Z − .03·sin h (h = 90° here)
 * as USNO Circular 171 has it. The surge of exact opposition (1.5 times) is left out: 1 from 175° on.
 *
 * @source Janiczek & DeYoung, US Naval Observatory Circular 171 (1987), from memory; against its table in tests/exposure/sky.test.ts.
 */
export function moonPhaseShare(elongationDeg: number): number {
  const at = (deg: number): number => {
    const Z = (deg * Math.PI) / 180;
    const P = 0.892 * Math.exp(-3.343 / Math.tan(Z / 2) ** 0.632) + 0.0344 * (Math.sin(Z) - Z * Math.cos(Z));
    return P / (1 - 0.005 * Math.cos(Z) - 0.03);
  };
  return at(Math.min(175, Math.max(0.5, elongationDeg))) / at(175);
}

/** Horizontal illuminance of the full moon at an altitude, lux; 0.269 at the zenith; 0 below −0.8°. */
export function fullMoonLx(moonAltitudeDeg: number): number {
  const part = moonSeries.find((p) => moonAltitudeDeg >= p.fromDeg);
  if (!part) return 0;
  const x = moonAltitudeDeg / 90;
  return 10 ** (part.c[0] + part.c[1] * x + part.c[2] * x * x + part.c[3] * x * x * x);
}
