import { skyGlsl } from '../../exposure/index.ts';
import { SKYLINE_LAYERS, SKYLINE_TOP_M } from './skyline.ts';

const layerLines = SKYLINE_LAYERS.map(
  (layer, k) => `
  {
    float top = (heights.${'xyzw'[k]} * ${SKYLINE_TOP_M.toFixed(1)} - uEyeM) / ${layer.distanceM.toFixed(1)};
    float cover = clamp((top - rise) / max(pixel * 1.3, 1e-5) + 0.5, 0.0, 1.0);
    float haze = 1.0 - exp(-${layer.distanceM.toFixed(1)} / uHazeM);
    // Crowns are not black paper: a little sky comes through their edges.
    float depth = clamp((top - rise) * ${layer.distanceM.toFixed(1)} / 0.8, 0.0, 1.0);
    L = mix(L, mix(uWood, horizon, haze), cover * mix(0.75, 1.0, depth));
  }`,
)
  .reverse()
  .join('');

export const skyVertex = `
precision highp float;
uniform mat4 uUnproject;
varying vec3 vRay;
void main() {
  vec4 far = uUnproject * vec4(position.xy, 1.0, 1.0);
  vRay = far.xyz / far.w - cameraPosition;
  gl_Position = vec4(position.xy, 1.0, 1.0);
}
`;

/** Sky of the solver, distant layers with haze, dark ground beyond the lot, moon's disc. */
export const skyFragment = `
precision highp float;
${skyGlsl}
uniform vec3 uSky[SKY_BASIS_COUNT];
uniform sampler2D uSkyline;
uniform float uOutput;
uniform float uPixelRad;
uniform float uEyeM;
uniform float uGroundM;
uniform float uHazeM;
uniform vec3 uWood;
uniform vec3 uGround;
uniform vec3 uMoonDirection;
uniform vec4 uMoon;
uniform vec3 uSunward;
varying vec3 vRay;
void main() {
  vec3 d = normalize(vRay);
  float level = length(d.xz);
  float rise = d.y / max(level, 1e-4);
  vec3 L = skyRadiance(d, uSky);
  vec3 horizon = skyRadiance(normalize(vec3(d.x, 0.02 * level, d.z)), uSky);
  // Moon: half a degree wide; the quarter moon shows its sunward half.
  float moon = clamp((cos(0.00452) - dot(d, uMoonDirection)) / -(2.0 * uPixelRad * 0.00452) + 0.5, 0.0, 1.0);
  float half_ = uMoon.a > 0.5 ? smoothstep(-0.1, 0.1, dot(d - uMoonDirection, uSunward) / 0.00452) : 1.0;
  L += moon * half_ * uMoon.rgb;
  float azimuth = atan(d.x, -d.z);
  vec4 heights = texture2D(uSkyline, vec2(azimuth / 6.2831853 + 1.0, 0.5));
  float pixel = uPixelRad;
  ${layerLines}
  // Beyond the lot: meadow that fades into the haze.
  float groundAt = rise < 0.0 ? (uEyeM - uGroundM) / max(-rise, 1e-4) : 1e6;
  float edge = clamp(((uGroundM - uEyeM) / 75.0 - rise) / max(pixel * 3.0, 0.002), 0.0, 1.0);
  vec3 meadow = mix(uGround, horizon, 1.0 - exp(-groundAt / uHazeM));
  L = mix(L, meadow, edge);
  bool lux = uOutput > 0.5 && uOutput < 1.5;
  gl_FragColor = lux ? vec4(0.0) : vec4(min(L, vec3(30000.0)), 1.0);
}
`;

/** Stars and far windows: one small soft dot each, its flux kept whatever the pixel. */
export const dotVertex = `
precision highp float;
attribute vec4 aColour;
attribute float aLux;
uniform float uPixelRad;
uniform float uDotPx;
varying vec3 vL;
void main() {
  vec4 clip = projectionMatrix * viewMatrix * vec4(cameraPosition + position * 500.0, 1.0);
  gl_Position = vec4(clip.xy, clip.w * 0.999999, clip.w);
  gl_PointSize = uDotPx;
  // Weights of the dot fall off as a cone: its mean over the square is π/12.
  float solidAngle = uPixelRad * uPixelRad * uDotPx * uDotPx * 0.2618;
  vL = aColour.rgb * aLux / solidAngle;
}
`;
export const dotFragment = `
precision highp float;
uniform float uOutput;
varying vec3 vL;
void main() {
  float w = max(0.0, 1.0 - 2.0 * length(gl_PointCoord - 0.5));
  if (uOutput > 0.5 && uOutput < 1.5) discard;
  gl_FragColor = vec4(min(vL * w, vec3(30000.0)), 0.0);
}
`;
