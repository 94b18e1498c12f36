import {
  AddEquation,
  BufferAttribute,
  BufferGeometry,
  CustomBlending,
  Group,
  Matrix4,
  Mesh,
  OneFactor,
  type Scene,
  ShaderMaterial,
  SrcAlphaFactor,
  Vector3,
  type WebGLRenderer,
  type WebGLRenderTarget,
  ZeroFactor,
} from 'three';
import { SKY_BASIS_COUNT, type Surroundings, skyCoefficients } from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import type { CameraPose } from '../../scene/index.ts';
import { createCamera, placeCamera } from '../camera.ts';
import type { StageLayer, StageLayerFactory } from '../layer.ts';
import { halfTarget } from '../post/pass.ts';
import { clipBelow, mirroredPose, type Part, partOf } from './mirrorPlane.ts';
import { cornersOf, type Sheet, seenFrom, sheetsOf } from './sheets.ts';
import { sheetFragment, sheetVertex } from './waterShader.ts';

/** Mirrors drawn a picture; further heights of water show the plain sky. */
const MOST_MIRRORS = 2;
/** Size of the mirror image against the picture's. */
const MIRROR_SCALE = 0.5;
/** What stands lower than this above the mirror is left out of its image: the sheet itself and its hair cracks, metres. */
const CLIP_M = { water: 0.002, paving: 0.03 } as const;
/** Ripples reach this far beyond the sheet's own part of the picture. */
const MARGIN = 0.06;

/** What the mirror needs to draw the picture once more. */
export interface MirrorDraw {
  renderer: WebGLRenderer;
  graph: Scene;
  pose: CameraPose;
  widthPx: number;
  heightPx: number;
  shiftPx: readonly [number, number];
  /** The other layers, to be told of the mirror's eye. */
  layers: readonly StageLayer[];
}

export interface WaterLayer extends StageLayer {
  setSurroundings(surroundings: Surroundings): void;
  /** Draws the mirror images that are in sight; call before the picture itself. */
  drawMirrors(draw: MirrorDraw): void;
}

interface Drawn {
  sheet: Sheet;
  mesh: Mesh<BufferGeometry, ShaderMaterial>;
  target: WebGLRenderTarget | undefined;
}

/**
 * Mirror images in still water and on wet paving: what the stage draws, drawn once more from under the mirror, and laid over
 * the sheet by Fresnel's reflectance. Display only: no light is worked out, maps and figures do not know of it.
 */
export function createWaterLayer(
  context: Parameters<StageLayerFactory>[0],
  options: { surroundings?: Surroundings } = {},
): WaterLayer {
  const group = new Group();
  const sky = Array.from({ length: SKY_BASIS_COUNT }, () => new Vector3());
  const drawn = sheetsOf(context.scene).map((sheet) => createSheet(sheet, sky, context.uniforms));
  for (const { mesh } of drawn) group.add(mesh);
  const camera = createCamera();
  let surroundings = options.surroundings ?? 'suburb';
  let conditions: Conditions | undefined;
  const applySky = () => {
    if (!conditions) return;
    const c = skyCoefficients(conditions, surroundings);
    sky.forEach((cell, k) => {
      cell.set(c[k * 3]!, c[k * 3 + 1]!, c[k * 3 + 2]!);
    });
    for (const { sheet, mesh } of drawn) mesh.visible = sheet.kind === 'water' || conditions.paving === 'wet';
  };

  const drawMirrors = (draw: MirrorDraw): void => {
    const { uniforms } = context;
    const plain = uniforms.uOutput.value > 0.5 || uniforms.uPlain.value > 0.5;
    let left = plain ? 0 : MOST_MIRRORS;
    const shown = drawn.filter(({ mesh }) => mesh.visible);
    for (const { mesh } of drawn) mesh.visible = false;
    for (const one of shown) {
      const part = left > 0 && seenFrom(one.sheet, draw.pose) ? placeMirror(one, draw, camera) : undefined;
      one.mesh.material.uniforms.uHasMirror!.value = part ? 1 : 0;
      if (!part) continue;
      left -= 1;
      drawMirror(one, part, draw, camera, uniforms.uPixelRad);
    }
    for (const { mesh } of shown) mesh.visible = true;
  };

  return {
    object3d: group,
    drawMirrors,
    setConditions(next) {
      conditions = next;
      applySky();
    },
    setSurroundings(next) {
      surroundings = next;
      applySky();
    },
    dispose() {
      for (const { mesh, target } of drawn) {
        mesh.geometry.dispose();
        mesh.material.dispose();
        target?.dispose();
      }
    },
  };
}

