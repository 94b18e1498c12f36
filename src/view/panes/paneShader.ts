import { skyGlsl } from '../../exposure/index.ts';
import { heldGlsl } from '../layer.ts';
import { GRID_X, GRID_Y } from './frameLight.ts';
import { DOUBLE_FROM_M, glassGlsl, MIRROR_TILE_PX, mirrorPlaceGlsl } from './glassShader.ts';
import { CURTAIN_M, CURTAINED_M, MIDDLE_SHARE } from './room.ts';
import { ROOM_FACES, ROOM_TILE_PX, ROOM_TOP } from './roomFaces.ts';

const f = (v: number): string => v.toFixed(6);

/** Frame border, bar width and how far the frame stands in front of the glass: those of the frame face, metres. */
export const FRAME_BORDER_M = 0.05;
export const GLAZING_BAR_M = 0.022;
export const FRAME_PROUD_M = 0.016;

export const paneVertex = `
precision highp float;
attribute vec3 aOrigin;
attribute vec3 aU;
attribute vec3 aV;
attribute vec4 aSize;
attribute vec4 aRoom;
attribute vec4 aLook;
attribute vec4 aLit;
attribute vec3 aPaint;
attribute vec4 aMirror;
attribute float aAboveGround;
varying vec2 vSt;
flat varying vec3 vEye;
flat varying vec4 vSize;
flat varying vec4 vRoom;
flat varying vec4 vLook;
flat varying vec4 vLit;
flat varying vec3 vPaint;
flat varying vec4 vMirror;
flat varying float vAboveGround;
flat varying mat3 vWorld;
varying float vDistance;
void main() {
  vec3 n = cross(aU, aV);
  vSt = position.xy * aSize.xy;
  vec3 p = aOrigin + vSt.x * aU + vSt.y * aV + ${f(FRAME_PROUD_M)} * n;
  vec3 e = cameraPosition - aOrigin;
  vEye = vec3(dot(e, aU), dot(e, aV), dot(e, n));
  vSize = aSize; vRoom = aRoom; vLook = aLook; vLit = aLit; vPaint = aPaint; vMirror = aMirror; vAboveGround = aAboveGround;
  vWorld = mat3(aU, aV, n);
  vec4 view = viewMatrix * vec4(p, 1.0);
  vDistance = -view.z;
  gl_Position = projectionMatrix * view;
}
`;

