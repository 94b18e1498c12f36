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
uniform float uOutput;
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
// Height of the bark, 0 … 1: long ridges that split and join; pale bark is smooth with level scars.
float barkHeight(vec4 w) {
  if (vBark > 1.5 && vBark < 2.5) {
    float scar = noise(vec3(w.xz * 14.0, w.w * 70.0));
    return 0.75 - 0.45 * smoothstep(0.68, 0.8, scar) * smoothstep(0.35, 0.6, noise(vec3(w.xz * 5.0, w.w * 7.0)));
  }
  float warp = noise(vec3(w.xyz * 18.0 + w.w * 3.0));
  vec3 q = vec3(w.xyz * 46.0 + vec3(0.0, 0.0, 0.0)) + vec3(warp * 1.6, w.w * 6.5, -warp * 1.6);
  float ridge = 1.0 - abs(2.0 * noise(q) - 1.0);
  float fine = noise(q * 2.7 + 9.0);
  return 0.72 * smoothstep(0.05, 0.75, ridge) + 0.28 * fine;
}
void main() {
  vec3 n = normalize(vNormal);
  vec3 colour = vColour;
  vec3 E = vLight;
  if (vBark > 0.5) {
    // Relief fades when a ridge (about 2 cm) falls under a pixel and a half.
    float seen = clamp(0.02 / (uPixelRad * max(vDistance, 0.1)) - 0.8, 0.0, 1.0);
    float h = barkHeight(vWood);
    float depth = vBark > 1.5 && vBark < 2.5 ? 0.5 : 1.0;
    vec2 slope = vec2(dFdx(h), dFdy(h));
    vec3 dpx = dFdx(vWood.xyz), dpy = dFdy(vWood.xyz);
    float ax = dFdx(vWood.w), ay = dFdy(vWood.w);
    vec3 axis = normalize(cross(n, vec3(n.z, 0.001, -n.x)));
    vec3 px = dpx + axis * ax, py = dpy + axis * ay;
    vec3 r1 = cross(py, n), r2 = cross(n, px);
    float det = dot(px, r1);
    vec3 grad = sign(det) * (slope.x * r1 + slope.y * r2) / max(abs(det), 1e-9);
    vec3 m = normalize(n - 0.008 * depth * seen * clamp(grad, -60.0, 60.0));
    float one = length(vFrom);
    vec3 from = one > 1e-3 ? vFrom / one : n;
    float turned = (dot(m, from) + 0.25) / (max(dot(n, from), 0.0) + 0.25);
    E *= mix(1.0, clamp(turned, 0.15, 1.9), 0.85 * one);
    float hollow = mix(1.0, 0.5 + 0.72 * h, 0.75 * depth * seen);
    E *= hollow;
    float patchy = noise(vWood.xyz * 6.0 + vec3(0.0, vWood.w * 1.7, 3.0));
    colour *= mix(0.86, 1.14, patchy);
    if (vBark > 1.5 && vBark < 2.5) colour *= mix(vec3(0.3, 0.27, 0.24), vec3(1.08), smoothstep(0.35, 0.7, mix(0.75, h, max(seen, 0.4))));
  }
  vec3 L = colour * E / 3.14159265;
  float lux = dot(vLight, vec3(0.2126, 0.7152, 0.0722));
  gl_FragColor = uOutput > 0.5 && uOutput < 1.5 ? vec4(vec3(lux), 1.0) : vec4(min(L, vec3(30000.0)), 1.0);
}
`;
