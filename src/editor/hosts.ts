import type { Mount, PropertyDocument, Vec3 } from '../scene/index.ts';
import { groundHeightAt, insideOutline } from '../scene/index.ts';
import { distanceToWall } from './wallPlace.ts';

/** A light nearer than this to the thing it hangs on stands on it, metres. */
const TOUCH_M = 0.2;
/** Below this height above the ground a light stands in the ground rather than on a wall or trunk, metres. */
const GROUND_REACH_M = 0.3;
const PAVED = new Set(['path', 'drive', 'paving', 'road', 'pavement']);

/**
 * Mount a light takes from what it stands on: gutter edge, wall, trunk, column, step, paving (in-grade), else soil (stake).
 * A light in the air with nothing near keeps `free`. Geometry of the records only; a hit in the picture may know better.
 */
export function mountFor(document: PropertyDocument, at: Vec3): Mount {
  const [x, y, z] = at;
  const aboveGroundM = y - groundHeightAt(document, x, z);
  const fixed = partMount(document, at);
  if (fixed) return fixed;
  if (aboveGroundM > GROUND_REACH_M) {
    if (onTrunk(document, at)) return 'tree';
    if (onWall(document, at)) return 'wall';
    return aboveGroundM > 1 ? 'free' : 'riser';
  }
  const patch = document.ground.patches.findLast((p) => insideOutline(p.outline, x, z));
  return patch && PAVED.has(patch.use) ? 'inGrade' : 'stake';
}

function partMount(document: PropertyDocument, at: Vec3): Mount | undefined {
  for (const building of document.buildings) {
    for (const part of building.parts) {
      if (part.kind === 'steps' && onSteps(part, at)) return 'step';
      if (part.kind === 'column' && onColumn(part, at))
        return Math.abs(at[1] - part.at[1] - part.heightM) < TOUCH_M ? 'cap' : 'post';
      if (part.kind === 'tub' && onTub(part, at)) return 'pot';
      if (part.kind === 'roof' && onEaves(part, at)) return 'gutter';
    }
  }
  return undefined;
}

/** Along and across a part turned by its bearing about +Y (0 = local axes along world X and Z). */
function localPlan(centre: readonly [number, number], bearingDeg: number, x: number, z: number): [number, number] {
  const turn = (bearingDeg * Math.PI) / 180;
  const dx = x - centre[0];
  const dz = z - centre[1];
  return [dx * Math.cos(turn) + dz * Math.sin(turn), -dx * Math.sin(turn) + dz * Math.cos(turn)];
}

function onSteps(
  part: { at: Vec3; bearingDeg: number; widthM: number; riserM: number; treadM: number; count: number },
  at: Vec3,
) {
  const [across, back] = localPlan([part.at[0], part.at[2]], part.bearingDeg, at[0], at[2]);
  const climbedM = -back;
  const within = Math.abs(across) <= part.widthM / 2 + 0.05 && climbedM >= -0.05 && climbedM <= part.treadM * part.count;
  return within && at[1] >= part.at[1] - 0.05 && at[1] <= part.at[1] + part.riserM * part.count + TOUCH_M;
}

function onColumn(part: { at: Vec3; widthM: number; heightM: number }, at: Vec3): boolean {
  const gapM = Math.hypot(at[0] - part.at[0], at[2] - part.at[2]) - part.widthM * Math.SQRT1_2;
  const up = at[1] - part.at[1];
  return gapM < TOUCH_M / 2 && up > GROUND_REACH_M && up <= part.heightM + TOUCH_M;
}

function onTub(part: { at: Vec3; topWidthM: number; heightM: number }, at: Vec3): boolean {
  const inside = Math.hypot(at[0] - part.at[0], at[2] - part.at[2]) <= part.topWidthM / 2;
  const up = at[1] - part.at[1];
  return inside && up > part.heightM * 0.5 && up <= part.heightM + GROUND_REACH_M;
}

type EavesOf = {
  centre: readonly [number, number];
  sizeM: readonly [number, number];
  bearingDeg: number;
  eavesM: number;
  overhangM: number;
};

function onEaves(part: EavesOf, at: Vec3): boolean {
  if (Math.abs(at[1] - part.eavesM) > TOUCH_M) return false;
  const [a, b] = localPlan(part.centre, part.bearingDeg, at[0], at[2]);
  const outM = Math.max(Math.abs(a) - part.sizeM[0] / 2, Math.abs(b) - part.sizeM[1] / 2) - part.overhangM;
  return Math.abs(outM) < TOUCH_M;
}

function onTrunk(document: PropertyDocument, [x, y, z]: Vec3): boolean {
  return document.planting.some((plant) => {
    if (plant.kind !== 'plant' || plant.habit === 'hedge' || plant.habit === 'shrub' || plant.habit === 'grass') return false;
    const gapM = Math.hypot(x - plant.at[0], z - plant.at[1]) - plant.trunkDiameterM / 2;
    return gapM < TOUCH_M && y < plant.baseM + plant.heightM;
  });
}

function onWall(document: PropertyDocument, at: Vec3): boolean {
  return document.buildings.some((building) =>
    building.parts.some((part) => part.kind === 'wall' && distanceToWall(part, at) < TOUCH_M),
  );
}

/** Why no light may stand in this place, or undefined: water, and ground past the boundary. */
export function placeRefusal(document: PropertyDocument, at: Vec3): string | undefined {
  const [x, y, z] = at;
  const pool = document.water.find((w) => insideOutline(w.outline, x, z) && y <= w.levelM + GROUND_REACH_M);
  if (pool) return `In the water of ${pool.name}: lights in water are not part of this program. Press beside it.`;
  const boundary = document.site.boundary;
  if (boundary && !insideOutline(boundary, x, z)) return "Past the boundary: that is a neighbour's ground. Press inside the lot.";
  return undefined;
}
