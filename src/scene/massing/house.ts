import type { Vec2, Vec3 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import type { House } from './joints.ts';
import { convexPieces, insetLoop, toLoop } from './polygon.ts';
import { planRing, prismSolid } from './solid.ts';

/** Clear space between the deepest reveal and the dark liner inside, metres. */
const LINER_GAP_M = 0.03;
/** The house's body hides the ground of a slope this far below its base. */
const FOUNDATION_M = 3;

/**
 * Closes a ring of walls: a lid at the lowest wall top, a floor at the base, and a black liner inside the reveals, so that no
 * light passes where pieces meet at T-junctions. The lid is a face (a lead flat where no roof covers it, as behind a
 * parapet); floor and liner only stand in the way (face −1). The space inside the liner is a solid block.
 */
export function buildHouse(b: SceneBuilder, house: House): void {
  const partId = house.walls[0]!.id;
  b.face({
    id: `${partId}/lid`,
    partId,
    name: 'flat behind the parapet',
    kind: 'roof',
    origin: [0, house.lidM, 0],
    u: [1, 0, 0],
    v: [0, 0, -1],
    loops: [house.loop],
    material: 'leadGrey',
  });
  const spares = new Set(house.walls.map((w) => w.id));
  for (const piece of planPieces(house.loop)) {
    b.occluderRing(partId, planRing([...piece].reverse(), house.baseM));
    const whole = prismSolid(partId, planRing(piece, house.baseM), planRing(piece, house.lidM));
    b.solids.push({ ...whole, spares, isBlock: false });
    const hidden = prismSolid(partId, planRing(piece, house.baseM - FOUNDATION_M), planRing(piece, house.baseM));
    b.solids.push({ ...hidden, hides: 'ground', isBlock: false });
  }
  const depths = house.walls.map((w) => LINER_GAP_M + Math.max(0, ...w.openings.map((o) => o.revealM)));
  const inner = insetLoop(house.loop, depths);
  if (!inner) return;
  const ring = inner.map(([x, t]): Vec2 => [x, -t]);
  ring.forEach((a, i) => {
    const c = ring[(i + 1) % ring.length]!;
    const wall: Vec3[] = [
      [a[0], house.baseM, a[1]],
      [c[0], house.baseM, c[1]],
      [c[0], house.lidM, c[1]],
      [a[0], house.lidM, a[1]],
    ];
    b.occluderRing(partId, wall);
  });
  for (const piece of planPieces(inner)) {
    b.solids.push({ ...prismSolid(partId, planRing(piece, house.baseM), planRing(piece, house.lidM)), hides: 'nothing' });
  }
}

/** Convex pieces of a loop in (x, −z), as plan loops [x, z] counter-clockwise seen from above. */
export function planPieces(loop: Vec2[]): Vec2[][] {
  return convexPieces([loop]).map((piece) => toLoop(piece).map(([x, t]): Vec2 => [x, -t]));
}
