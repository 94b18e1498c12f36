import { adaptGlsl, toneGlsl } from '../../exposure/index.ts';
import { GLARE_REACH } from './glarePyramid.ts';

export const screenVertex = `
out vec2 vUv;
void main() {
  vUv = position.xy * 0.5 + 0.5;
  gl_Position = vec4(position.xy, 0.0, 1.0);
}
`;

/** Exposed and adapted excess over display white, colour kept; alpha = share above the exposure's limit. First step down. */
export const excessFragment = `
in vec2 vUv;
uniform sampler2D tScene;
uniform float uWhite;
uniform float uLimit;
out vec4 outColor;
${adaptGlsl}
vec4 excessAt(ivec2 at) {
  vec4 scene = texelFetch(tScene, min(at, textureSize(tScene, 0) - 1), 0);
  vec3 c = adaptToDisplay(scene.rgb) / uWhite;
  float peak = max(c.r, max(c.g, c.b));
  float clipped = dot(scene.rgb, vec3(0.2126, 0.7152, 0.0722)) > uLimit ? 1.0 : 0.0;
  return vec4(peak > 1.0 ? c * (1.0 - 1.0 / peak) : vec3(0.0), clipped);
}
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy) * 2;
  outColor = 0.25 * (excessAt(at) + excessAt(at + ivec2(1, 0)) + excessAt(at + ivec2(0, 1)) + excessAt(at + ivec2(1, 1)));
}
`;

/**
 * Half the size by weights 1 3 3 1 each way, two linear reads: unlike a mean of two they keep a spot's centre of gravity where it
 * is, so that the halo does not drift to the middle of a wide pixel.
 */
export const shrinkFragment = `
in vec2 vUv;
uniform sampler2D tFrom;
out vec4 outColor;
void main() {
  vec2 px = 1.0 / vec2(textureSize(tFrom, 0));
  vec2 at = 2.0 * gl_FragCoord.xy * px;
  vec2 d = 0.75 * px;
  outColor = 0.25 * (texture(tFrom, at - d) + texture(tFrom, at + vec2(d.x, -d.y)) + texture(tFrom, at + vec2(-d.x, d.y))
    + texture(tFrom, at + d));
}
`;

/**
 * One direction of a Gaussian, its taps given; outside the picture it is dark. `uAdd` lays the wider octaves, grown, on top,
 * and `uPlain` of the level as it is. */
export const blurFragment = `
in vec2 vUv;
uniform sampler2D tFrom;
uniform sampler2D tWider;
uniform ivec2 uStep;
uniform float uTaps[${GLARE_REACH + 1}];
uniform int uReach;
uniform float uAdd;
uniform sampler2D tLevel;
uniform sampler2D tCoarse;
uniform int uCoarser;
uniform float uPlain;
out vec4 outColor;
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  ivec2 size = textureSize(tFrom, 0);
  int here = uStep.x * at.x + uStep.y * at.y;
  int last = uStep.x * size.x + uStep.y * size.y - 1;
  int to = min(uReach, last - here);
  vec3 sum = vec3(0.0);
  // Most of a night exceeds nothing: where the texel some levels up, which has seen all the taps' reach, is dark, nothing is read.
  vec3 near = uCoarser > 0 ? texelFetch(tCoarse, at >> uCoarser, 0).rgb : vec3(1.0);
  if (near.r + near.g + near.b > 0.0)
    for (int i = max(-uReach, -here); i <= to; i++) sum += uTaps[abs(i)] * texelFetch(tFrom, at + uStep * i, 0).rgb;
  outColor = vec4(sum, 1.0);
  if (uPlain > 0.0) outColor.rgb += uPlain * texelFetch(tLevel, at, 0).rgb;
  // Levels are rounded up to whole pixels, so places go by pixels, not by shares of the picture.
  if (uAdd > 0.5) outColor.rgb += texture(tWider, 0.5 * gl_FragCoord.xy / vec2(textureSize(tWider, 0))).rgb;
}
`;

/** Scattered light at this pixel; the first level's pixel is 1 / `uGlareStep` picture pixels wide. */
export const glareAtGlsl = `
uniform sampler2D tGlare;
uniform float uGlareStep;
vec3 glareHere() { return texture(tGlare, uGlareStep * gl_FragCoord.xy / vec2(textureSize(tGlare, 0))).rgb; }
`;

