export { anyHitMany, RAY_NUMBERS } from './batch.ts';
export { kernelsRun } from './instance.ts';
export { createSceneKernels, type SceneKernels } from './scene.ts';
export { lightTile, seeTile, type TileLux } from './tiles.ts';
export { type Eyes, lightGroupPoints, reachedGroups } from './groups.ts';
export { ALL_RAYS, seeEdges } from './edges.ts';
export { createPatchMixer, type KeptLattice, type PatchLattice, type PatchMixer, type Span } from './patches.ts';
