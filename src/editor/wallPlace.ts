import type { FixtureRecord, PartOf, PropertyDocument, Vec3 } from '../scene/index.ts';
import { groundHeightAt } from '../scene/index.ts';

type Wall = PartOf<'wall'>;

/** Axes of a wall in plan: along from `from` to `to`, outward on the right-hand side of that walk. */
interface WallFrame {
  alongX: number;
  alongZ: number;
  outX: number;
  outZ: number;
  lengthM: number;
}

function frameOf(wall: Wall): WallFrame {
  const dx = wall.to[0] - wall.from[0];
  const dz = wall.to[1] - wall.from[1];
  const lengthM = Math.hypot(dx, dz);
  const alongX = dx / lengthM;
  const alongZ = dz / lengthM;
  return { alongX, alongZ, outX: -alongZ, outZ: alongX, lengthM };
}

/** Length of a wall in plan, metres. */
export function wallLengthM(wall: Wall): number {
  return frameOf(wall).lengthM;
}

function planPlace(wall: Wall, at: Vec3): { alongM: number; outM: number } {
  const f = frameOf(wall);
  const dx = at[0] - wall.from[0];
  const dz = at[2] - wall.from[1];
  return { alongM: dx * f.alongX + dz * f.alongZ, outM: dx * f.outX + dz * f.outZ };
}

/** Distance in space from a point to the nearer face of a wall, metres; points inside its thickness give 0. */
export function distanceToWall(wall: Wall, at: Vec3): number {
  const { alongM, outM } = planPlace(wall, at);
  const past = Math.max(0, -alongM, alongM - wallLengthM(wall));
  const off = Math.max(0, outM, -wall.thicknessM - outM);
  const above = Math.max(0, wall.baseM - at[1], at[1] - wall.baseM - wall.heightM);
  return Math.hypot(past, off, above);
}

/** Place and aim of a light as a wall, a rule and a compass read them. */
export interface WallPlace {
  wallId: string;
  wallName: string;
  wallLengthM: number;
  /** Face the light stands before; a free-standing wall has two. */
  side: 'outer' | 'inner';
  setBackM: number;
  /** From the wall's `from` point. */
  alongM: number;
  /** Lens above the ground below it. */
  heightM: number;
  /** 0 = up, 90 = level, 180 = down. */
  tiltDeg: number;
  /** World bearing of the aim, 0 = toward −Z (away from the street), 90 = +X, 0…360. */
  bearingDeg: number;
  /** Against a line square to the wall: negative = left, positive = right of it, seen by one who faces the wall; −180…180. */
  offSquareDeg: number;
}

/** Walls of a property, in file order. */
export function wallsOf(document: PropertyDocument): Wall[] {
  return document.buildings.flatMap((b) => b.parts.filter((p): p is Wall => p.kind === 'wall'));
}

/** Wall by id. */
export function findWall(document: PropertyDocument, wallId: string): Wall | undefined {
  return wallsOf(document).find((wall) => wall.id === wallId);
}

/** Wall whose face is nearest to a point on a side that can be stood on: outside, or either side of a free-standing wall. */
export function nearestWall(document: PropertyDocument, at: Vec3): Wall | undefined {
  let best: Wall | undefined;
  let bestM = Number.POSITIVE_INFINITY;
  for (const wall of wallsOf(document)) {
    if (!wall.freeStanding && planPlace(wall, at).outM < -1e-9) continue;
    const d = distanceToWall(wall, at);
    if (d < bestM) [best, bestM] = [wall, d];
  }
  return best;
}

/** Tilt from upright and world bearing of a direction. Straight up or down has bearing 0. */
export function anglesOf(at: Vec3, aim: Vec3): { tiltDeg: number; bearingDeg: number; distanceM: number } {
  const d: Vec3 = [aim[0] - at[0], aim[1] - at[1], aim[2] - at[2]];
  const level = Math.hypot(d[0], d[2]);
  const tiltDeg = toDeg(Math.atan2(level, d[1]));
  const bearingDeg = level < 1e-9 ? 0 : wrap360(toDeg(Math.atan2(d[0], -d[2])));
  return { tiltDeg, bearingDeg, distanceM: Math.hypot(level, d[1]) };
}

/**
 * Point at `distanceM` from `at` along tilt and bearing; inverse of `anglesOf`.
 *
 * @throws {RangeError} tilt outside 0…180°, or a distance that is not above 0.
 */
export function aimFromAngles(at: Vec3, tiltDeg: number, bearingDeg: number, distanceM: number): Vec3 {
  if (!(tiltDeg >= 0 && tiltDeg <= 180)) throw new RangeError(`tiltDeg ${tiltDeg}: 0 (up) to 180 (down)`);
  if (!(distanceM > 0)) throw new RangeError(`distanceM ${distanceM}: above 0`);
  const tilt = toRad(tiltDeg);
  const bearing = toRad(bearingDeg);
  const level = distanceM * Math.sin(tilt);
  return [at[0] + level * Math.sin(bearing), at[1] + distanceM * Math.cos(tilt), at[2] - level * Math.cos(bearing)];
}

