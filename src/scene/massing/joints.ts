import type { PartOf, Vec2 } from '../records/index.ts';

export type WallPart = PartOf<'wall'>;

const SAME_POINT_M = 0.001;

/** How a wall meets the next one at each end. Angles: plan turn there, radians, positive at an outer (convex) corner. */
export interface WallJoints {
  before?: { wall: WallPart; turnRad: number };
  after?: { wall: WallPart; turnRad: number };
}

/** Closed ring of house walls; the outside lies on the right of the walk. */
export interface House {
  walls: WallPart[];
  /** Corners [x, −z], counter-clockwise. */
  loop: Vec2[];
  baseM: number;
  /** Lowest wall top: the shell is closed by a lid at this height. */
  lidM: number;
}

export function wallLengthM(wall: WallPart): number {
  return Math.hypot(wall.to[0] - wall.from[0], wall.to[1] - wall.from[1]);
}

function samePoint(a: Vec2, b: Vec2): boolean {
  return Math.hypot(a[0] - b[0], a[1] - b[1]) < SAME_POINT_M;
}

function overlapInHeight(a: WallPart, b: WallPart): boolean {
  return a.baseM < b.baseM + b.heightM && b.baseM < a.baseM + a.heightM;
}

/** Turn from one wall to the next: δ = atan2(−(d₁ × d₂), d₁ · d₂) in plan. */
function turnRad(a: WallPart, b: WallPart): number {
  const ax = a.to[0] - a.from[0];
  const az = a.to[1] - a.from[1];
  const bx = b.to[0] - b.from[0];
  const bz = b.to[1] - b.from[1];
  return Math.atan2(-(ax * bz - az * bx), ax * bx + az * bz);
}

export function findJoints(wall: WallPart, walls: readonly WallPart[]): WallJoints {
  const fits = (other: WallPart) => other !== wall && other.freeStanding === wall.freeStanding && overlapInHeight(other, wall);
  const before = walls.find((w) => fits(w) && samePoint(w.to, wall.from));
  const after = walls.find((w) => fits(w) && samePoint(w.from, wall.to));
  return {
    ...(before ? { before: { wall: before, turnRad: turnRad(before, wall) } } : {}),
    ...(after ? { after: { wall: after, turnRad: turnRad(wall, after) } } : {}),
  };
}

/** Finds closed rings among the house walls of one building. Rings walked the wrong way round (rooms) are left out. */
export function findHouses(walls: readonly WallPart[]): House[] {
  const free = new Set(walls.filter((w) => !w.freeStanding));
  const houses: House[] = [];
  for (const start of walls) {
    if (!free.has(start)) continue;
    const ring = followRing(start, free);
    if (!ring) continue;
    for (const wall of ring) free.delete(wall);
    const loop = ring.map((w): Vec2 => [w.from[0], -w.from[1]]);
    let twice = 0;
    loop.forEach((a, i) => {
      const b = loop[(i + 1) % loop.length]!;
      twice += a[0] * b[1] - b[0] * a[1];
    });
    if (twice <= 0) continue;
    houses.push({
      walls: ring,
      loop,
      baseM: Math.min(...ring.map((w) => w.baseM)),
      lidM: Math.min(...ring.map((w) => w.baseM + w.heightM)),
    });
  }
  return houses;
}

function followRing(start: WallPart, free: ReadonlySet<WallPart>): WallPart[] | undefined {
  const ring = [start];
  for (;;) {
    const last = ring[ring.length - 1]!;
    if (ring.length > 2 && samePoint(last.to, start.from)) return ring;
    const next = [...free].find((w) => !ring.includes(w) && samePoint(w.from, last.to) && overlapInHeight(w, last));
    if (!next) return undefined;
    ring.push(next);
  }
}
