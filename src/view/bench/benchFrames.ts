import { WebGLRenderer } from 'three';
import type { Stage } from '../stage.ts';
import type { FrameTimes, NightPictureProps } from '../types.ts';
import { addShadowedSpots, sameCamera, stockScene } from './stockScene.ts';

const WARM_UPS = 2;
const ROUNDS = 7;
const SHADOWED_SPOTS = 12;

/**
 * Milliseconds of single frames, each finished by reading one pixel back: ours whole, with eye and tone, at full scale;
 * stock three.js with the same geometry, size and no antialiasing, unlit and with shadowed spots. Ours and unlit alternate.
 */
export async function benchFrames(stage: Stage, gl: WebGLRenderer, lights: NightPictureProps['lights']): Promise<FrameTimes> {
  const { graph, camera } = stage.shown;
  const stock = new WebGLRenderer({ antialias: false, alpha: false, stencil: false });
  stock.setPixelRatio(1);
  stock.setSize(gl.domElement.width, gl.domElement.height, false);
  const scene = stockScene(graph);
  const stockCamera = sameCamera(camera);
  const times: FrameTimes = { ours: [], stock: [], stockShadowed: [] };
  const drawStock = (): void => stock.render(scene, stockCamera);
  for (let round = -WARM_UPS; round < ROUNDS; round++) {
    const ours = await timed(gl, () => stage.drawWhole());
    const unlit = await timed(stock, drawStock);
    if (round < 0) continue;
    times.ours.push(ours);
    times.stock.push(unlit);
  }
  addShadowedSpots(scene, lights, SHADOWED_SPOTS);
  stock.shadowMap.enabled = true;
  for (let round = -WARM_UPS; round < ROUNDS; round++) {
    const shadowed = await timed(stock, drawStock);
    if (round >= 0) times.stockShadowed.push(shadowed);
  }
  stock.dispose();
  return times;
}

async function timed(renderer: WebGLRenderer, draw: () => void): Promise<number> {
  await new Promise(requestAnimationFrame);
  const pixel = new Uint8Array(4);
  const context = renderer.getContext();
  const started = performance.now();
  draw();
  renderer.setRenderTarget(null);
  context.readPixels(0, 0, 1, 1, context.RGBA, context.UNSIGNED_BYTE, pixel);
  return performance.now() - started;
}
