import { heldGlsl } from '../layer.ts';

/** Leaf cards, four vertices each. Light of both sides comes per card from the field; each small leaf tilts it by its own normal. */
export const cardVertex = `
precision highp float;
attribute vec4 aCentre;
attribute vec4 aNormal;
attribute vec2 aLook;
uniform highp sampler2D uLight;
uniform int uLightWidth;
uniform float uGrow;
uniform float uFold;
uniform float uEdgeOn;
varying vec2 vUv;
varying vec3 vToEye;
flat varying vec3 vFront;
flat varying vec3 vBack;
flat varying vec3 vFrom;
flat varying vec3 vN;
flat varying vec3 vT;
flat varying vec3 vB;
flat varying float vBright;
vec4 lightTexel(int k) {
  int i = (gl_VertexID >> 2) * 3 + k;
  return texelFetch(uLight, ivec2(i % uLightWidth, i / uLightWidth), 0);
}
void main() {
  vec3 n = aNormal.xyz;
  vec3 a = abs(n.y) < 0.9 ? vec3(0.0, 1.0, 0.0) : vec3(1.0, 0.0, 0.0);
  vec3 t0 = normalize(cross(a, n));
  vec3 b0 = cross(n, t0);
  float c = cos(aNormal.w), s = sin(aNormal.w);
  vT = c * t0 + s * b0;
  vB = c * b0 - s * t0;
  vN = n;
  int corner = gl_VertexID & 3;
  vec2 q = vec2(corner == 1 || corner == 2 ? 0.5 : -0.5, corner > 1 ? 0.5 : -0.5);
  // Two corners are lifted: a card folded along its diagonal has body when seen edge on.
  float lift = (corner & 1) == 1 ? uFold : -uFold;
  vec3 toEye = normalize(cameraPosition - aCentre.xyz);
  // A sprig seen edge on would be a smear: it is left out; one sprig in ten, with two hundredths of the crown's outline.
  float open = smoothstep(uEdgeOn, uEdgeOn + 0.1, abs(dot(n, toEye)));
  vec3 p = aCentre.xyz + open * aCentre.w * uGrow * (q.x * vT + q.y * vB + lift * n);
  vUv = (q + 0.5) * 0.5 + 0.5 * vec2(mod(aLook.x, 2.0), floor(aLook.x / 2.0));
  vBright = aLook.y;
  vFront = lightTexel(0).rgb;
  vBack = lightTexel(1).rgb;
  vFrom = lightTexel(2).xyz;
  vToEye = cameraPosition - p;
  gl_Position = projectionMatrix * viewMatrix * vec4(p, 1.0);
}
`;

export const cardFragment = `
precision highp float;
${heldGlsl}uniform sampler2D uLeaves;
uniform vec3 uReflectance;
uniform vec3 uTransmittance;
uniform float uMeanBright;
uniform float uHue;
uniform float uSharp;
uniform float uOutput;
uniform bool uSamples;
varying vec2 vUv;
varying vec3 vToEye;
flat varying vec3 vFront;
flat varying vec3 vBack;
flat varying vec3 vFrom;
flat varying vec3 vN;
flat varying vec3 vT;
flat varying vec3 vB;
flat varying float vBright;
void main() {
  vec4 leaf = texture2D(uLeaves, vUv, -uSharp);
  float cover = leaf.a;
  if (uSamples) {
    cover = clamp((cover - 0.5) / max(fwidth(cover), 0.02) + 0.5, 0.0, 1.0);
    if (cover < 0.02) discard;
  } else if (cover < 0.5) discard;
  vec2 tilt = (leaf.rg - 0.5) * 2.0;
  vec3 m = normalize(vN + tilt.x * vT + tilt.y * vB);
  // Split each side's light in what comes along the light vector and what comes from all round, then turn the first part.
  float turned = dot(vFrom, m);
  float flatCos = dot(vFrom, vN);
  float front = max(turned, 0.0) / max(abs(flatCos), 0.3);
  float back = max(-turned, 0.0) / max(abs(flatCos), 0.3);
  vec3 low = min(vFront, vBack);
  vec3 strong = abs(vFront - vBack);
  vec3 eFront = low + strong * min(front, 2.0);
  vec3 eBack = low + strong * min(back, 2.0);
  bool seesFront = dot(m, vToEye) >= 0.0;
  vec3 same = seesFront ? eFront : eBack;
  vec3 other = seesFront ? eBack : eFront;
  float look = vBright * leaf.b / uMeanBright;
  // Young leaves at the light end are yellower, old ones bluer; luminance is kept.
  vec3 hue = vec3(1.0) + uHue * (vBright - 0.95) * vec3(0.3, 0.0, -0.5);
  vec3 L = look * hue * (uReflectance * same + uTransmittance * other) / 3.14159265;
  float lux = dot(same, vec3(0.2126, 0.7152, 0.0722));
  gl_FragColor = uOutput > 0.5 && uOutput < 1.5 ? vec4(lux, lux, lux, cover) : vec4(held(L), cover);
}
`;