function createSheet(sheet: Sheet, sky: Vector3[], uniforms: Parameters<StageLayerFactory>[0]['uniforms']): Drawn {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(sheet.positionsM), 3));
  const material = new ShaderMaterial({
    name: `mirror-${sheet.kind}`,
    vertexShader: sheetVertex,
    fragmentShader: sheetFragment(sheet.kind === 'paving'),
    uniforms: {
      uOutput: uniforms.uOutput,
      uPlain: uniforms.uPlain,
      uPixelRad: uniforms.uPixelRad,
      uSky: { value: sky },
      tMirror: { value: null },
      uMirror: { value: new Matrix4() },
      uHasMirror: { value: 0 },
    },
    blending: CustomBlending,
    blendEquation: AddEquation,
    blendSrc: OneFactor,
    blendDst: SrcAlphaFactor,
    blendSrcAlpha: ZeroFactor,
    blendDstAlpha: OneFactor,
    depthWrite: false,
    polygonOffset: true,
    polygonOffsetFactor: -1,
    polygonOffsetUnits: -2,
  });
  const mesh = new Mesh(geometry, material);
  mesh.frustumCulled = false;
  // After what lies under the sheet, before the sky.
  mesh.renderOrder = 6;
  mesh.name = `mirror ${sheet.kind}`;
  mesh.visible = sheet.kind === 'water';
  return { sheet, mesh, target: undefined };
}

/** Puts the camera under the mirror; the part of its picture that the sheet shows, or undefined when it is out of sight. */
function placeMirror(one: Drawn, draw: MirrorDraw, camera: ReturnType<typeof createCamera>): Part | undefined {
  const { pose, widthPx, heightPx, shiftPx } = draw;
  placeCamera(camera, mirroredPose(pose, one.sheet.levelM), widthPx, heightPx, [shiftPx[0], -shiftPx[1]]);
  return partOf(cornersOf(one.sheet), camera, MARGIN);
}

function drawMirror(
  one: Drawn,
  part: Part,
  draw: MirrorDraw,
  camera: ReturnType<typeof createCamera>,
  pixelRad: { value: number },
): void {
  const { renderer, graph, layers } = draw;
  const width = Math.max(1, Math.round(draw.widthPx * MIRROR_SCALE));
  const height = Math.max(1, Math.round(draw.heightPx * MIRROR_SCALE));
  if (one.target?.width !== width || one.target.height !== height) {
    one.target?.dispose();
    one.target = halfTarget(width, height, true);
  }
  const { material } = one.mesh;
  material.uniforms.uMirror!.value.multiplyMatrices(camera.projectionMatrix, camera.matrixWorldInverse);
  material.uniforms.tMirror!.value = one.target.texture;
  clipBelow(camera, one.sheet.levelM + CLIP_M[one.sheet.kind]);
  const full = pixelRad.value;
  pixelRad.value = full / MIRROR_SCALE;
  for (const layer of layers) layer.beforeDraw?.(camera);
  const [x, y] = [Math.floor(part.x0 * width), Math.floor(part.y0 * height)];
  one.target.scissorTest = true;
  one.target.scissor.set(x, y, Math.ceil(part.x1 * width) - x, Math.ceil(part.y1 * height) - y);
  renderer.setRenderTarget(one.target);
  renderer.setClearColor(0, 0);
  renderer.clear(true, true, false);
  renderer.render(graph, camera);
  pixelRad.value = full;
}
