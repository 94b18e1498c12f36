import {
  RELIEF_TEXELS,
  RESPONSE_TEXELS,
  RESPONSE_RANGE,
  RESPONSE_COTANGENTS,
  SHADOW_SOFTNESS,
  type SurfaceClass,
  UNIT_TONE_MEAN,
  UNIT_TONES,
} from '../../materials/index.ts';
import { heldGlsl } from '../layer.ts';
import { LOOK_TEXELS } from './looks.ts';

const f = (v: number): string => v.toFixed(6);
const C = RESPONSE_COTANGENTS;

export const surfaceVertex = `
in vec2 aAtlas;
in vec2 aPlace;
in float aLook;
uniform sampler2D tLooks;
out vec2 vAtlas;
out vec2 vPlace;
flat out vec4 vUnit;
flat out vec4 vJoint;
flat out vec4 vRepeat;
flat out vec4 vLaying;
flat out vec4 vGain;
flat out vec4 vOwn;
flat out float vUnitLevel;
#ifdef GLOSS
out vec3 vWorld;
#endif
void main() {
  int row = int(aLook + 0.5);
  vUnit = texelFetch(tLooks, ivec2(0, row), 0);
  vJoint = texelFetch(tLooks, ivec2(1, row), 0);
  vRepeat = texelFetch(tLooks, ivec2(2, row), 0);
  vLaying = texelFetch(tLooks, ivec2(3, row), 0);
  vOwn = texelFetch(tLooks, ivec2(4, row), 0);
  vGain = texelFetch(tLooks, ivec2(${LOOK_TEXELS - 1}, row), 0);
  // Level at which a pixel is as wide as a unit is narrow.
  vUnitLevel = log2(${f(RELIEF_TEXELS)} * min(vRepeat.z, vRepeat.w) / vRepeat.x);
  vAtlas = aAtlas;
  vPlace = aPlace;
#ifdef GLOSS
  vWorld = position;
#endif
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}
`;

const unitGlsl = `
float hash12(uvec2 p, uint seed) {
  uint h = p.x * 0x27d4eb2du ^ p.y * 0x165667b1u ^ seed * 0x9e3779b1u;
  h = (h ^ (h >> 15)) * 0x85ebca6bu;
  h = (h ^ (h >> 13)) * 0xc2b2ae35u;
  return float((h ^ (h >> 16)) >> 8) / 16777216.0;
}
uvec2 unitIndex(vec2 place) {
  float course = floor(place.y / vRepeat.w);
  float x = place.x + (vLaying.x < 2.5 && mod(course, 2.0) > 0.5 ? 0.5 * vRepeat.z : 0.0);
  float column = floor(x / vRepeat.z);
  if (abs(vLaying.x - 2.0) < 0.5) column = column * 2.0 + (x - column * vRepeat.z >= vRepeat.z * ${f(0.225 / 0.3375)} ? 1.0 : 0.0);
  // English: headers in odd courses, half as long and a quarter of the pitch on.
  if (abs(vLaying.x - 4.0) < 0.5 && mod(course, 2.0) > 0.5) column = floor(2.0 * place.x / vRepeat.z - 0.5);
  // Boards lie along the longer pitch, each row with a start of its own.
  float start = hash12(uvec2(int(vRepeat.z > vRepeat.w ? course : column) + 65536), 8u);
  if (vLaying.x > 4.5) {
    if (vRepeat.z > vRepeat.w) column = floor(place.x / vRepeat.z + start);
    else course = floor(place.y / vRepeat.w + start);
  }
  return uvec2(int(column) + 65536, int(course) + 65536);
}
float unitTone(uvec2 unit) {
  float pick = hash12(unit, 3u);
  float tone = 0.95 + 0.1 * hash12(unit, 4u);
  if (pick < ${f(UNIT_TONES.darkestBelow)}) tone = ${f(UNIT_TONES.darkest)};
  else if (pick < ${f(UNIT_TONES.darkBelow)}) tone = ${f(UNIT_TONES.dark)};
  else if (pick > ${f(UNIT_TONES.lightAbove)}) tone = ${f(UNIT_TONES.light)};
  return tone / ${f(UNIT_TONE_MEAN)};
}
`;