export const paneFragment = `
precision highp float;
precision highp sampler2DArray;
${skyGlsl}${heldGlsl}
uniform vec3 uSky[SKY_BASIS_COUNT];
uniform vec3 uFar;
uniform sampler2DArray uRooms;
uniform sampler2D uFrames;
uniform float uPanes;
uniform float uFurnished;
uniform float uOutput;
uniform float uPlain;
uniform float uPixelRad;
uniform sampler2D uMirrors;
uniform vec2 uHasMirrors;
varying vec2 vSt;
flat varying vec3 vEye;
flat varying vec4 vSize;
flat varying vec4 vRoom;
flat varying vec4 vLook;
flat varying vec4 vLit;
flat varying vec3 vPaint;
flat varying vec4 vMirror;
flat varying float vAboveGround;
flat varying mat3 vWorld;
varying float vDistance;
${glassGlsl}${mirrorPlaceGlsl}
// Running length of frame and bars from 0 to x along one side: its difference over a pixel is exact coverage.
float woodTo(float x, float size, float count) {
  float border = min(${f(FRAME_BORDER_M)}, size * 0.25);
  float glass = (size - 2.0 * border - (count - 1.0) * ${f(GLAZING_BAR_M)}) / count;
  float pitch = glass + ${f(GLAZING_BAR_M)};
  float inner = size - 2.0 * border;
  float y = x - border;
  if (y < 0.0) return y;
  if (y > inner) return (count - 1.0) * ${f(GLAZING_BAR_M)} + y - inner;
  float k = floor(y / pitch);
  return k * ${f(GLAZING_BAR_M)} + max(0.0, y - k * pitch - glass);
}
vec2 woodCover(vec2 at, vec2 wide) {
  vec2 a = at - 0.5 * wide, b = at + 0.5 * wide;
  return clamp(vec2(
    (woodTo(b.x, vSize.x, vSize.z) - woodTo(a.x, vSize.x, vSize.z)) / wide.x,
    (woodTo(b.y, vSize.y, vSize.w) - woodTo(a.y, vSize.y, vSize.w)) / wide.y), 0.0, 1.0);
}
float hash(vec2 p) {
  vec3 q = fract(vec3(p.xyx) * 0.1031);
  q += dot(q, q.yzx + 33.33);
  return fract((q.x + q.y) * q.z);
}
vec4 frameTexel(float block, vec2 st) {
  vec2 cell = clamp(st / vSize.xy * vec2(${GRID_X}.0, ${GRID_Y}.0), vec2(0.5), vec2(${GRID_X}.0 - 0.5, ${GRID_Y}.0 - 0.5));
  return texture2D(uFrames, vec2((block * ${GRID_X}.0 + cell.x) / ${3 * GRID_X}.0, (vLook.w * ${GRID_Y}.0 + cell.y) / (uPanes * ${GRID_Y}.0)));
}
vec4 tile(float face, vec2 uv, float pixelM, float sizeM) {
  float lod = log2(max(pixelM / sizeM * ${ROOM_TILE_PX}.0, 1.0));
  vec4 c = textureLod(uRooms, vec3(clamp(uv, 0.002, 0.998), vLook.x * ${ROOM_FACES.length}.0 + face), lod);
  return vec4(c.rgb * ${f(ROOM_TOP)}, c.a);
}
vec2 place(vec2 at) {
  float x = (at.x - vRoom.x) / (vRoom.y - vRoom.x);
  return vec2(vLook.y > 0.5 ? 1.0 - x : x, (at.y - vRoom.z) / (vRoom.w - vRoom.z));
}
// Place on the curtain tile: by metres from the nearer side where the window is wide.
float clothAt(float x) {
  float near = min(min(x, 1.0 - x) * max(1.0, vSize.x / ${f(CURTAINED_M)}), 0.5);
  return x < 0.5 ? near : 1.0 - near;
}
vec3 roomColour(vec2 at, vec2 d, float stretch) {
  float depth = vLook.z;
  float wide = vRoom.y - vRoom.x;
  float pixelM = uPixelRad * vDistance;
  vec2 hung = (at + d * ${f(CURTAIN_M)}) / vSize.xy;
  vec4 cloth = tile(6.0, vec2(clothAt(hung.x), hung.y), pixelM, min(vSize.x, ${f(CURTAINED_M)}));
  vec2 m = place(at + d * depth * ${f(MIDDLE_SHARE)});
  float back = uPixelRad * (vDistance + depth * stretch);
  vec4 thing = tile(5.0, m, back, wide);
  if (any(lessThan(m, vec2(0.0))) || any(greaterThan(m, vec2(1.0)))) thing = vec4(0.0);
  float ks = ((d.x > 0.0 ? vRoom.y : vRoom.x) - at.x) / (abs(d.x) > 1e-6 ? d.x : 1e-6);
  float kt = ((d.y > 0.0 ? vRoom.w : vRoom.z) - at.y) / (abs(d.y) > 1e-6 ? d.y : 1e-6);
  ks = ks < 0.0 ? 1e9 : ks;
  kt = kt < 0.0 ? 1e9 : kt;
  float k = min(depth, min(ks, kt));
  vec2 w = place(at + d * k);
  float z = k / depth;
  float side = (d.x > 0.0) != (vLook.y > 0.5) ? 2.0 : 1.0;
  vec3 face = k >= depth ? vec3(0.0, w) : (k == ks ? vec3(side, z, w.y) : vec3(d.y > 0.0 ? 3.0 : 4.0, w.x, z));
  vec3 wall = tile(face.x, face.yz, back, face.x < 0.5 ? wide : depth).rgb;
  return mix(mix(wall, thing.rgb, thing.a), cloth.rgb, cloth.a);
}
vec3 mirrored(vec3 ray, vec2 cell, float wide) {
  // A small sheet sits askew in its putty and is not quite flat, 6 mrad; wide float glass hardly strays. By eye.
  vec2 skew = (vec2(hash(cell + vLook.w * 7.0), hash(cell.yx + vLook.w * 13.0 + 5.0)) - 0.5) * mix(0.024, 0.006, wide);
  skew += mix(0.004, 0.0003, wide) * sin(vSt.yx * 9.0 + cell * 4.0);
  vec3 n = normalize(vec3(skew, 1.0));
  vec3 local = reflect(ray, n);
  vec3 there = vec3(0.0);
  vec3 place = vec3(0.0);
  float has = vMirror.w < -0.5 ? 0.0 : vMirror.w < 0.5 ? uHasMirrors.x : uHasMirrors.y;
  if (has > 0.5 && uPlain < 0.5) {
    place = mirrorPlace(vec3(vSt, 0.0) - vMirror.xyz, local, vAboveGround + vSt.y, vMirror.w);
    there = textureLod(uMirrors, place.xy, clamp(log2(uPixelRad * ${f(0.5 * MIRROR_TILE_PX.width)}), 0.0, 4.0)).rgb;
    if (place.z > 0.999) return there;
  }
  vec3 d = vWorld * local;
  vec3 sky = skyRadiance(normalize(vec3(d.x, max(d.y, 0.01), d.z)), uSky);
  // What stands opposite: a soft dark skyline, then ground.
  float a = atan(d.x, d.z);
  float line = 0.085 + 0.035 * sin(a * 5.0 + 1.0) + 0.02 * sin(a * 17.0) + 0.012 * sin(a * 41.0);
  vec3 plain = mix(uFar, sky, smoothstep(line - 0.012, line + 0.012, d.y / max(length(d.xz), 1e-3)));
  return mix(plain, there, place.z);
}
// Behind dark glass: curtains drawn aside catch what light comes in from outside (reflectance .45 through the glass twice;
// grazing lamps hardly enter), and the room gives back about a hundredth.
vec3 unlit(vec2 at, vec2 d, vec3 direct, vec3 indirect) {
  vec2 c = (at + d * ${f(CURTAIN_M)}) / vSize.xy;
  float edge = clothAt(c.x);
  edge = min(edge, 1.0 - edge);
  float drawn = (0.1 + 0.2 * hash(vec2(vLook.w, 3.0))) * (1.0 + 0.12 * sin(c.y * 3.2 + vLook.w));
  float soft = max(0.01, uPixelRad * vDistance / min(vSize.x, ${f(CURTAINED_M)}));
  float cover = smoothstep(drawn + soft, drawn - soft, edge);
  float fold = 0.5 + 0.5 * sin(edge * min(vSize.x, ${f(CURTAINED_M)}) * 95.0 + 1.6 * sin(c.y * 4.0));
  vec3 cloth = (0.75 * indirect + 0.1 * direct) * (0.45 / 3.14159265) * (0.35 + 0.9 * fold);
  return mix(indirect * 0.012 / 3.14159265, cloth, cover);
}
void main() {
  vec3 ray = normalize(vec3(vSt, ${f(FRAME_PROUD_M)}) - vEye);
  float inward = max(-ray.z, 0.02);
  vec2 d = ray.xy / inward;
  vec2 wide = max(fwidth(vSt), vec2(1e-5));
  vec2 glassAt = vSt + d * ${f(FRAME_PROUD_M)};
  vec2 front = woodCover(vSt, wide);
  vec2 deep = woodCover(glassAt, wide);
  float frontCover = 1.0 - (1.0 - front.x) * (1.0 - front.y);
  float deepCover = 1.0 - (1.0 - deep.x) * (1.0 - deep.y);
  float sideCover = max(0.0, deepCover - frontCover);
  vec3 direct = frameTexel(0.0, vSt).rgb;
  vec3 vector = frameTexel(1.0, vSt).rgb;
  vec3 indirect = frameTexel(2.0, vSt).rgb;
  // A rounded arris: toward a bar's edge its face turns to the side.
  vec3 frontE = direct + indirect;
  float lx = max(dot(direct, vec3(0.2126, 0.7152, 0.0722)), 1e-4);
  float across = max(0.0, deep.x - front.x) >= max(0.0, deep.y - front.y) ? max(0.0, -sign(d.x) * vector.x) : max(0.0, -sign(d.y) * vector.y);
  vec3 sideE = direct * min(across / lx, 4.0) + 0.6 * indirect;
  vec2 cell = floor((glassAt - ${f(FRAME_BORDER_M)}) / (vSize.xy - 2.0 * ${f(FRAME_BORDER_M)}) * vSize.zw);
  // Wide sheets are double glazing.
  float sheetM = (vSize.x - 2.0 * ${f(FRAME_BORDER_M)}) / vSize.z;
  float wideSheet = step(${f(DOUBLE_FROM_M)}, sheetM);
  float R = glassReflectance(inward, 2.0 + 2.0 * wideSheet);
  vec3 room = vLit.rgb;
  if (vLit.a > 0.5 && uFurnished > 0.5) room *= roomColour(glassAt, d, 1.0 / inward);
  vec3 glass = R * mirrored(ray, cell, wideSheet) + (vLit.a > 0.5 ? room : unlit(glassAt, d, direct, indirect));
  vec3 wood = vPaint / 3.14159265;
  vec3 L = wood * frontE * frontCover + wood * sideE * sideCover + glass * max(0.0, 1.0 - frontCover - sideCover);
  if (uOutput > 0.5 && uOutput < 1.5) {
    float e = dot(frontE, vec3(0.2126, 0.7152, 0.0722));
    gl_FragColor = frontCover > 0.5 ? vec4(vec3(e), 1.0) : vec4(0.0);
  } else gl_FragColor = vec4(held(L), 1.0);
}
`;
