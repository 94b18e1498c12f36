/** n = ln ½ / ln cos(B/2), B the full beam angle (trade 0.1). */
export const beamExponent = (beamAngleFullDeg: number): number =>
  Math.log(0.5) / Math.log(Math.cos((beamAngleFullDeg * Math.PI) / 360));

/** Centre intensity of a cosⁿ beam, cd: Φ·(n + 1)/2π. */
export const centreCd = (fluxLm: number, beamAngleFullDeg: number): number =>
  (fluxLm * (beamExponent(beamAngleFullDeg) + 1)) / (2 * Math.PI);
