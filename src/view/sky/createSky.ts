import {
  AdditiveBlending,
  BufferAttribute,
  BufferGeometry,
  type Camera,
  ClampToEdgeWrapping,
  DataTexture,
  DataUtils,
  Group,
  HalfFloatType,
  LinearFilter,
  Matrix4,
  Mesh,
  Points,
  RepeatWrapping,
  RGBAFormat,
  ShaderMaterial,
  Vector3,
  Vector4,
} from 'three';
import {
  cctToLinearRgb,
  directionOf,
  moonDirection,
  moonNormalRgb,
  moonPlaceOf,
  SKY_BASIS_COUNT,
  SKY_BASIS_HORIZONTAL_LX,
  type Surroundings,
  skyCoefficients,
} from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import type { StageLayer, StageLayerFactory, StageUniforms } from '../layer.ts';
import { drawSkyline, type LitWindow, SKYLINE_LAYERS, SKYLINE_WIDTH } from './skyline.ts';
import { skyFragment, skyVertex, starFragment, starVertex, windowFragment, windowVertex } from './skyShader.ts';
import { scatterStars } from './stars.ts';

/** Clear evening: far things take on 1 − e^(−d/4 km) of the horizon's light; visual range 15.6 km (Koschmieder: 3.912 lengths). */
const HAZE_M = 4000;
/** Far foliage and meadow, luminous reflectance in proportion to leaves (foliage .08, grass at night .06). */
const WOOD_RHO: readonly [number, number, number] = [0.05, 0.083, 0.05];
const MEADOW_RHO: readonly [number, number, number] = [0.05, 0.066, 0.035];
/** Solid angle of the moon's disc, sr (diameter 0.518°). */
const MOON_SR = Math.PI * 0.00452 ** 2;
/** A far house, walls and roof alike before the shader tells them apart. */
const HOUSE_RHO: readonly [number, number, number] = [0.3, 0.28, 0.25];
/** A far lit window: 1.1 m square, 2.2 cd. */
const FAR_WINDOW_M = 1.1;
const FAR_WINDOW_CD = 2.2;
/** Leaves reach this far above the height of a crown. */
const LEAF_EDGE_M = 1.3;
/** No star shows while the sun is higher than this. */
const STARS_BELOW_DEG = -4;

function skylineTexture(rows: Float32Array): DataTexture {
  const texture = new DataTexture(Uint16Array.from(rows, DataUtils.toHalfFloat), SKYLINE_WIDTH, 2, RGBAFormat, HalfFloatType);
  texture.wrapS = RepeatWrapping;
  texture.wrapT = ClampToEdgeWrapping;
  texture.minFilter = LinearFilter;
  texture.magFilter = LinearFilter;
  texture.needsUpdate = true;
  return texture;
}

type Dots = Points<BufferGeometry, ShaderMaterial>;

/** Points at the sky's distance; `aLight` is colour and illuminance, lux. */
function createDots(directions: number[], light: number[], material: ShaderMaterial): Dots {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(directions), 3));
  geometry.setAttribute('aLight', new BufferAttribute(Float32Array.from(light), 4));
  const points = new Points(geometry, material);
  points.frustumCulled = false;
  points.renderOrder = 1001;
  return points;
}

const dotMaterial = (vertexShader: string, fragmentShader: string, uniforms: ShaderMaterial['uniforms']): ShaderMaterial =>
  new ShaderMaterial({
    vertexShader,
    fragmentShader,
    uniforms,
    // Alpha is left alone: added light, not cover.
    premultipliedAlpha: true,
    blending: AdditiveBlending,
    depthWrite: false,
    transparent: false,
  });

function createStars({ uOutput, uPixelRad }: StageUniforms, uSky: { value: Vector3[] }): Dots {
  const stars = scatterStars();
  return createDots(
    stars.flatMap((s) => s.direction),
    stars.flatMap((s) => [...s.colour, s.illuminanceLx]),
    dotMaterial(starVertex, starFragment, { uOutput, uPixelRad, uSky }),
  );
}

