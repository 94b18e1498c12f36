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
  SKY_BASIS_COUNT,
  SKY_BASIS_HORIZONTAL_LX,
  type Surroundings,
  skyCoefficients,
} from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import type { StageLayer, StageLayerFactory, StageUniforms } from '../layer.ts';
import { drawSkyline, type LitWindow, SKYLINE_WIDTH } from './skyline.ts';
import { dotFragment, dotVertex, skyFragment, skyVertex } from './skyShader.ts';
import { scatterStars } from './stars.ts';

/** Haze: distance at which far things have taken on most of the horizon's light, metres (by eye). */
const HAZE_M = 1500;
/** Far foliage and meadow, luminous reflectance in proportion to leaves (foliage .08, grass at night .06). */
const WOOD_RHO: readonly [number, number, number] = [0.05, 0.083, 0.05];
const MEADOW_RHO: readonly [number, number, number] = [0.05, 0.066, 0.035];
/** Solid angle of the moon's disc, sr (diameter 0.518°). */
const MOON_SR = Math.PI * 0.00452 ** 2;
/** A far lit window, cd/m² × m². */
const FAR_WINDOW_CD = 2.2;

function skylineTexture(heights: Float32Array): DataTexture {
  const texture = new DataTexture(Uint16Array.from(heights, DataUtils.toHalfFloat), SKYLINE_WIDTH, 1, RGBAFormat, HalfFloatType);
  texture.wrapS = RepeatWrapping;
  texture.wrapT = ClampToEdgeWrapping;
  texture.minFilter = LinearFilter;
  texture.magFilter = LinearFilter;
  texture.needsUpdate = true;
  return texture;
}

interface Dots {
  points: Points<BufferGeometry, ShaderMaterial>;
}

function createDots(directions: number[], colours: number[], lux: number[], uniforms: StageUniforms): Dots {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(directions), 3));
  geometry.setAttribute('aColour', new BufferAttribute(Float32Array.from(colours), 4));
  geometry.setAttribute('aLux', new BufferAttribute(Float32Array.from(lux), 1));
  const material = new ShaderMaterial({
    vertexShader: dotVertex,
    fragmentShader: dotFragment,
    uniforms: { uOutput: uniforms.uOutput, uPixelRad: uniforms.uPixelRad, uDotPx: { value: 2 } },
    blending: AdditiveBlending,
    depthWrite: false,
    transparent: false,
  });
  const points = new Points(geometry, material);
  points.frustumCulled = false;
  points.renderOrder = 1001;
  return { points };
}

function createStars(uniforms: StageUniforms): Dots {
  const stars = scatterStars();
  return createDots(
    stars.flatMap((s) => s.direction),
    stars.flatMap((s) => [...s.colour, 1]),
    stars.map((s) => s.illuminanceLx),
    uniforms,
  );
}

function createFarWindows(windows: LitWindow[], uniforms: StageUniforms): Dots {
  const colour = cctToLinearRgb(2700);
  const at = (w: LitWindow) => {
    const rise = (w.heightM - 1.6) / w.distanceM;
    return [Math.sin(w.azimuthRad), rise, -Math.cos(w.azimuthRad)];
  };
  return createDots(
    windows.flatMap(at),
    windows.flatMap(() => [...colour, 1]),
    windows.map((w) => FAR_WINDOW_CD / w.distanceM ** 2),
    uniforms,
  );
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
  const texture = skylineTexture(skyline.heights);
  const sky = Array.from({ length: SKY_BASIS_COUNT }, () => new Vector3());
  const cells = {
    uOutput: uniforms.uOutput,
    uPixelRad: uniforms.uPixelRad,
    uUnproject: { value: new Matrix4() },
    uSky: { value: sky },
    uSkyline: { value: texture },
    uEyeM: { value: 1.6 },
    uGroundM: { value: Math.min(0, scene.boundsMin[1]) },
    uHazeM: { value: HAZE_M },
    uWood: { value: new Vector3() },
    uGround: { value: new Vector3() },
    uMoonDirection: { value: new Vector3(0, 1, 0) },
    uMoon: { value: new Vector4() },
    uSunward: { value: new Vector3(1, 0, 0) },
  };
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3));
  const material = new ShaderMaterial({
    vertexShader: skyVertex,
    fragmentShader: skyFragment,
    uniforms: cells,
    depthWrite: false,
  });
  const dome = new Mesh(geometry, material);
  dome.frustumCulled = false;
  dome.renderOrder = 1000;
  dome.name = 'sky';
  const stars = createStars(uniforms);
  const windows = createFarWindows(skyline.windows, uniforms);
  const group = new Group();
  group.add(dome, stars.points, windows.points);
  const show = () => {
    if (conditions) applySky(conditions, surroundings, cells);
    stars.points.visible = conditions?.cloud === 'clear';
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
      cells.uEyeM.value = new Vector3().setFromMatrixPosition(camera.matrixWorld).y;
    },
    restore() {
      texture.needsUpdate = true;
    },
    dispose() {
      geometry.dispose();
      material.dispose();
      texture.dispose();
      for (const { points } of [stars, windows]) {
        points.geometry.dispose();
        points.material.dispose();
      }
    },
  };
};

interface SkyCells {
  uSky: { value: Vector3[] };
  uWood: { value: Vector3 };
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
  cells.uGround.value.set(...seen(MEADOW_RHO, 0.8));
  const direction = moonDirection(conditions);
  cells.uMoonDirection.value.set(...direction);
  const normal = moonNormalRgb(conditions);
  const share = conditions.moon === 'quarter' ? 2 : 1;
  cells.uMoon.value.set(
    (normal[0] * share) / MOON_SR,
    (normal[1] * share) / MOON_SR,
    (normal[2] * share) / MOON_SR,
    conditions.moon === 'quarter' ? 1 : 0,
  );
  const sun = new Vector3(...directionOf(conditions.sunAzimuthDeg, conditions.sunAltitudeDeg));
  cells.uSunward.value.copy(sun.addScaledVector(cells.uMoonDirection.value, -sun.dot(cells.uMoonDirection.value)).normalize());
}
