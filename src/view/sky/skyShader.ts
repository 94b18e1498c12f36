import { skyGlsl } from '../../exposure/index.ts';
import { heldGlsl } from '../layer.ts';
import { SKYLINE_LAYERS, SKYLINE_TOP_M } from './skyline.ts';
import { eyeLimitGlsl, MAGNITUDE_ZERO_LX } from './stars.ts';

const m = (metres: number): string => metres.toFixed(1);

/** From far to near, each over what stands behind it; haze takes on the horizon's light. */
const layerLines = SKYLINE_LAYERS.map(
  ({ distanceM }, k) =>
    `L = overlay(L, horizon, heights.${'xyzw'[k]} * ${m(SKYLINE_TOP_M)}, built.${'xyzw'[k]}, rise, azimuth, ${m(distanceM)}, ${m(k * 37)});`,
)
  .reverse()
  .join('\n    ');

export const skyVertex = `
precision highp float;
uniform mat4 uUnproject;
uniform float uSplit;
varying vec3 vRay;
void main() {
  // From the foot of the picture to the split, or from there to its top.
#ifdef SKYLINE
  vec2 at = vec2(position.x, mix(-1.0, uSplit, position.y));
#else
  vec2 at = vec2(position.x, mix(uSplit, 1.0, position.y));
#endif
  vec4 far = uUnproject * vec4(at, 1.0, 1.0);
  vRay = far.xyz / far.w - cameraPosition;
  gl_Position = vec4(at, 1.0, 1.0);
}
`;

/**
 * Sky of the solver, moon's disc; with SKYLINE distant layers with haze and dark ground beyond the lot. Two programs, because
 * software rasterisers run both sides of a branch: over the silhouettes the picture does not pay for them.
 */
export const skyFragment = `
precision highp float;
${skyGlsl}${heldGlsl}
uniform vec3 uSky[SKY_BASIS_COUNT];
uniform sampler2D uSkyline;
uniform float uSkylineTop;
uniform float uOutput;
uniform float uPixelRad;
uniform float uEyeM;
uniform float uGroundM;
uniform float uHazeM;
uniform vec3 uWood;
uniform vec3 uHouse;
uniform vec3 uGround;
uniform vec3 uMoonDirection;
uniform vec4 uMoon;
uniform vec3 uSunward;
varying vec3 vRay;
#ifdef SKYLINE
float hash(vec2 p) {
  vec3 q = fract(vec3(p.xyx) * 0.1031);
  q += dot(q, q.yzx + 33.33);
  return fract((q.x + q.y) * q.z);
}
float noise(vec2 p) {
  vec2 i = floor(p), f = fract(p);
  f = f * f * (3.0 - 2.0 * f);
  return mix(mix(hash(i), hash(i + vec2(1.0, 0.0)), f.x), mix(hash(i + vec2(0.0, 1.0)), hash(i + 1.0), f.x), f.y);
}
// Crowns end in leaves with sky between them, roofs in an edge; both are dark below, where they see less sky.
vec3 overlay(vec3 L, vec3 horizon, float topM, float built, float rise, float azimuth, float distanceM, float seed) {
  float y = rise * distanceM + uEyeM;
  float pixelM = uPixelRad * distanceM;
  float under = topM - y;
  if (under < -1.2 - pixelM) return L;
  float clump = 1.0 / max(0.5, 1.7 * pixelM);
  vec2 at = vec2(azimuth * distanceM + seed, y) * clump;
  float leaves = 0.6 * noise(at) + 0.4 * noise(at * 2.3 + 9.0);
  float cover = mix(smoothstep(-0.7, 0.9, under + 2.2 * (leaves - 0.55)), clamp(under / (1.3 * pixelM) + 0.5, 0.0, 1.0), built);
  float haze = 1.0 - exp(-distanceM / uHazeM);
  vec3 wood = uWood * (0.35 + 0.9 * leaves) * (0.4 + 0.6 * exp(-max(under, 0.0) / 2.5));
  vec3 house = uHouse * (y > 4.9 ? 0.3 : 0.8);
  return mix(L, mix(mix(wood, house, built), horizon, haze), cover);
}
#endif
void main() {
  vec3 d = normalize(vRay);
  float level = length(d.xz);
  float rise = d.y / max(level, 1e-4);
  vec3 L = skyRadiance(d, uSky);
  // Moon: half a degree wide, its terminator an ellipse; uMoon.a is the cosine of its elongation.
  float off = length(d - uMoonDirection) / 0.00452;
  if (off < 1.5) {
    float disc = clamp((1.0 - off) * 0.00452 / uPixelRad + 0.5, 0.0, 1.0);
    float x = dot(d - uMoonDirection, uSunward) / 0.00452;
    float rim = sqrt(max(0.0, 1.0 - off * off + x * x));
    float lit = smoothstep(-0.06, 0.06, x - uMoon.a * rim);
    L += disc * lit * uMoon.rgb;
  }
#ifdef SKYLINE
  if (rise < uSkylineTop) {
    vec3 horizon = skyRadiance(normalize(vec3(d.x, 0.02 * level, d.z)), uSky);
    float azimuth = atan(d.x, -d.z);
    float column = azimuth / 6.2831853 + 1.0;
    vec4 heights = texture2D(uSkyline, vec2(column, 0.25));
    vec4 built = texture2D(uSkyline, vec2(column, 0.75));
    ${layerLines}
    // Beyond the lot: meadow that fades into the haze.
    float groundAt = rise < 0.0 ? (uEyeM - uGroundM) / max(-rise, 1e-4) : 1e6;
    float edge = clamp(((uGroundM - uEyeM) / 75.0 - rise) / max(uPixelRad * 3.0, 0.002), 0.0, 1.0);
    L = mix(L, mix(uGround, horizon, 1.0 - exp(-groundAt / uHazeM)), edge);
  }
#endif
  bool lux = uOutput > 0.5 && uOutput < 1.5;
  gl_FragColor = lux ? vec4(0.0) : vec4(held(L), 1.0);
}
`;