function createFarWindows(windows: LitWindow[], { uOutput, uPixelRad }: StageUniforms): Dots {
  const colour = cctToLinearRgb(2700);
  const points = createDots(
    windows.flatMap((w) => [Math.sin(w.azimuthRad), (w.heightM - 1.6) / w.distanceM, -Math.cos(w.azimuthRad)]),
    windows.flatMap((w) => [...colour, FAR_WINDOW_CD / w.distanceM ** 2]),
    dotMaterial(windowVertex, windowFragment, { uOutput, uPixelRad }),
  );
  const sizes = Float32Array.from(windows, (w) => FAR_WINDOW_M / w.distanceM);
  points.geometry.setAttribute('aSizeRad', new BufferAttribute(sizes, 1));
  return points;
}

/** What the sky needs beside the conditions: how bright the place is at night. Kept by the site record. */
export interface SkyOptions {
  surroundings?: Surroundings;
}

export interface SkyLayer extends StageLayer {
  setSurroundings(surroundings: Surroundings): void;
}

/** Sky dome, stars, moon, distant silhouettes and the ground beyond the lot, drawn last, where nothing stands before it. */
export const createSkyLayer = (context: Parameters<StageLayerFactory>[0], options: SkyOptions = {}): SkyLayer => {
  const { uniforms, scene } = context;
  let surroundings = options.surroundings ?? 'suburb';
  let conditions: Conditions | undefined;
  const skyline = drawSkyline();
  const texture = skylineTexture(skyline.rows);
  const sky = Array.from({ length: SKY_BASIS_COUNT }, () => new Vector3());
  const cells = {
    uOutput: uniforms.uOutput,
    uPixelRad: uniforms.uPixelRad,
    uUnproject: { value: new Matrix4() },
    uSplit: { value: 1 },
    uSky: { value: sky },
    uSkyline: { value: texture },
    uSkylineTop: { value: 1 },
    uEyeM: { value: 1.6 },
    uGroundM: { value: Math.min(0, scene.boundsMin[1]) },
    uHazeM: { value: HAZE_M },
    uWood: { value: new Vector3() },
    uHouse: { value: new Vector3() },
    uGround: { value: new Vector3() },
    uMoonDirection: { value: new Vector3(0, 1, 0) },
    uMoon: { value: new Vector4() },
    uSunward: { value: new Vector3(1, 0, 0) },
  };
  const strips = [createStrip(cells, {}), createStrip(cells, { SKYLINE: '' })];
  let stars: Dots | undefined;
  const windows = createFarWindows(skyline.windows, uniforms);
  const group = new Group();
  group.add(...strips, windows);
  const show = () => {
    if (!conditions) return;
    applySky(conditions, surroundings, cells);
    const starry = conditions.cloud === 'clear' && conditions.sunAltitudeDeg < STARS_BELOW_DEG;
    if (starry && !stars) {
      stars = createStars(uniforms, cells.uSky);
      group.add(stars);
    }
    if (stars) stars.visible = starry;
  };
  return {
    object3d: group,
    setConditions(next) {
      conditions = next;
      show();
    },
    setSurroundings(next) {
      surroundings = next;
      show();
    },
    beforeDraw(camera: Camera) {
      cells.uUnproject.value.multiplyMatrices(camera.matrixWorld, camera.projectionMatrixInverse);
      const eyeM = camera.matrixWorld.elements[13]!;
      cells.uEyeM.value = eyeM;
      const rise = skyline.topsM.map((topM, k) => (topM + LEAF_EDGE_M - eyeM) / SKYLINE_LAYERS[k]!.distanceM);
      cells.uSkylineTop.value = Math.max(...rise);
      cells.uSplit.value = splitOf(camera, cells.uSkylineTop.value);
    },
    restore() {
      texture.needsUpdate = true;
    },
    dispose() {
      texture.dispose();
      for (const { geometry, material } of [...strips, ...(stars ? [stars] : []), windows]) {
        geometry.dispose();
        material.dispose();
      }
    },
  };
};

