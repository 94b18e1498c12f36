import { adaptGlsl, bandsGlsl, mesopicGlsl, toneGlsl } from '../../exposure/index.ts';
import { glareAtGlsl } from './shaders.ts';

/** Scene → display-linear colour as an adapted eye sees it: rods and cones, adaptation of the display, scatter, tone. */
export const mesopicFragment = `
in vec2 vUv;
uniform sampler2D tScene;
uniform float uWhite;
uniform float uAdaptation;
out vec4 outColor;
${adaptGlsl}
${toneGlsl}
${mesopicGlsl}
${glareAtGlsl}
void main() {
  vec3 scene = texelFetch(tScene, ivec2(gl_FragCoord.xy), 0).rgb;
  vec3 seen = seenByEye(scene, uAdaptation);
  vec3 shown = toneMap(seen / uWhite + glareHere());
  outColor = vec4(shown, sqrt(dot(shown, vec3(0.2126, 0.7152, 0.0722))));
}
`;

/**
 * Scene → flat band colours with lines at the edges of bands. With one band chosen the others turn grey under a hatch; on
 * the Red screen only lines are left. Alpha: root of luminance.
 */
export const bandsFragment = `
in vec2 vUv;
uniform sampler2D tScene;
uniform float uEdges[11];
uniform float uDashed;
uniform float uLineStep;
uniform int uOnly;
uniform float uPlain;
out vec4 outColor;
${bandsGlsl}
vec3 decode(vec3 v) {
  return mix(pow((v + 0.055) / 1.055, vec3(2.4)), v / 12.92, vec3(lessThanEqual(v, vec3(0.04045))));
}
float valueAt(vec2 uv) {
  vec4 s = texture(tScene, uv);
  return s.a < 0.5 ? -1.0 : dot(s.rgb, vec3(0.2126, 0.7152, 0.0722));
}
// An edge of bands lies on a slope; where the value jumps, one thing ends and another begins, and no line is due.
bool edgeBetween(float here, float there) {
  return there >= 0.0 && max(here, there) < 1.3 * min(here, there) && bandOf(here, uEdges) != bandOf(there, uEdges);
}
void main() {
  vec2 px = uLineStep / vec2(textureSize(tScene, 0));
  float value = valueAt(vUv);
  int band = bandOf(value, uEdges);
  if (value < 0.0) {
    outColor = vec4(vec3(uPlain > 0.5 ? 0.0 : 0.006), 0.077);
    return;
  }
  float right = valueAt(vUv + vec2(px.x, 0.0));
  float above = valueAt(vUv + vec2(0.0, px.y));
  bool edge = edgeBetween(value, right) || edgeBetween(value, above);
  bool drawn = edge && (uDashed < 0.5 || mod(gl_FragCoord.x + gl_FragCoord.y, 10.0) < 6.0);
  bool chosen = uOnly < 0 || band == uOnly;
  bool bounds = chosen || bandOf(right, uEdges) == uOnly || bandOf(above, uEdges) == uOnly;
  float stripe = mod(gl_FragCoord.x - gl_FragCoord.y, 8.0 * uLineStep) < 2.0 * uLineStep ? 0.045 : 0.025;
  vec3 colour = uPlain > 0.5 ? vec3(chosen && uOnly >= 0 ? 0.1 : 0.0) : chosen ? decode(bandRgb(band)) : vec3(stripe);
  if (drawn && bounds) colour = uPlain < 0.5 && uOnly < 0 && band > 6 ? vec3(0.0) : vec3(uOnly < 0 && uPlain < 0.5 ? 0.75 : 1.0);
  else if (drawn) colour = vec3(0.1);
  outColor = vec4(colour, sqrt(dot(colour, vec3(0.2126, 0.7152, 0.0722))));
}
`;
