import type { PropertyDocument, Vec2, Vec3 } from '../scene/index.ts';

/** Height of a place above the ground level drawn under it (0 m where none is), metres. */
export function heightAboveGroundM(document: PropertyDocument, at: Vec3): number {
  const [x, y, z] = at;
  const level = document.ground.levels.findLast((one) => insideOutline(one.outline, x, z));
  return level ? y - (level.heightM + level.slopeX * x + level.slopeZ * z) : y;
}

/** Even–odd rule in plan. */
function insideOutline(outline: readonly Vec2[], x: number, z: number): boolean {
  let inside = false;
  outline.forEach(([ax, az], i) => {
    const [bx, bz] = outline[(i + 1) % outline.length]!;
    if (az > z !== bz > z && x < ax + ((z - az) / (bz - az)) * (bx - ax)) inside = !inside;
  });
  return inside;
}