const dotPlace = `
  vec4 clip = projectionMatrix * viewMatrix * vec4(cameraPosition + position * 500.0, 1.0);
  gl_Position = vec4(clip.xy, clip.w * 0.999999, clip.w);
`;

/**
 * A star is one small soft dot, its flux kept whatever the pixel. It shows where the sky behind it lets it
 * (`eyeLimitMagnitude`). A camera shows some that an eye does not: the limit is taken 2 magnitudes fainter, and the dots 8 times
 * as bright, by eye: declared display.
 */
export const starVertex = `
precision highp float;
${skyGlsl}${eyeLimitGlsl}
uniform vec3 uSky[SKY_BASIS_COUNT];
uniform float uPixelRad;
attribute vec4 aLight;
varying vec3 vL;
void main() {
${dotPlace}
  float px = 2.0;
  gl_PointSize = px;
  float L = dot(skyRadiance(position, uSky), vec3(0.2126, 0.7152, 0.0722));
  float limit = eyeLimitMagnitude(L) + 2.0;
  float magnitude = -0.752575 * log2(aLight.w / ${MAGNITUDE_ZERO_LX.toExponential(3)});
  // Weights of the dot fall off as a cone: its mean over the square is π/12.
  vL = aLight.rgb * aLight.w / (uPixelRad * uPixelRad * px * px * 0.2618) * 8.0 * clamp((limit - magnitude) * 1.4, 0.0, 1.0);
  if (limit < magnitude) gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
}
`;

/** A far window keeps its flux too: as large as it is seen, never smaller than two pixels. */
export const windowVertex = `
precision highp float;
uniform float uPixelRad;
attribute vec4 aLight;
attribute float aSizeRad;
varying vec3 vL;
varying float vPx;
void main() {
${dotPlace}
  vPx = max(2.0, aSizeRad / uPixelRad);
  gl_PointSize = vPx;
  vL = aLight.rgb * aLight.w / (uPixelRad * uPixelRad * vPx * vPx * (vPx < 3.0 ? 0.2618 : 0.7));
}
`;
export const starFragment = `
precision highp float;
${heldGlsl}uniform float uOutput;
varying vec3 vL;
void main() {
  if (uOutput > 0.5 && uOutput < 1.5) discard;
  gl_FragColor = vec4(held(vL * max(0.0, 1.0 - 2.0 * length(gl_PointCoord - 0.5))), 0.0);
}
`;
export const windowFragment = `
precision highp float;
${heldGlsl}uniform float uOutput;
varying vec3 vL;
varying float vPx;
void main() {
  if (uOutput > 0.5 && uOutput < 1.5) discard;
  vec2 p = abs(gl_PointCoord - 0.5) * vPx;
  float w = max(0.0, 1.0 - 2.0 * length(gl_PointCoord - 0.5));
  if (vPx >= 3.0) {
    vec2 inside = clamp(vec2(0.39, 0.48) * vPx - p, 0.0, 1.0);
    float bar = clamp(p.x - 0.025 * vPx + 0.5, 0.3, 1.0);
    w = inside.x * inside.y * bar * (0.8 + 0.4 * gl_PointCoord.x);
  }
  gl_FragColor = vec4(held(vL * w), 0.0);
}
`;