const reliefGlsl = `
uniform sampler2DArray tShape;
uniform sampler2DArray tHorizon;
uniform sampler2DArray tResponse;
float pickOf(vec4 low, vec4 high, float azimuth) {
  vec4 from = azimuth < 3.5 ? low : high;
  float k = azimuth < 3.5 ? azimuth : azimuth - 4.0;
  return k < 1.5 ? (k < 0.5 ? from.x : from.y) : (k < 2.5 ? from.z : from.w);
}
float aroundOf(vec4 low, vec4 high, float azimuth) {
  float i = floor(azimuth);
  float next = i > 6.5 ? 0.0 : i + 1.0;
  return mix(pickOf(low, high, i), pickOf(low, high, next), azimuth - i);
}
// Two layers hold eight azimuths; most directions lie within one of them, and a read that no pixel needs costs nothing.
float readAround(sampler2DArray maps, vec2 repeat, float layer, float azimuth, float level) {
  vec4 low = vec4(0.0);
  vec4 high = vec4(0.0);
  if (azimuth < 4.0 || azimuth >= 7.0) low = textureLod(maps, vec3(repeat, layer), level);
  if (azimuth >= 3.0) high = textureLod(maps, vec3(repeat, layer + 1.0), level);
  return aroundOf(low, high, azimuth);
}
vec3 directionOf(vec3 v) {
  float size = length(v);
  vec3 l = size > 1e-7 ? v / size : vec3(0.0, 0.0, 1.0);
  l.z = max(l.z, 0.02);
  return normalize(l);
}
// Share of the plain illuminance that the relief shows here, for light from l (face frame).
float reliefRatio(vec3 l, vec4 shape, vec2 repeat, float layer, float level) {
  float azimuth = atan(l.y, l.x) * ${f(4 / Math.PI)};
  if (azimuth < 0.0) azimuth += 8.0;
  azimuth = min(azimuth, 7.9999);
  float cotangent = min(length(l.xy) / l.z, ${f(C[0]!)});
  float e0 = cotangent > ${f(C[1]!)} ? 0.0 : cotangent > ${f(C[2]!)} ? 1.0 : 2.0;
  vec2 ends = e0 < 0.5 ? vec2(${f(C[0]!)}, ${f(C[1]!)}) : e0 < 1.5 ? vec2(${f(C[1]!)}, ${f(C[2]!)}) : vec2(${f(C[2]!)}, ${f(C[3]!)});
  float up = clamp((ends.x - cotangent) / (ends.x - ends.y), 0.0, 1.0);
  float far = smoothstep(1.3, 2.4, level);
  float near = 1.0;
  if (far < 1.0) {
    float horizon = readAround(tHorizon, repeat, layer * 2.0, azimuth, level);
    float t = clamp((l.z - horizon + ${f(SHADOW_SOFTNESS)}) / ${f(2 * SHADOW_SOFTNESS)}, 0.0, 1.0);
    float visible = t * t * (3.0 - 2.0 * t);
    vec3 n = vec3(shape.xy, sqrt(max(0.0, 1.0 - dot(shape.xy, shape.xy))));
    int g = int(e0);
    float gain = mix(vGain[g], vGain[g + 1], up);
    near = clamp(dot(n, l) / l.z, 0.0, vJoint.w) * visible * gain;
  }
  float answer = 1.0;
  if (far > 0.0) {
    float base = layer * 8.0 + e0 * 2.0;
    float coarser = level + ${f(Math.log2(RESPONSE_TEXELS / RELIEF_TEXELS))};
    float a = readAround(tResponse, repeat, base, azimuth, coarser);
    float b = readAround(tResponse, repeat, base + 2.0, azimuth, coarser);
    answer = mix(1.0, mix(a, b, up) * ${f(RESPONSE_RANGE)}, min(1.0, cotangent * ${f(1 / C[3]!)}));
  }
  return mix(near, answer, far);
}
`;

/**
 * Metal: half of what it reflects goes into a lobe round the mirror direction of the light vector (normalised Blinn–Phong).
 * Declared display: read-outs and judgements know the diffuse sheet alone.
 */
