export { kernelsRun } from './instance.ts';
export { createSceneKernels, type SceneKernels } from './scene.ts';
