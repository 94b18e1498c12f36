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
// Kinds of bark share five noises, each at places of its own: a rasteriser without branches would draw every kind for every pixel.
// Result x: height 0 (furrow) … 1 (ridge), y: colour factor. w: offset from the centre line and length run; p: width of a ridge.
struct Bark { vec3 warp, a, b, c, d; };
// Ridged bark is a net of furrows drawn out along the limb, with cracks across its plates.
Bark ridgedAt(vec4 w, float p) {
  return Bark(w.xyz * 0.45 / p + w.w * 2.0, w.xyz / p + vec3(0.0, w.w / (p * 6.5), 0.0), w.xyz * 2.4 / p + vec3(5.0, w.w / (p * 2.7), 5.0),
    w.xyz / (1.7 * p) + vec3(7.0, w.w / (1.6 * p), 3.0), w.xyz * 3.1 / p + vec3(0.0, w.w / p, 0.0));
}
vec2 ridged(float a, float b, float c, float fine) {
  float net = smoothstep(0.015, 0.17, abs(0.62 * a + 0.38 * b - 0.5));
  float h = net * mix(0.72, 1.0, smoothstep(0.0, 0.1, abs(c - 0.5))) * mix(0.8, 1.0, fine);
  return vec2(h, mix(0.6, 1.16, h));
}
// Birch: smooth, level dashes, dark scars where limbs left and at the foot.
Bark birchAt(vec4 w) {
  return Bark(w.xyz * 16.0 + w.w * 4.0, vec3(w.x, 0.0, w.z) * 13.0 + vec3(0.0, w.w * 62.0, 0.0), vec3(w.x, 0.0, w.z) * 30.0 + vec3(0.0, w.w * 150.0, 0.0),
    vec3(w.x, 0.0, w.z) * 4.0 + vec3(0.0, w.w * 5.0, 0.0), vec3(w.x, 0.0, w.z) * 9.0 + vec3(3.0, w.w * 4.3 + w.x * 6.0, 3.0));
}
vec2 birch(vec4 w, float radius, float warp, float a, float b, float band, float d) {
  float mark = smoothstep(0.6, 0.72, 0.65 * a + 0.35 * b) * smoothstep(0.3, 0.62, band);
  float scar = smoothstep(0.7, 0.78, d + 0.16 * (a - 0.5));
  float foot = smoothstep(0.55, 0.0, w.w) * smoothstep(0.03, 0.06, radius) * smoothstep(0.3, 0.6, warp);
  float dark = max(max(mark * 0.75, scar * 0.85), max(foot, smoothstep(0.022, 0.009, radius)));
  return vec2(1.0 - 0.6 * dark, mix(1.06, 0.2, dark));
}
// Plane: thin plates flake off a few at a time and leave patches in close tones, larger on the trunk than on limbs.
Bark planeAt(vec4 w, float size) {
  vec3 o = w.xyz / size + vec3(0.0, w.w / (1.5 * size), 0.0);
  return Bark(o * 2.3 + 9.0, o, o * 1.9 + 4.0, o * 0.4 + 11.0, o * 9.0);
}
vec2 plane(float radius, float warp, float a, float b, float broad, float fine) {
  float rag = 0.16 * (warp - 0.5) + 0.07 * (fine - 0.5);
  float old = smoothstep(0.5, 0.54, a + rag + 0.25 * (broad - 0.5));
  float young = smoothstep(0.55, 0.59, b - rag);
  float worn = smoothstep(0.62, 0.66, b + rag + 0.3 * (0.5 - a));
  float tone = mix(1.14, 0.9, old);
  tone = mix(tone, mix(1.02, 0.74, old), young) * mix(1.0, 0.86, worn * old);
  tone *= mix(0.95, 1.05, fine);
  return vec2(0.45 + 0.3 * old + 0.25 * young * old, mix(tone, 0.75, smoothstep(0.03, 0.012, radius)));
}
// Palm: scars of old fronds, each part of the way round, uneven in depth and distance; fibres along the trunk.
Bark palmAt(vec4 w) {
  return Bark(w.xyz * 9.0 + vec3(0.0, w.w * 5.0, 0.0), vec3(w.x, 0.0, w.z) * 75.0 + vec3(0.0, w.w * 7.0, 0.0), w.xyz * 26.0 + vec3(2.0, w.w * 44.0, 0.0),
    w.xyz * 5.0 + vec3(0.0, w.w * 1.6, 6.0), w.xyz * 13.0 + vec3(1.0, w.w * 21.0, 4.0));
}
vec2 palmBark(vec4 w, float warp, float fibre, float rough, float broad, float patchy) {
  float wave = w.w / 0.058 + 1.5 * warp + 0.5 * rough + 1.2 * broad;
  float t = fract(wave);
  float edge = smoothstep(0.0, 0.22, t) * (1.0 - smoothstep(0.55, 1.0, t));
  float own = fract(sin(floor(wave) * 12.9898) * 43758.5453);
  float h = mix(0.62, edge, (0.25 + 0.75 * own) * smoothstep(0.3, 0.62, patchy)) * mix(0.72, 1.0, fibre);
  return vec2(h, mix(0.66, 1.12, h) * mix(0.84, 1.16, broad) * mix(0.88, 1.12, rough));
}
void main() {
  vec3 n = normalize(vNormal);
  vec3 colour = vColour;
  vec3 E = vLight;
  if (vBark > 0.5) {
    float radius = length(vWood.xyz);
    bool pale = vBark > 1.5 && vBark < 2.5;
    bool palm = vBark > 3.5 && vBark < 4.5;
    bool flaking = vBark > 4.5;
    float ridge = palm ? 0.05 : pale ? 0.02 : flaking ? 0.045 : clamp((vBark > 2.5 ? 0.1 : 0.13) * radius, 0.008, 0.04);
    // Relief fades when a ridge falls under a pixel or two.
    float seen = clamp(0.55 * ridge / (uPixelRad * max(vDistance, 0.1)) - 0.35, 0.0, 1.0);
    Bark at = ridgedAt(vWood, ridge);
    if (pale) at = birchAt(vWood);
    if (palm) at = palmAt(vWood);
    if (flaking) at = planeAt(vWood, clamp(0.55 * radius, 0.03, 0.11));
    float warp = noise(at.warp);
    vec3 shift = pale || palm ? vec3(0.0) : flaking ? vec3(0.9 * warp, -0.7 * warp, 0.8 * warp) : vec3(1.3 * warp, 0.0, -1.3 * warp);
    float a = noise(at.a + shift), b = noise(at.b + 2.4 * shift), c = noise(at.c), d = noise(at.d);
    vec2 bark = pale ? birch(vWood, radius, warp, a, b, c, d) : palm ? palmBark(vWood, warp, a, b, c, d)
      : flaking ? plane(radius, warp, a, b, c, d) : ridged(a, b, c, d);
    float deep = (pale || flaking ? 0.06 : palm ? 0.22 : vBark > 2.5 ? 0.24 : 0.4) * ridge;
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
    // 1 where the bark is level, on the far side too: what a lamp does not reach is no darker for it.
    float turned = (max(dot(m, from), 0.0) + 0.25) / (max(dot(n, from), 0.0) + 0.25);
    E *= mix(1.0, clamp(turned, 0.15, 1.9), 0.85 * one);
    colour *= mix(pale ? 0.9 : flaking ? 0.97 : 0.93, bark.y, max(seen, pale || flaking ? 0.55 : 0.0));
    colour *= mix(0.86, 1.14, noise(vWood.xyz * 5.0 + vec3(0.0, vWood.w * 1.3, 3.0)));
  }
  vec3 L = colour * E / 3.14159265;
  float lux = dot(vLight, vec3(0.2126, 0.7152, 0.0722));
  gl_FragColor = uOutput > 0.5 && uOutput < 1.5 ? vec4(vec3(lux), 1.0) : vec4(held(L), 1.0);
}
`;
