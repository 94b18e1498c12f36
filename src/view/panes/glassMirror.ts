import {
  HalfFloatType,
  LinearFilter,
  LinearMipmapLinearFilter,
  RGBAFormat,
  type Scene,
  Vector3,
  type WebGLRenderer,
  WebGLRenderTarget,
} from 'three';
import type { Vec3 } from '../../scene/index.ts';
import { createCamera, FAR_M } from '../camera.ts';
import type { StageLayer } from '../layer.ts';
import type { GlassPlane } from './glassPlanes.ts';
import { MIRROR_DOWN, MIRROR_TILE_PX, MIRROR_TILES, MIRROR_UP } from './glassShader.ts';

/** What hangs nearer to the mirror's eye is left out: a shrub below the sill would fill it. */
const NEAR_M = 0.8;

export interface GlassDraw {
  renderer: WebGLRenderer;
  graph: Scene;
  layers: readonly StageLayer[];
  pixelRad: { value: number };
  targetPx: { value: { x: number; y: number; set(x: number, y: number): unknown } };
}

/** Pictures of what stands before the glass, kept until the light changes. */
export class GlassMirror {
  readonly target = new WebGLRenderTarget(MIRROR_TILE_PX.width * MIRROR_TILES, MIRROR_TILE_PX.height, {
    type: HalfFloatType,
    format: RGBAFormat,
    minFilter: LinearMipmapLinearFilter,
    magFilter: LinearFilter,
    generateMipmaps: true,
    depthBuffer: true,
  });
  private readonly camera = createCamera();

  /** Draws the two pictures of one mirror. The texture must not be read meanwhile. */
  draw(plane: GlassPlane, mirror: number, { renderer, graph, layers, pixelRad, targetPx }: GlassDraw): void {
    const { width, height } = MIRROR_TILE_PX;
    const keptRad = pixelRad.value;
    const [keptX, keptY] = [targetPx.value.x, targetPx.value.y];
    pixelRad.value = 2 / width;
    targetPx.value.set(width, height);
    for (const side of [0, 1]) {
      this.place(plane, side);
      for (const layer of layers) layer.beforeDraw?.(this.camera);
      const x = (2 * mirror + side) * width;
      this.target.viewport.set(x, 0, width, height);
      this.target.scissor.set(x, 0, width, height);
      this.target.scissorTest = true;
      renderer.setRenderTarget(this.target);
      renderer.setClearColor(0, 0);
      renderer.clear(true, true, false);
      renderer.render(graph, this.camera);
    }
    pixelRad.value = keptRad;
    targetPx.value.set(keptX, keptY);
  }

  dispose(): void {
    this.target.dispose();
  }

  private place({ at, u, normal }: GlassPlane, side: number): void {
    const { camera } = this;
    const turn = side === 0 ? -1 : 1;
    const ahead = [0, 1, 2].map((c) => at[c]! + normal[c]! + turn * u[c]!) as unknown as Vec3;
    camera.position.set(...at);
    camera.up.set(0, 1, 0);
    camera.lookAt(new Vector3(...ahead));
    camera.near = NEAR_M;
    camera.far = FAR_M;
    camera.projectionMatrix.makePerspective(-NEAR_M, NEAR_M, MIRROR_UP * NEAR_M, -MIRROR_DOWN * NEAR_M, NEAR_M, FAR_M);
    camera.projectionMatrixInverse.copy(camera.projectionMatrix).invert();
    camera.updateMatrixWorld(true);
  }
}
