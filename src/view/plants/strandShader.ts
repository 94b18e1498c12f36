import { heldGlsl } from '../layer.ts';

/** Trunks, limbs, posts and bars: light per ring vertex from the field, bark from solid noise in the limb's own axes. */
export const strandVertex = `
precision highp float;
attribute vec4 aWood;
attribute vec4 aColour;
attribute vec4 aLight;
attribute vec3 aFrom;
varying vec3 vLight;
varying vec3 vFrom;
varying vec3 vNormal;
varying vec4 vWood;
varying vec3 vColour;
flat varying float vBark;
varying float vDistance;
void main() {
  vLight = aLight.rgb;
  vFrom = aFrom;
  vNormal = normal;
  vWood = aWood;
  vColour = aColour.rgb;
  vBark = aColour.a;
  vec4 view = viewMatrix * vec4(position, 1.0);
  vDistance = -view.z;
  gl_Position = projectionMatrix * view;
}
`;

export const strandFragment = `
precision highp float;
${heldGlsl}uniform float uOutput;
uniform float uPixelRad;
varying vec3 vLight;
varying vec3 vFrom;
varying vec3 vNormal;
varying vec4 vWood;
varying vec3 vColour;
flat varying float vBark;
varying float vDistance;
float hash(vec3 p) {
  p = fract(p * vec3(0.1031, 0.11369, 0.13787));
  p += dot(p, p.yzx + 19.19);
  return fract((p.x + p.y) * p.z);
}
float noise(vec3 p) {
  vec3 i = floor(p), f = fract(p);
  f = f * f * (3.0 - 2.0 * f);
  return mix(mix(mix(hash(i), hash(i + vec3(1, 0, 0)), f.x), mix(hash(i + vec3(0, 1, 0)), hash(i + vec3(1, 1, 0)), f.x), f.y),
    mix(mix(hash(i + vec3(0, 0, 1)), hash(i + vec3(1, 0, 1)), f.x), mix(hash(i + vec3(0, 1, 1)), hash(i + vec3(1, 1, 1)), f.x), f.y), f.z);
}
// Bark as x: height 0 (furrow) … 1 (ridge), y: colour factor. w: offset from the centre line and length run; p: width of a ridge.
// Ridged bark is a net of furrows drawn out along the limb, with cracks across its plates.
vec2 ridged(vec4 w, float p) {
  float warp = noise(w.xyz * 0.45 / p + w.w * 2.0);
  vec3 q = vec3(w.xyz / p) + vec3(warp * 1.3, w.w / (p * 6.5), -warp * 1.3);
  float net = smoothstep(0.015, 0.17, abs(0.62 * noise(q) + 0.38 * noise(q * 2.4 + 5.0) - 0.5));
  float crack = smoothstep(0.0, 0.1, abs(noise(w.xyz / (1.7 * p) + vec3(7.0, w.w / (1.6 * p), 3.0)) - 0.5));
  float fine = noise(w.xyz * 3.1 / p + vec3(0.0, w.w / p, 0.0));
  float h = net * mix(0.72, 1.0, crack) * mix(0.8, 1.0, fine);
  return vec2(h, mix(0.6, 1.16, h));
}
// Birch: smooth, level dashes, dark scars where limbs left and at the foot.
vec2 birch(vec4 w, float radius) {
  float dash = noise(vec3(w.xz * 13.0, w.w * 62.0)) * 0.65 + noise(vec3(w.xz * 30.0, w.w * 150.0)) * 0.35;
  float band = smoothstep(0.3, 0.62, noise(vec3(w.xz * 4.0, w.w * 5.0)));
  float mark = smoothstep(0.6, 0.72, dash) * band;
  float scar = smoothstep(0.7, 0.76, noise(vec3(w.xz * 9.0 + 3.0, w.w * 4.3 + w.x * 6.0)));
  float foot = smoothstep(0.55, 0.0, w.w) * smoothstep(0.03, 0.06, radius) * smoothstep(0.3, 0.6, noise(w.xyz * 16.0 + w.w * 4.0));
  float dark = max(max(mark * 0.75, scar), foot);
  dark = max(dark, smoothstep(0.022, 0.009, radius));
  return vec2(1.0 - 0.6 * dark, mix(1.06, 0.2, dark));
}
// Palm: rings where old fronds stood, fibres along the trunk.
vec2 rings(vec4 w, float radius) {
  float wave = w.w / 0.075 + 0.5 * noise(vec3(w.xz * 7.0, w.w * 2.0));
  float t = fract(wave);
  float groove = smoothstep(0.0, 0.16, t) * (1.0 - smoothstep(0.86, 1.0, t));
  float fibre = noise(vec3(w.xz * 90.0, w.w * 9.0));
  float h = groove * mix(0.75, 1.0, fibre);
  return vec2(h, mix(0.5, 1.12, h) * mix(0.85, 1.1, noise(vec3(floor(wave) * 3.7))));
}
void main() {
  vec3 n = normalize(vNormal);
  vec3 colour = vColour;
  vec3 E = vLight;
  if (vBark > 0.5) {
    float radius = length(vWood.xyz);
    bool pale = vBark > 1.5 && vBark < 2.5;
    bool palm = vBark > 3.5;
    float ridge = palm ? 0.05 : pale ? 0.02 : clamp((vBark > 2.5 ? 0.1 : 0.13) * radius, 0.008, 0.04);
    // Relief fades when a ridge falls under a pixel or two.
    float seen = clamp(0.55 * ridge / (uPixelRad * max(vDistance, 0.1)) - 0.35, 0.0, 1.0);
    vec2 bark = pale ? birch(vWood, radius) : palm ? rings(vWood, radius) : ridged(vWood, ridge);
    float deep = (pale ? 0.06 : palm ? 0.22 : vBark > 2.5 ? 0.24 : 0.4) * ridge;
    // Stout trunks are fluted: slow swellings round and up the trunk.
    float flute = palm ? 0.5 : noise(vWood.xyz * 1.7 / max(radius, 0.02) + vec3(vWood.w * 0.35, vWood.w * 0.9, 0.0));
    float H = deep * seen * bark.x + 0.11 * radius * flute;
    vec2 slope = vec2(dFdx(H), dFdy(H));
    vec3 dpx = dFdx(vWood.xyz), dpy = dFdy(vWood.xyz);
    float ax = dFdx(vWood.w), ay = dFdy(vWood.w);
    vec3 axis = normalize(cross(n, vec3(n.z, 0.001, -n.x)));
    vec3 px = dpx + axis * ax, py = dpy + axis * ay;
    vec3 r1 = cross(py, n), r2 = cross(n, px);
    float det = dot(px, r1);
    vec3 grad = sign(det) * (slope.x * r1 + slope.y * r2) / max(abs(det), 1e-9);
    float steep = length(grad);
    vec3 m = normalize(n - grad * min(1.0, 0.9 / max(steep, 1e-4)));
    float one = length(vFrom);
    vec3 from = one > 1e-3 ? vFrom / one : n;
    float turned = (dot(m, from) + 0.25) / (max(dot(n, from), 0.0) + 0.25);
    E *= mix(1.0, clamp(turned, 0.15, 1.9), 0.85 * one);
    colour *= mix(pale ? 0.9 : 0.93, bark.y, max(seen, pale ? 0.55 : 0.0));
    colour *= mix(0.86, 1.14, noise(vWood.xyz * 5.0 + vec3(0.0, vWood.w * 1.3, 3.0)));
  }
  vec3 L = colour * E / 3.14159265;
  float lux = dot(vLight, vec3(0.2126, 0.7152, 0.0722));
  gl_FragColor = uOutput > 0.5 && uOutput < 1.5 ? vec4(vec3(lux), 1.0) : vec4(held(L), 1.0);
}
`;