/** Part of the picture's height, all of its width; y of its corners runs over that part. */
function createStrip(
  uniforms: ShaderMaterial['uniforms'],
  defines: ShaderMaterial['defines'],
): Mesh<BufferGeometry, ShaderMaterial> {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array([-1, 0, 0, 1, 0, 0, 1, 1, 0, -1, 1, 0]), 3));
  geometry.setIndex([0, 1, 2, 0, 2, 3]);
  const material = new ShaderMaterial({
    vertexShader: skyVertex,
    fragmentShader: skyFragment,
    uniforms,
    defines,
    depthWrite: false,
  });
  const strip = new Mesh(geometry, material);
  strip.frustumCulled = false;
  strip.renderOrder = 1000;
  strip.name = 'sky';
  return strip;
}

/**
 * Height in the picture, −1…1, over which no direction rises less than `rise` (tangent). A level camera sees a constant rise as
 * y = rise · √(1 + x²), highest at its sides (in its middle, below the horizon); any other gets the whole picture.
 */
export function splitOf(camera: Camera, rise: number): number {
  if (Math.abs(camera.matrixWorld.elements[9]!) > 1e-5) return 1;
  const e = camera.projectionMatrix.elements;
  const side = (1 + Math.abs(e[8]!)) / e[0]!;
  return Math.min(1, Math.max(-1, rise * (rise > 0 ? Math.hypot(1, side) : 1) * e[5]! - e[9]!));
}

interface SkyCells {
  uSky: { value: Vector3[] };
  uWood: { value: Vector3 };
  uHouse: { value: Vector3 };
  uGround: { value: Vector3 };
  uMoonDirection: { value: Vector3 };
  uMoon: { value: Vector4 };
  uSunward: { value: Vector3 };
}

/** Fill the cells from the sky the solver lights with; far things take their light from that same sky. */
function applySky(conditions: Conditions, surroundings: Surroundings, cells: SkyCells): void {
  const c = skyCoefficients(conditions, surroundings);
  const horizontal = [0, 0, 0];
  for (let k = 0; k < SKY_BASIS_COUNT; k++) {
    cells.uSky.value[k]!.set(c[k * 3]!, c[k * 3 + 1]!, c[k * 3 + 2]!);
    for (let i = 0; i < 3; i++) horizontal[i]! += c[k * 3 + i]! * SKY_BASIS_HORIZONTAL_LX[k]!;
  }
  // A wall of leaves faces half the sky and shades itself: about a third of the horizontal light.
  const seen = (rho: readonly [number, number, number], share: number) =>
    rho.map((r, i) => (r * share * horizontal[i]!) / Math.PI) as [number, number, number];
  cells.uWood.value.set(...seen(WOOD_RHO, 0.33));
  cells.uHouse.value.set(...seen(HOUSE_RHO, 0.5));
  cells.uGround.value.set(...seen(MEADOW_RHO, 0.8));
  const direction = moonDirection(conditions);
  cells.uMoonDirection.value.set(...direction);
  const normal = moonNormalRgb(conditions);
  // The lit share of the disc brings all of the moon's light.
  const cos = Math.cos((moonPlaceOf(conditions).elongationDeg * Math.PI) / 180);
  const litSr = MOON_SR * Math.max(0.02, (1 - cos) / 2);
  cells.uMoon.value.set(normal[0] / litSr, normal[1] / litSr, normal[2] / litSr, cos);
  const sun = new Vector3(...directionOf(conditions.sunAzimuthDeg, conditions.sunAltitudeDeg));
  cells.uSunward.value.copy(sun.addScaledVector(cells.uMoonDirection.value, -sun.dot(cells.uMoonDirection.value)).normalize());
}
