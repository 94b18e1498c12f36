// Everything the page calls.
import { sumLeaves } from './leaves';
import { lightTile } from './lux';
import { aimTileShaft, anyHidden, drawShadows, hiddenBySolid, lookAtTile } from './tile';

export { seeEdges } from './edges';
export { seePoints } from './groupSight';
export { dimPoints, lightPoints, reachGroups, setGroups } from './groups';
export { leafDepth, leafReach } from './leafRays';
export { anyHit, anyHitMany, nearest } from './rays';
export { mixPatches } from './patches';
export { setTrees } from './shared';
export { setSolids } from './tile';

/** Bits of what `seeTile` found: a valid sample is open, one is hidden, leaves lie on the way. */
const OPEN = 1;
const HIDDEN = 2;
const LEAFY = 4;

/** Hard shadows and leaves between the lamp and the tile in `PARAMS` and `ROWS`. */
export function seeTile(): i32 {
  lookAtTile();
  if (hiddenBySolid()) return 0;
  aimTileShaft();
  if (!drawShadows()) return 0;
  return OPEN | (anyHidden() ? HIDDEN : 0) | (sumLeaves() ? LEAFY : 0);
}

/** Lux of the beam in `PARAMS` on the tile there; see `lightTile`. */
export function lightUp(shadowed: i32, leafy: i32): void {
  lookAtTile();
  lightTile(shadowed, leafy);
}
