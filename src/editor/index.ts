export { createEditor } from './createEditor.ts';
export { freeId } from './freeId.ts';
export { mountFor, placeRefusal } from './hosts.ts';
export { createLight, FIRST_LAMP, lightAdded, lightsCopied, placesAlong } from './lights.ts';
export {
  createScheme,
  findFixture,
  findLamp,
  fixturesRemoved,
  lightLabel,
  lightNumber,
  putById,
  putFixtureInto,
  schemeChangeApplied,
  schemeOf,
  withLocksKept,
  withScheme,
} from './schemeEdits.ts';
export { cameraOf, createSession } from './session.ts';
export { alongMarks, evenAlong, type Pier, piersOf, SET_BACKS, type Snap, snapAlong, snapSetBack } from './snaps.ts';
export * from './types.ts';
export {
  aimFromAngles,
  anglesOf,
  facingBearingDeg,
  findWall,
  moveLight,
  nearestWall,
  type PlaceFields,
  placeFromWall,
  type WallPlace,
  wallLengthM,
  wallPlaceOf,
  wallsOf,
  withPlaceFields,
} from './wallPlace.ts';
export { freeLegs, GUESSED_DETOUR, isWired, joinNearestRun } from './wiringEdits.ts';