const glossGlsl = `
in vec3 vWorld;
const float SHININESS = 28.0;
float glossOf(vec3 V) {
  vec3 px = dFdx(vWorld);
  vec3 py = dFdy(vWorld);
  vec2 qx = dFdx(vPlace);
  vec2 qy = dFdy(vPlace);
  float area = qx.x * qy.y - qx.y * qy.x;
  if (abs(area) < 1e-12) return 0.0;
  vec3 u = normalize(px * qy.y - py * qx.y) * sign(area);
  vec3 v = normalize(py * qx.x - px * qy.x) * sign(area);
  vec3 l = u * V.x + v * V.y + cross(u, v) * V.z;
  float size = length(l);
  if (size < 1e-6) return 0.0;
  vec3 h = normalize(l / size + normalize(cameraPosition - vWorld));
  return ${f(Math.PI)} * (SHININESS + 8.0) / ${f(8 * Math.PI)} * pow(max(dot(h, cross(u, v)), 0.0), SHININESS);
}
`;

/**
 * Ground runs farther than a wall: wear and patches 2 to 10 m wide, and fields of 20 to 70 m, mean zero, so that a lawn does not
 * turn into an even sheet far away. Green ground varies most, its dry places are paler and yellower, and it is mown in lanes that lie one way and
 * the other, until they are too narrow to see; paving and asphalt keep two thirds. Declared display, by eye.
 */
const openGroundGlsl = `
vec3 openGround(float green) {
  vec4 patches = textureLod(tVariation, mat2(0.8, 0.6, -0.6, 0.8) * vPlace * 0.029, 0.0) - 0.5;
  vec4 fields = textureLod(tVariation, mat2(0.6, -0.8, 0.8, 0.6) * vPlace * 0.0067, 0.0) - 0.5;
  float dry = 1.4 * patches.g + 1.4 * fields.r;
  float lanes = clamp(4.0 * sin(vPlace.x * ${f((2 * Math.PI) / 1.1)} + 3.0 * patches.b), -1.0, 1.0);
  lanes *= 0.24 * (1.0 - smoothstep(0.1, 0.5, fwidth(vPlace.x)));
  return (1.5 * patches.r + 1.3 * fields.g) * mix(0.7, 1.0, green) + (vec3(0.9, 0.5, 0.0) * dry + lanes) * green;
}
`;

