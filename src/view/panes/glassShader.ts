import { MOST_MIRRORS } from './glassPlanes.ts';

/** Each mirror is two pictures, 45° to the left and right of straight out; their edges as tangents. */
export const MIRROR_DOWN = 0.8;
export const MIRROR_UP = 1;
export const MIRROR_TILES = 2 * MOST_MIRRORS;
export const MIRROR_TILE_PX = { width: 320, height: 288 } as const;
/** What stands before the glass is taken to be this far out, or to lie on the ground: display only. */
export const MIRROR_FAR_M = 14;
/** Sheets at least this wide are double glazing; narrower ones sit singly in their bars (common practice, no source). */
export const DOUBLE_FROM_M = 0.42;

const f = (v: number): string => v.toFixed(6);

/**
 * Fresnel's reflectance of clear glass, n = 1.52, by its surfaces N (2 a sheet): R = N·r / (1 + (N − 1)·r) for each
 * polarisation, their mean. Straight on 8.2 % for one sheet, 15.1 % for two.
 */
export const glassGlsl = `
float surfaces(float r, float count) { return count * r / (1.0 + (count - 1.0) * r); }
float glassReflectance(float cosI, float count) {
  float cosT = sqrt(1.0 - (1.0 - cosI * cosI) / 2.3104);
  float rs = (cosI - 1.52 * cosT) / (cosI + 1.52 * cosT);
  float rp = (1.52 * cosI - cosT) / (1.52 * cosI + cosT);
  return 0.5 * (surfaces(rs * rs, count) + surfaces(rp * rp, count));
}
`;

/**
 * Place on the pictures of what stands before the glass, for a mirrored direction d from the place `from` the mirror's eye,
 * both in the pane's axes: x across all pictures 0…1, y up 0…1, z 0 where no picture holds it.
 */
export const mirrorPlaceGlsl = `
vec3 mirrorPlace(vec3 from, vec3 d, float aboveGround, float mirror) {
  float t = ${f(MIRROR_FAR_M)} / max(d.z, 0.05);
  if (d.y < 0.0) t = min(t, max(aboveGround, 0.05) / -d.y);
  vec3 q = from + d * t;
  float reach = abs(q.x) + max(q.z, 0.01);
  float side = q.x < 0.0 ? 0.0 : 1.0;
  float across = side < 0.5 ? (-q.x - q.z) / reach : (q.z - q.x) / reach;
  float up = q.y * 1.41421356 / reach;
  float inset = ${f(1 / MIRROR_TILE_PX.width)};
  float x = clamp(0.5 + 0.5 * across, inset, 1.0 - inset);
  float y = (up + ${f(MIRROR_DOWN)}) / ${f(MIRROR_DOWN + MIRROR_UP)};
  return vec3((mirror * 2.0 + side + x) / ${f(MIRROR_TILES)}, max(y, 0.004), 1.0 - smoothstep(0.94, 0.99, y));
}
`;