/** Reads a light against a wall (the nearest unless named); undefined where the property has no wall. */
export function wallPlaceOf(document: PropertyDocument, fixture: FixtureRecord, wallId?: string): WallPlace | undefined {
  const wall = (wallId === undefined ? undefined : findWall(document, wallId)) ?? nearestWall(document, fixture.at);
  if (!wall) return undefined;
  const { alongM, outM } = planPlace(wall, fixture.at);
  const inner = wall.freeStanding && outM < -wall.thicknessM / 2;
  const { tiltDeg, bearingDeg } = anglesOf(fixture.at, fixture.aim);
  return {
    wallId: wall.id,
    wallName: wall.name === '' ? wall.id : wall.name,
    wallLengthM: wallLengthM(wall),
    side: inner ? 'inner' : 'outer',
    setBackM: inner ? -outM - wall.thicknessM : outM,
    alongM,
    heightM: fixture.at[1] - groundHeightAt(document, fixture.at[0], fixture.at[2]),
    tiltDeg,
    bearingDeg,
    offSquareDeg: wrap180(bearingDeg - facingBearingDeg(wall, inner ? 'inner' : 'outer')),
  };
}

/** World bearing of one who stands before a face of the wall and looks square at it. */
export function facingBearingDeg(wall: Wall, side: 'outer' | 'inner' = 'outer'): number {
  const f = frameOf(wall);
  const sign = side === 'outer' ? -1 : 1;
  return wrap360(toDeg(Math.atan2(sign * f.outX, -sign * f.outZ)));
}

/**
 * Place in the world from set-back, along-wall and height above the ground; inverse of `wallPlaceOf`.
 *
 * @throws {RangeError} no wall of that id.
 */
export function placeFromWall(
  document: PropertyDocument,
  place: { wallId: string; setBackM: number; alongM: number; heightM: number; side?: 'outer' | 'inner' },
): Vec3 {
  const wall = findWall(document, place.wallId);
  if (!wall) throw new RangeError(`wall ${place.wallId}: not in the property`);
  const f = frameOf(wall);
  const outM = place.side === 'inner' ? -wall.thicknessM - place.setBackM : place.setBackM;
  const x = wall.from[0] + f.alongX * place.alongM + f.outX * outM;
  const z = wall.from[1] + f.alongZ * place.alongM + f.outZ * outM;
  return [x, groundHeightAt(document, x, z) + place.heightM, z];
}

/** Moves a light; `point` keeps the mark it aims at, `direction` keeps its tilt and bearing. */
export function moveLight(fixture: FixtureRecord, at: Vec3, keep: 'point' | 'direction' = 'point'): FixtureRecord {
  if (keep === 'point') return { ...fixture, at };
  const shift = (i: 0 | 1 | 2): number => fixture.aim[i] + (at[i] - fixture.at[i]);
  return { ...fixture, at, aim: [shift(0), shift(1), shift(2)] };
}

/** Fields of a light's place that can be typed; those not given stay. */
export interface PlaceFields {
  setBackM?: number;
  alongM?: number;
  heightM?: number;
  tiltDeg?: number;
  bearingDeg?: number;
}

/** Sets typed fields of place and aim. Moving keeps the aim mark unless `keep` says direction; turning keeps the aim's distance. */
export function withPlaceFields(
  document: PropertyDocument,
  fixture: FixtureRecord,
  fields: PlaceFields,
  options: { wallId?: string; keep?: 'point' | 'direction' } = {},
): FixtureRecord {
  const now = wallPlaceOf(document, fixture, options.wallId);
  let next = fixture;
  if (now && (fields.setBackM !== undefined || fields.alongM !== undefined || fields.heightM !== undefined)) {
    const given = Object.fromEntries(Object.entries(fields).filter(([, v]) => v !== undefined));
    next = moveLight(fixture, placeFromWall(document, { ...now, ...given }), options.keep);
  } else if (!now && fields.heightM !== undefined) {
    const y = groundHeightAt(document, fixture.at[0], fixture.at[2]) + fields.heightM;
    next = moveLight(fixture, [fixture.at[0], y, fixture.at[2]], options.keep);
  }
  if (fields.tiltDeg === undefined && fields.bearingDeg === undefined) return next;
  const angles = anglesOf(next.at, next.aim);
  const tiltDeg = fields.tiltDeg ?? angles.tiltDeg;
  return { ...next, aim: aimFromAngles(next.at, tiltDeg, fields.bearingDeg ?? angles.bearingDeg, angles.distanceM) };
}

const toDeg = (rad: number): number => (rad * 180) / Math.PI;
const toRad = (deg: number): number => (deg * Math.PI) / 180;
const wrap360 = (deg: number): number => ((deg % 360) + 360) % 360;
const wrap180 = (deg: number): number => {
  const wrapped = wrap360(deg);
  return wrapped > 180 ? wrapped - 360 : wrapped;
};