/** Scene → display-linear colour: adaptation, exposure, scatter, tone. Alpha: root of luminance, to find edges by. */
export const toneFragment = `
in vec2 vUv;
uniform sampler2D tScene;
uniform float uWhite;
out vec4 outColor;
${adaptGlsl}
${toneGlsl}
${glareAtGlsl}
void main() {
  vec4 scene = texelFetch(tScene, ivec2(gl_FragCoord.xy), 0);
  vec3 c = adaptToDisplay(scene.rgb) / uWhite + glareHere();
  vec3 shown = toneMap(c);
  outColor = vec4(shown, sqrt(dot(shown, vec3(0.2126, 0.7152, 0.0722))));
}
`;

/** Display-linear picture → screen: edge smoothing, hatch on what clips, sRGB, dither of one step. */
export const resolveFragment = `
in vec2 vUv;
uniform sampler2D tPicture;
uniform sampler2D tScene;
uniform float uSmooth;
uniform float uWhole;
uniform float uHatch;
uniform float uLimit;
uniform float uBlack;
uniform float uHatchStep;
out vec4 outColor;
${toneGlsl}
float luma(vec3 c) { return sqrt(dot(c, vec3(0.2126, 0.7152, 0.0722))); }
vec3 smoothed(vec2 uv) {
  ivec2 size = textureSize(tPicture, 0);
  vec2 px = 1.0 / vec2(size);
  if (uSmooth < 0.5) return texture(tPicture, uv).rgb;
  // Unfiltered reads: far cheaper where no graphics card draws.
  ivec2 at = ivec2(uv * vec2(size));
  vec4 middle = uWhole > 0.5 ? texelFetch(tPicture, at, 0) : texture(tPicture, uv);
  vec3 m = middle.rgb;
  float lm = middle.a;
  float nw = texelFetch(tPicture, clamp(at + ivec2(-1, 1), ivec2(0), size - 1), 0).a;
  float ne = texelFetch(tPicture, clamp(at + ivec2(1, 1), ivec2(0), size - 1), 0).a;
  float sw = texelFetch(tPicture, clamp(at + ivec2(-1, -1), ivec2(0), size - 1), 0).a;
  float se = texelFetch(tPicture, clamp(at + ivec2(1, -1), ivec2(0), size - 1), 0).a;
  float low = min(lm, min(min(nw, ne), min(sw, se)));
  float high = max(lm, max(max(nw, ne), max(sw, se)));
  if (high - low < max(0.03, high * 0.1)) return m;
  vec2 along = vec2(-((nw + ne) - (sw + se)), (nw + sw) - (ne + se));
  float reduce = max((nw + ne + sw + se) * 0.03125, 0.0078125);
  along = clamp(along / (min(abs(along.x), abs(along.y)) + reduce), -8.0, 8.0) * px;
  vec3 a = 0.5 * (texture(tPicture, uv + along * -0.1667).rgb + texture(tPicture, uv + along * 0.1667).rgb);
  vec3 b = 0.5 * a + 0.25 * (texture(tPicture, uv + along * -0.5).rgb + texture(tPicture, uv + along * 0.5).rgb);
  float lb = luma(b);
  return lb < low || lb > high ? a : b;
}
float ditherAt(vec2 p) { return fract(52.9829189 * fract(dot(p, vec2(0.06711056, 0.00583715)))) - 0.5; }
void main() {
  vec3 c = srgbEncode(clamp(smoothed(vUv), 0.0, 1.0));
  if (uHatch > 0.5) {
    float L = dot(texture(tScene, vUv).rgb, vec3(0.2126, 0.7152, 0.0722));
    float stripe = mod(gl_FragCoord.x + gl_FragCoord.y, 8.0 * uHatchStep) / uHatchStep;
    bool black = uBlack > 0.0 ? L < uBlack : max(c.r, max(c.g, c.b)) < 1.5 / 255.0;
    if (L > uLimit && stripe < 3.0) c = stripe < 1.5 ? vec3(0.0) : vec3(1.0);
    else if (black && stripe < 1.5) c = vec3(0.32);
  }
  outColor = vec4(c + ditherAt(gl_FragCoord.xy) / 255.0, 1.0);
}
`;

/** Adds one of several shifted pictures to the mean. */
export const gatherFragment = `
in vec2 vUv;
uniform sampler2D tFrom;
uniform float uShare;
out vec4 outColor;
void main() { outColor = vec4(texture(tFrom, vUv).rgb * uShare, uShare); }
`;
