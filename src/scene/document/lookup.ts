import type { PropertyDocument } from '../records/property.ts';
import type { Vec2 } from '../records/common.ts';

/** True inside a closed outline of plan points (even–odd rule). */
export function insideOutline(outline: readonly Vec2[], x: number, z: number): boolean {
  let inside = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const [xi, zi] = outline[i]!;
    const [xj, zj] = outline[j]!;
    if (zi > z !== zj > z && x < ((xj - xi) * (z - zi)) / (zj - zi) + xi) inside = !inside;
  }
  return inside;
}

/**
 * Height of the ground in plan, metres: the last level whose outline holds the point, y = heightM + slopeX·x + slopeZ·z;
 * 0 where no level reaches.
 */
export function groundHeightAt(document: PropertyDocument, x: number, z: number): number {
  const level = document.ground.levels.findLast((l) => insideOutline(l.outline, x, z));
  return level ? level.heightM + level.slopeX * x + level.slopeZ * z : 0;
}
