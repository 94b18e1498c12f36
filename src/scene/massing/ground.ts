import type { GroundLevel, GroundRecord, Vec2, Vec3, WaterRecord } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import { counterClockwise, faceCoordinates, pointInFace } from './face.ts';
import { boundsOf, type ConvexPiece, clipToConvex, convexPieces, pointInLoops, signedArea } from './polygon.ts';
import type { SceneModel } from './types.ts';
import { cross, dot, unit } from './vec.ts';

/** Steps in the ground lower than this get no face. */
const LEAST_KERB_M = 0.005;
/** Just outside a boundary, where the neighbouring ground is looked up. */
const BESIDE_M = 0.02;
/** Depth shown of a basin's side below the water's level. */
const BASIN_SIDE_M = 0.3;

/** y of a level's plane at (x, z): y = h + sx·x + sz·z. */
function planeHeight(level: GroundLevel, x: number, z: number): number {
  return level.heightM + level.slopeX * x + level.slopeZ * z;
}

/** Axes in the plane: u climbs with x, v = n × u (−Z on level ground), so s and t are true lengths on the slope. */
function planeAxes(level: GroundLevel): { u: Vec3; v: Vec3 } {
  const u = unit([1, level.slopeX, 0]);
  const n = unit([-level.slopeX, 1, -level.slopeZ]);
  return { u, v: cross(n, u) };
}

export function buildGround(b: SceneBuilder, ground: GroundRecord, water: readonly WaterRecord[]): void {
  const regions = openRegions(ground);
  ground.levels.forEach((level, i) => {
    buildLevel(b, ground, level, regions[i]!, water);
  });
  for (const basin of water) buildWater(b, ground, basin);
}

/**
 * What is left of each level where later levels lie in its place: loops in (x, −z) under the even–odd rule. The regions of
 * later levels do not overlap, so each loop of theirs, cut to this level, is taken out once.
 */
function openRegions(ground: GroundRecord): Vec2[][][] {
  const regions: Vec2[][][] = [];
  for (let i = ground.levels.length - 1; i >= 0; i--) {
    const outline = counterClockwise(ground.levels[i]!.outline.map(([x, z]): Vec2 => [x, -z]));
    const pieces = isConvex(outline) ? [outline.flat()] : convexPieces([outline]);
    regions.unshift([outline, ...regions.flatMap((loops) => loops.flatMap((loop) => clipToPieces(loop, pieces)))]);
  }
  return regions;
}

function buildLevel(
  b: SceneBuilder,
  ground: GroundRecord,
  level: GroundLevel,
  region: Vec2[][],
  water: readonly WaterRecord[],
): void {
  const { u, v } = planeAxes(level);
  const inPlane = ([x, minusZ]: Vec2): Vec2 => {
    const p: Vec3 = [x, planeHeight(level, x, -minusZ) - level.heightM, -minusZ];
    return [dot(p, u), dot(p, v)];
  };
  const plan = (outline: Vec2[]) => outline.map(([x, z]): Vec2 => [x, -z]);
  const loops = [...region];
  if (water.length > 0) {
    const open = convexPieces(region);
    for (const basin of water) loops.push(...clipToPieces(plan(basin.outline), open));
  }
  const face = b.face({
    id: `${level.id}/top`,
    partId: level.id,
    name: level.name || level.id,
    kind: 'ground',
    origin: [0, level.heightM, 0],
    u,
    v,
    loops: loops.map((loop) => loop.map(inPlane)),
    material: level.material,
  });
  const outline = region[0]!;
  const { s0, t0 } = boundsOf([outline.map(inPlane)]);
  const pieces = isConvex(outline) ? [outline.flat()] : convexPieces([outline]);
  for (const patch of ground.patches) {
    for (const part of clipToPieces(plan(patch.outline), pieces)) {
      const loop = part.map(inPlane).map(([s, t]): Vec2 => [s - s0, t - t0]);
      face.patches.push({ id: patch.id, use: patch.use, loop, material: b.material(patch.material) });
    }
  }
  buildKerbs(b, ground, level);
}

/** A loop cut to convex pieces: one loop for each piece it reaches. */
function clipToPieces(loop: Vec2[], pieces: ConvexPiece[]): Vec2[][] {
  const turned = counterClockwise(loop);
  return pieces.map((piece) => clipToConvex(turned, piece)).filter((l) => l.length > 2 && Math.abs(signedArea(l)) > 1e-6);
}

function isConvex(loop: Vec2[]): boolean {
  return loop.every((a, i) => {
    const b = loop[(i + 1) % loop.length]!;
    const c = loop[(i + 2) % loop.length]!;
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) >= -1e-9;
  });
}

