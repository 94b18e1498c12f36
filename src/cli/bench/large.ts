import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { createLightModel, resolveSources } from '../../lights/index.ts';
import type { PropertyDocument } from '../../scene/index.ts';
import { buildScene } from '../../scene/index.ts';
import { largeProperty } from './property.ts';
import { EVENING, now, since } from './solve.ts';

/** Bytes this process holds after a collection: heap and everything beside it (array buffers, compiled modules' memory). */
function heldBytes(): number {
  setFlagsFromString('--expose-gc');
  (runInNewContext('gc') as () => void)();
  const { heapUsed, external } = process.memoryUsage();
  return heapUsed + external;
}

/** The whole solve of 1.6 ha with 30 lights, and what it holds: scene, model with all layers, one packed picture. */
export function benchLarge(demo: PropertyDocument): Record<string, number> {
  const document = largeProperty(demo);
  const scene = buildScene(document);
  const from = now();
  const model = createLightModel(scene, { surroundings: document.site.surroundings });
  model.setSources(resolveSources(document, 'bench', { after: true, dirt: 'asShown' }), EVENING);
  model.solveAll();
  const { wallMs, cpuMs } = since(from);
  const memoryMb = heldBytes() / 1e6;
  return {
    largeSolveMs: wallMs,
    largeSolveMsCpu: cpuMs,
    memoryMb,
    memoryResidentMb: process.memoryUsage().rss / 1e6,
    memoryModelMb: model.stats.bytes / 1e6,
    largeTiles: model.stats.tiles,
    largeTilesLeftCoarse: model.stats.tilesLeftCoarse,
    largeDroppedFluxLm: model.stats.droppedFluxLm,
  };
}
