import { skyGlsl } from '../../exposure/index.ts';

export const sheetVertex = `
precision highp float;
uniform mat4 uMirror;
varying vec3 vAt;
void main() {
  vAt = position;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}
`;

/**
 * What a level sheet of water mirrors, added over what lies there: rgb = R·(mirror image), alpha = what is left of the ground
 * (1 − R, darker where wet). R by Fresnel's equations, n = 1.333. Ripples tilt the mirror; far away, where they are finer than
 * a pixel, they spread the image upright instead of shimmering.
 */
export const sheetFragment = (paving: boolean): string => `
precision highp float;
${skyGlsl}
uniform vec3 uSky[SKY_BASIS_COUNT];
uniform sampler2D tMirror;
uniform mat4 uMirror;
uniform float uHasMirror;
uniform float uOutput;
uniform float uPlain;
uniform float uPixelRad;
varying vec3 vAt;
float noise(vec2 p) {
  vec2 i = floor(p), f = fract(p);
  f = f * f * (3.0 - 2.0 * f);
  vec4 h = fract(sin(vec4(dot(i, vec2(127.1, 311.7)), dot(i + vec2(1.0, 0.0), vec2(127.1, 311.7)),
    dot(i + vec2(0.0, 1.0), vec2(127.1, 311.7)), dot(i + 1.0, vec2(127.1, 311.7)))) * 43758.5453);
  return mix(mix(h.x, h.y, f.x), mix(h.z, h.w, f.x), f.y);
}
vec3 seen(vec3 d, float farM) {
  vec4 clip = uMirror * vec4(vAt + d * farM, 1.0);
  vec2 uv = clip.xy / clip.w * 0.5 + 0.5;
  if (uHasMirror > 0.5 && clip.w > 0.0) return texture2D(tMirror, clamp(uv, 0.001, 0.999)).rgb;
  return skyRadiance(normalize(vec3(d.x, max(d.y, 0.01), d.z)), uSky);
}
float reflectance(float cosI) {
  float cosT = sqrt(1.0 - (1.0 - cosI * cosI) / 1.776889);
  float rs = (cosI - 1.333 * cosT) / (cosI + 1.333 * cosT);
  float rp = (1.333 * cosI - cosT) / (1.333 * cosI + cosT);
  return 0.5 * (rs * rs + rp * rp);
}
void main() {
  if (uOutput > 0.5 || uPlain > 0.5) discard;
  vec3 toEye = cameraPosition - vAt;
  float distance = length(toEye);
  vec3 v = toEye / distance;
  // A pixel covers this much of the sheet, along the view.
  float footM = uPixelRad * distance / max(v.y, 0.02);
  vec2 p = vAt.xz;
${paving ? pavingMain : waterMain}
}
`;

/** Faint ripples of three lengths, slopes of some milliradians a wave: a still evening (by eye). */
const waterMain = `
  vec2 slope = vec2(0.0);
  float spread = 0.0;
  for (int k = 0; k < 3; k++) {
    float perM = k == 0 ? 2.3 : (k == 1 ? 5.9 : 14.0);
    float amp = k == 0 ? 0.0012 : (k == 1 ? 0.0012 : 0.0016);
    float keep = 1.0 - smoothstep(0.12, 0.5, footM * perM / 6.2832);
    vec2 turned = mat2(0.8, -0.6, 0.6, 0.8) * p * perM + 2.0 * noise(p * 0.7 + float(k) * 7.0);
    slope += amp * keep * vec2(cos(turned.x) + 0.6 * cos(p.y * perM * 1.31), sin(turned.y) + 0.6 * sin(p.x * perM * 0.83));
    spread += amp * amp * (1.0 - keep);
  }
  vec3 n = normalize(vec3(-slope.x, 1.0, -slope.y));
  vec3 d = reflect(-v, n);
  float R = reflectance(clamp(dot(n, v), 0.02, 1.0));
  float wide = 2.0 * sqrt(spread);
  vec3 along = vec3(0.0, wide, 0.0);
  vec3 L = 0.4 * seen(d, 5.0) + 0.3 * seen(normalize(d + along), 5.0) + 0.3 * seen(normalize(d - along), 5.0);
  gl_FragColor = vec4(R * L, 1.0 - R);
`;

/** A film on rough stone spreads the image mostly upright; puddles of a hand's width to a metre lie smooth in it (by eye). */
const pavingMain = `
  float pool = smoothstep(0.5, 0.72, 0.6 * noise(p * 1.1) + 0.4 * noise(p * 3.7 + 5.0));
  vec2 grain = vec2(noise(p * 61.0), noise(p * 61.0 + 40.0)) - 0.5;
  float keep = 1.0 - smoothstep(0.004, 0.02, footM);
  vec2 slope = grain * 0.06 * (1.0 - pool) * keep;
  vec3 n = normalize(vec3(-slope.x, 1.0, -slope.y));
  vec3 d = reflect(-v, n);
  float R = reflectance(clamp(v.y, 0.02, 1.0));
  float wide = mix(0.055, 0.004, pool);
  vec3 L = vec3(0.0);
  float weights = 0.0;
  for (int k = -3; k <= 3; k++) {
    float x = float(k) / 3.0;
    float w = exp(-1.5 * x * x);
    // No ray of a rough film dips under the floor.
    vec3 s = d + vec3(0.25 * wide * grain.x, wide * x, 0.0);
    s.y = max(s.y, 0.3 * d.y);
    L += w * seen(normalize(s), 7.0);
    weights += w;
  }
  // Between grains the film is broken: seven tenths of it mirror. Wet stone is darker: water hands light down to it.
  float film = mix(0.7, 1.0, pool);
  gl_FragColor = vec4(film * R * L / weights, (1.0 - film * R) * mix(0.62, 0.55, pool));
`;