/** Upright faces where a level ends above the ground beside it (terrace edge, kerb) or lies sunk into another level. */
function buildKerbs(b: SceneBuilder, ground: GroundRecord, level: GroundLevel): void {
  const ring = walkOutsideRight(level.outline);
  ring.forEach((a, i) => {
    const c = ring[(i + 1) % ring.length]!;
    const beside = besideEdge(ground, a, c);
    if (!beside || beside.inside !== level) return;
    const own = [a, c].map(([x, z]) => planeHeight(level, x, z)) as [number, number];
    const other = [a, c].map(([x, z]) => planeHeight(beside.outside, x, z)) as [number, number];
    const rise = (own[0] + own[1] - other[0] - other[1]) / 2;
    if (Math.abs(rise) < LEAST_KERB_M || (rise < 0 && !beside.sunk)) return;
    const [low, high] = rise > 0 ? [other, own] : [own, other];
    const corners: Vec3[] = [
      [a[0], Math.min(low[0], high[0]), a[1]],
      [c[0], Math.min(low[1], high[1]), c[1]],
      [c[0], high[1], c[1]],
      [a[0], high[0], a[1]],
    ];
    const material = (rise > 0 ? level : beside.outside).material;
    b.polygonFace(
      { id: `${level.id}/edge-${i + 1}`, partId: level.id, name: `${level.name || level.id}, edge`, kind: 'kerb', material },
      rise > 0 ? corners : [corners[1]!, corners[0]!, corners[3]!, corners[2]!],
    );
  });
}

/** Levels either side of the middle of a plan edge walked with the outside on the right. */
function besideEdge(
  ground: GroundRecord,
  a: Vec2,
  c: Vec2,
): { inside: GroundLevel; outside: GroundLevel; sunk: boolean } | undefined {
  const lengthM = Math.hypot(c[0] - a[0], c[1] - a[1]);
  if (lengthM < 1e-6) return undefined;
  const out: Vec2 = [(-(c[1] - a[1]) / lengthM) * BESIDE_M, ((c[0] - a[0]) / lengthM) * BESIDE_M];
  const [x, z] = [(a[0] + c[0]) / 2, (a[1] + c[1]) / 2];
  const inside = levelAt(ground, x - out[0], z - out[1]);
  const outside = levelAt(ground, x + out[0], z + out[1]);
  if (!inside || !outside || inside === outside) return undefined;
  return { inside, outside, sunk: pointInLoops([outside.outline], x - out[0], z - out[1]) };
}

/** Plan loop turned so that its outside lies on the right of the walk, as with walls. */
function walkOutsideRight(outline: Vec2[]): Vec2[] {
  return signedArea(outline) > 0 ? [...outline].reverse() : outline;
}

function buildWater(b: SceneBuilder, ground: GroundRecord, basin: WaterRecord): void {
  const loop = counterClockwise(basin.outline.map(([x, z]): Vec2 => [x, -z]));
  b.face({
    id: `${basin.id}/top`,
    partId: basin.id,
    name: basin.name,
    kind: 'water',
    origin: [0, basin.levelM, 0],
    u: [1, 0, 0],
    v: [0, 0, -1],
    loops: [loop],
    material: 'water',
  });
  /* Sides of the basin from the water up to the ground, seen from the water. */
  const ring = walkOutsideRight(basin.outline).reverse();
  ring.forEach((a, i) => {
    const c = ring[(i + 1) % ring.length]!;
    const top = [a, c].map(([x, z]) => groundHeight(ground, x, z));
    if (top[0] === undefined || top[1] === undefined || Math.max(top[0], top[1]) - basin.levelM < LEAST_KERB_M) return;
    const foot = basin.levelM - BASIN_SIDE_M;
    b.polygonFace(
      { id: `${basin.id}/side-${i + 1}`, partId: basin.id, name: `${basin.name}, side`, kind: 'kerb', material: 'limestone' },
      [
        [a[0], foot, a[1]],
        [c[0], foot, c[1]],
        [c[0], top[1], c[1]],
        [a[0], top[0], a[1]],
      ],
    );
  });
}

/** Height of the ground at a plan point as the records have it; undefined where no level reaches. */
export function groundHeight(ground: GroundRecord, x: number, z: number): number | undefined {
  const level = levelAt(ground, x, z);
  return level && planeHeight(level, x, z);
}

/** The last level whose outline holds the point: later levels lie in place of earlier ones. */
function levelAt(ground: GroundRecord, x: number, z: number): GroundLevel | undefined {
  return ground.levels.findLast((l) => pointInLoops([l.outline], x, z));
}

/** Lowest ground along a plan segment, looked up at its ends and middle; undefined where the document has none. */
export function lowestGroundM(ground: GroundRecord, from: Vec2, to: Vec2): number | undefined {
  let low: number | undefined;
  for (const k of [0, 0.5, 1]) {
    const y = groundHeight(ground, from[0] + k * (to[0] - from[0]), from[1] + k * (to[1] - from[1]));
    if (y !== undefined && (low === undefined || y < low)) low = y;
  }
  return low;
}

/**
 * Height of the scene's ground at a plan point, metres; over a basin the height of its rim's plane.
 * @returns undefined where there is no ground.
 * @see document/lookup.ts for the same from the records.
 */
export function sceneGroundHeightAt(scene: Pick<SceneModel, 'faces'>, x: number, z: number): number | undefined {
  let rim: number | undefined;
  for (const face of scene.faces) {
    if (face.kind !== 'ground') continue;
    const o = face.origin;
    const n = face.normal;
    const y = o[1] - (n[0] * (x - o[0]) + n[2] * (z - o[2])) / n[1];
    const { s, t } = faceCoordinates(face, [x, y, z]);
    if (pointInFace(face, s, t)) return y;
    if (pointInLoops(face.loops.slice(0, 1), s, t)) rim = y;
  }
  return rim;
}
