import { GRID_X, GRID_Y } from './frameLight.ts';

/** Stiles and rails 0.11 m wide, moulding 18 mm, raised field 45 mm further in (common joinery, no source). */
export const doorVertex = `
precision highp float;
attribute vec3 aOrigin;
attribute vec3 aU;
attribute vec3 aV;
attribute vec4 aSize;
attribute float aIndex;
varying vec2 vSt;
flat varying vec4 vSize;
flat varying float vIndex;
void main() {
  vSt = position.xy * aSize.xy;
  vSize = aSize;
  vIndex = aIndex;
  vec3 p = aOrigin + vSt.x * aU + vSt.y * aV + 0.001 * cross(aU, aV);
  gl_Position = projectionMatrix * viewMatrix * vec4(p, 1.0);
}
`;

export const doorFragment = `
precision highp float;
uniform sampler2D uFrames;
uniform float uCount;
uniform float uOutput;
varying vec2 vSt;
flat varying vec4 vSize;
flat varying float vIndex;
const vec3 LUMINANCE = vec3(0.2126, 0.7152, 0.0722);
vec3 lightAt(float block) {
  vec2 cell = clamp(vSt / vSize.xy * vec2(${GRID_X}.0, ${GRID_Y}.0), vec2(0.5), vec2(${GRID_X}.0 - 0.5, ${GRID_Y}.0 - 0.5));
  return texture2D(uFrames, vec2((block * ${GRID_X}.0 + cell.x) / ${3 * GRID_X}.0, (vIndex * ${GRID_Y}.0 + cell.y) / (uCount * ${GRID_Y}.0))).rgb;
}
// Share of a pixel of width w at x that lies in [a, b].
float band(float x, float w, float a, float b) {
  return clamp((min(x + 0.5 * w, b) - max(x - 0.5 * w, a)) / w, 0.0, 1.0);
}
void main() {
  if (uOutput > 0.5 && uOutput < 1.5) discard;
  float rail = 0.11;
  vec2 wide = max(fwidth(vSt), vec2(1e-5));
  vec2 pitch = (vSize.xy - rail) / vSize.zw;
  vec2 q = mod(vSt - 0.5 * rail, pitch);
  vec2 size = pitch - rail;
  vec2 p = q - 0.5 * rail;
  // Distance inward from the panel's nearest edges; the slope runs along the nearer pair.
  vec2 edge = 0.5 * size - abs(p - 0.5 * size);
  float inside = min(edge.x, edge.y);
  bool side = edge.x < edge.y;
  float w = side ? wide.x : wide.y;
  float down = band(inside, w, 0.0, 0.018);
  float up = band(inside, w, 0.05, 0.095);
  float out_ = side ? sign(p.x - 0.5 * size.x) : sign(p.y - 0.5 * size.y);
  vec2 axis = side ? vec2(out_, 0.0) : vec2(0.0, out_);
  vec3 V = lightAt(1.0);
  float direct = dot(lightAt(0.0), LUMINANCE);
  float indirect = dot(lightAt(2.0), LUMINANCE);
  float even = max(direct + indirect, 1e-5);
  // Into the recess the moulding faces the panel's middle; the raised field faces its edge, half as steep.
  vec3 nDown = normalize(vec3(-0.8 * axis, 1.0));
  vec3 nUp = normalize(vec3(0.32 * axis, 1.0));
  float onDown = (min(max(0.0, dot(V, nDown)), 4.0 * direct) + 0.75 * indirect) / even;
  float onUp = (min(max(0.0, dot(V, nUp)), 4.0 * direct) + 0.92 * indirect) / even;
  float groove = 1.0 - 0.3 * band(inside, w, 0.018, 0.026);
  float factor = mix(mix(1.0, onDown, down), onUp, up) * groove;
  gl_FragColor = vec4(vec3(clamp(factor, 0.1, 4.0)), 1.0);
}
`;