const surfaceMain = `
in vec2 vAtlas;
in vec2 vPlace;
flat in vec4 vUnit;
flat in vec4 vJoint;
flat in vec4 vRepeat;
flat in vec4 vLaying;
flat in vec4 vGain;
flat in vec4 vOwn;
flat in float vUnitLevel;
uniform sampler2D tDirect;
uniform sampler2D tIndirect;
#ifdef CROSSED
uniform sampler2D tSecond;
#endif
uniform sampler2D tVariation;
uniform vec2 uAtlasInverse;
uniform float uOutput;
uniform float uPlain;
out vec4 outColor;
${heldGlsl}
#ifdef GLOSS
${glossGlsl}
#endif
#ifdef RELIEF
${unitGlsl}
${reliefGlsl}
#endif
#ifdef OPEN_GROUND
${openGroundGlsl}
#endif
void main() {
  if (!gl_FrontFacing) {
    outColor = vec4(0.0, 0.0, 0.0, 1.0);
    return;
  }
  vec2 uv = vAtlas * uAtlasInverse;
  float lit = vAtlas.x < 0.0 ? 0.0 : 1.0;
  vec4 first = texture(tDirect, uv);
  vec4 second = texture(tIndirect, uv);
  vec3 direct = max(first.rgb, 0.0) * lit;
  vec3 indirect = max(second.rgb, 0.0) * lit;
  // The light vector: V·n is the direct illuminance.
  vec3 V = vec3(first.a, second.a, dot(direct, vec3(0.2126, 0.7152, 0.0722)));
  if (uOutput > 0.5) {
    float lux = dot(direct + indirect, vec3(0.2126, 0.7152, 0.0722));
    outColor = vec4(vec3(lux), 1.0);
    return;
  }
  if (uPlain > 0.5) {
    vec3 mean = mix(vJoint.rgb, vUnit.rgb, vOwn.w);
    outColor = vec4(held(mean * (direct + indirect) * ${f(1 / Math.PI)} + vOwn.rgb), 1.0);
    return;
  }
  vec3 albedo = vUnit.rgb;
  vec2 wideX = dFdx(vPlace);
  vec2 wideY = dFdy(vPlace);
  vec4 variation = textureLod(tVariation, vPlace * 0.31, 0.5 * log2(max(max(dot(wideX, wideX), dot(wideY, wideY)), 1e-8)) + 6.31);
#ifdef RELIEF
  if (vUnit.w >= 0.0) {
    vec2 repeat = vPlace / vRepeat.xy;
#ifdef OPEN_GROUND
    // What is scattered drifts a little, in bays of asphalt too, so that no repeat shows as a lattice.
    if (vLaying.x < 0.5 || min(vRepeat.z, vRepeat.w) > 2.0) repeat += vec2(0.3, -0.4) * (variation.b - 0.5);
#endif
    vec2 dx = wideX / vRepeat.xy * ${f(RELIEF_TEXELS)};
    vec2 dy = wideY / vRepeat.xy * ${f(RELIEF_TEXELS)};
    float level = 0.5 * log2(max(max(dot(dx, dx), dot(dy, dy)), 1e-8));
    vec4 shape = texture(tShape, vec3(repeat, vUnit.w));
#ifdef CROSSED
    vec3 V2 = texture(tSecond, uv).xyz;
    vec3 l = directionOf(V - V2);
    vec3 l2 = directionOf(V2);
    float share = clamp(V2.z / max(V.z, 1e-6), 0.0, 1.0);
    float ratio = mix(reliefRatio(l, shape, repeat, vUnit.w, level), reliefRatio(l2, shape, repeat, vUnit.w, level), share);
    vec2 slope = mix(l.xy / l.z, l2.xy / l2.z, share);
#else
    vec3 l = directionOf(V);
    float ratio = reliefRatio(l, shape, repeat, vUnit.w, level);
    vec2 slope = l.xy / l.z;
#endif
    vec3 unit = vUnit.rgb;
    if (vLaying.x > 0.5) {
      uvec2 index = unitIndex(vPlace);
      float spread = vLaying.y * (1.0 - smoothstep(-1.4, 0.2, level - vUnitLevel));
      unit *= mix(1.0, unitTone(index), spread);
      float warm = (hash12(index, 5u) - 0.5) * 0.12 * spread;
      unit *= vec3(1.0 + warm, 1.0 - 0.2 * warm, 1.0 - warm);
      vec2 tilt = (vec2(hash12(index, 6u), hash12(index, 7u)) - 0.5) * vec2(0.006, 0.012) * spread;
      ratio *= mix(1.0, clamp(1.0 + dot(tilt, slope), 0.6, 1.5), shape.w);
    }
    albedo = mix(vJoint.rgb, unit, shape.w);
    direct *= ratio;
    indirect *= shape.z * vLaying.w;
  }
#endif
#ifdef GLOSS
  direct *= 0.5 + 0.5 * glossOf(V);
#endif
  // Slow changes of brightness, and slower ones of hue: warmer here, cooler there.
  vec3 uneven = variation.r + 0.5 * variation.g - 0.75 + vec3(0.3, 0.0, -0.3) * (variation.b - 0.5);
#ifdef OPEN_GROUND
  uneven = max(uneven + openGround(clamp(4.0 * (vUnit.g / vUnit.r - 1.0), 0.0, 1.0)), -1.0);
#endif
  albedo *= 1.0 + vLaying.z * uneven;
  vec3 L = albedo * (direct + indirect) * ${f(1 / Math.PI)} + vOwn.rgb;
  outColor = vec4(held(L), 1.0);
}
`;

/** Classes whose program carries relief. */
export const RELIEF_CLASSES: readonly SurfaceClass[] = ['masonry', 'ground', 'roof'];

/**
 * Fragment program of a class; relief and second vector by define, so that who has none does not pay for it. Without `relief` all
 * walls and roofs have one short program, which is linked in a fraction of the time.
 */
export function surfaceFragment(
  surfaceClass: SurfaceClass,
  isCrossed = false,
  relief = RELIEF_CLASSES.includes(surfaceClass),
): string {
  const ground = surfaceClass === 'ground' ? '#define OPEN_GROUND\n' : '';
  return `precision highp sampler2DArray;\n${ground}${relief ? '#define RELIEF\n' : ''}${isCrossed && relief ? '#define CROSSED\n' : ''}${surfaceMain}`;
}
