export { type BuildSceneOptions, buildScene, linerTriangles } from './buildScene.ts';
export {
  clipFaceToRect,
  clipLoopsToRect,
  faceAreaM2,
  faceCoordinates,
  facePoint,
  materialAt,
  pointCovered,
  pointInFace,
  triangulateFace,
} from './face.ts';
export { sceneGroundHeightAt } from './ground.ts';
export { type ConvexPiece, clipHalfPlane } from './polygon.ts';
export { isInsideBlock } from './solid.ts';
export { buildStrandMesh, type StrandMesh } from './strand.ts';
export { type WallArea, wallAreaSummary } from './summary.ts';
export * from './types.ts';
