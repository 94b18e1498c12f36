import type { CourseRecord, Vec2 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import type { WallJoints, WallPart } from './joints.ts';
import { buildOpening, findHoles, type Hole } from './opening.ts';
import { convexPieces } from './polygon.ts';
import { rectLoop, UP } from './vec.ts';
import { buildTrim, type WallFrame, wallFrame } from './wallFrame.ts';

/** Footing below a wall whose base lies above the ground, metres below that ground. */
const FOOTING_M = 0.05;
const COPING_HEIGHT_M = 0.06;
const COPING_PROJECTION_M = 0.03;
/** A wall whose base lies higher than this over the ground stands on something else (parapet, bridge). */
const HIGHEST_FOOTING_M = 1.2;

export interface WallSurroundings {
  joints: WallJoints;
  /** Height of the lid that closes the house this wall belongs to; what stands above it is seen from both sides. */
  lidM: number | undefined;
  /** Lowest ground along the wall; undefined where the document has none. */
  groundM: number | undefined;
}

/**
 * One wall: outer face with its openings, courses; a free-standing wall, or what rises above the house's lid, also gets its
 * inner face, ends and top. `from`–`to` is the outer face's line; the thickness lies inward of it.
 */
export function buildWall(b: SceneBuilder, wall: WallPart, around: WallSurroundings): void {
  const f = wallFrame(wall);
  const holes = findHoles(f);
  b.face({
    id: `${wall.id}/outer`,
    partId: wall.id,
    name: wall.name || wall.id,
    kind: 'wall',
    origin: f.at(0, 0),
    u: f.u,
    v: UP,
    loops: [rectLoop(0, 0, f.lengthM, wall.heightM), ...holes.map(holeLoop)],
    material: wall.material,
  });
  for (const hole of holes) {
    const through = wall.freeStanding && hole.record.kind !== 'blank';
    buildOpening(b, f, hole, through ? wall.thicknessM : hole.record.revealM);
  }
  for (const course of wall.courses) buildCourse(b, f, course, holes, around.joints);
  const bodyFromM = wall.freeStanding ? 0 : around.lidM === undefined ? undefined : around.lidM - wall.baseM;
  if (bodyFromM !== undefined && bodyFromM < wall.heightM - 1e-3) buildBody(b, f, holes, bodyFromM, around.joints);
  if (around.lidM === undefined && !wall.freeStanding) buildBack(b, f);
  buildFooting(b, f, around.groundM);
}

function holeLoop(h: Hole): Vec2[] {
  return rectLoop(h.s0, h.t0, h.s1, h.t1);
}

/** Tops within this of each other are one height. */
const SAME_HEIGHT_M = 1e-3;

/** Shift of a line at `offsetM` from the wall's plane where two walls meet: offset · tan(δ/2). */
function mitreM(joint: WallJoints['before'], offsetM: number): number {
  return joint ? offsetM * Math.tan(joint.turnRad / 2) : 0;
}

/** Top of the wall at a joint over one's own base, metres; -∞ where none meets. */
function neighbourTopM(wall: WallPart, joint: WallJoints['before']): number {
  return joint ? joint.wall.baseM + joint.wall.heightM - wall.baseM : Number.NEGATIVE_INFINITY;
}

/** The joints that `fits` lets stand. */
function jointsWhere(joints: WallJoints, fits: (joint: NonNullable<WallJoints['before']>) => boolean): WallJoints {
  const { before, after } = joints;
  return { ...(before && fits(before) ? { before } : {}), ...(after && fits(after) ? { after } : {}) };
}

/**
 * Inner face, top and open ends of the part of a wall above `fromM`. A wall that rises over the one it meets ends square, with an
 * end of its own from there on.
 */
function buildBody(b: SceneBuilder, f: WallFrame, holes: Hole[], fromM: number, around: WallJoints): void {
  const { wall, lengthM } = f;
  const { thicknessM, heightM } = wall;
  const joints = jointsWhere(around, (joint) => neighbourTopM(wall, joint) > heightM - SAME_HEIGHT_M);
  const in0 = mitreM(joints.before, thicknessM);
  const in1 = mitreM(joints.after, thicknessM);
  const name = wall.name || wall.id;
  const through = holes.filter((h) => wall.freeStanding && h.record.kind !== 'blank');
  const common = { partId: wall.id, kind: 'wall' as const, material: wall.material };
  const right = lengthM - in1;
  b.face({
    ...common,
    id: `${wall.id}/inner`,
    name: `${name}, inner side`,
    origin: f.at(right, fromM, thicknessM),
    u: f.leftward,
    v: UP,
    loops: [
      rectLoop(0, 0, right - in0, heightM - fromM),
      ...through.map((h) => rectLoop(right - h.s1, h.t0 - fromM, right - h.s0, h.t1 - fromM)),
    ],
  });
  b.face({
    ...common,
    id: `${wall.id}/top`,
    name: `${name}, top`,
    kind: 'wallTop',
    origin: f.at(0, heightM),
    u: f.u,
    v: f.inward,
    loops: [
      [
        [0, 0],
        [lengthM, 0],
        [right, thicknessM],
        [in0, thicknessM],
      ],
    ],
    material: wall.copingMaterial ?? wall.material,
  });
  const end = (low: number) => ({ ...common, v: UP, size: [thicknessM, heightM - low] as const });
  if (!joints.before) {
    const low = Math.max(fromM, neighbourTopM(wall, around.before));
    b.face({ ...end(low), id: `${wall.id}/endLeft`, name: `${name}, left end`, origin: f.at(0, low, thicknessM), u: f.normal });
  }
  if (!joints.after) {
    const low = Math.max(fromM, neighbourTopM(wall, around.after));
    b.face({ ...end(low), id: `${wall.id}/endRight`, name: `${name}, right end`, origin: f.at(lengthM, low), u: f.inward });
  }
  b.occluderRing(wall.id, [f.at(0, fromM), f.at(in0, fromM, thicknessM), f.at(right, fromM, thicknessM), f.at(lengthM, fromM)]);
  buildCoping(
    b,
    f,
    jointsWhere(joints, (joint) => neighbourTopM(wall, joint) < heightM + SAME_HEIGHT_M),
    joints,
  );
  for (const h of through) buildLeafBack(b, f, h);
  buildBodySolids(b, f, holes, fromM);
}

/** Far side of a gate or window in a wall one can walk around. */
function buildLeafBack(b: SceneBuilder, f: WallFrame, { record, s0, t0, s1, t1 }: Hole): void {
  b.face({
    id: `${f.wall.id}/${record.id}/leafBack`,
    partId: f.wall.id,
    name: `${record.name || record.id}, far side`,
    kind: 'door',
    origin: f.at(s1, t0, Math.min(record.revealM + 0.02, f.wall.thicknessM)),
    u: f.leftward,
    v: UP,
    size: [s1 - s0, t1 - t0],
    material: record.kind === 'window' ? record.frameMaterial : record.leafMaterial,
  });
}

function buildBodySolids(b: SceneBuilder, f: WallFrame, holes: Hole[], fromM: number): void {
  const { wall, lengthM } = f;
  for (const piece of convexPieces([rectLoop(0, fromM, lengthM, wall.heightM), ...holes.map(holeLoop)])) {
    const s0 = piece[0]!;
    const t0 = piece[1]!;
    const s1 = piece[4]!;
    const t1 = piece[5]!;
    if (t0 < fromM - 1e-9) continue;
    const ring = (t: number) => [f.at(s0, t), f.at(s1, t), f.at(s1, t, wall.thicknessM), f.at(s0, t, wall.thicknessM)];
    b.solid(wall.id, ring(t0), ring(t1));
  }
}

/** A house wall that closes no ring: dark on its far side. */
function buildBack(b: SceneBuilder, f: WallFrame): void {
  const { lengthM, wall } = f;
  const { heightM, thicknessM } = wall;
  const depth = Math.max(thicknessM, ...wall.openings.map((o) => o.revealM + 0.01));
  const at = [f.at(0, 0, depth), f.at(lengthM, 0, depth), f.at(lengthM, heightM, depth), f.at(0, heightM, depth)];
  const front = [f.at(0, 0), f.at(lengthM, 0), f.at(lengthM, heightM), f.at(0, heightM)];
  b.occluderRing(wall.id, [...at].reverse());
  for (let i = 0; i < 4; i++) {
    const j = (i + 1) % 4;
    b.occluderRing(wall.id, [front[i]!, at[i]!, at[j]!, front[j]!]);
  }
}

/** Carries the faces of a wall whose base stands above the ground down into it, so that no light passes below. */
function buildFooting(b: SceneBuilder, f: WallFrame, groundM: number | undefined): void {
  const { wall, lengthM } = f;
  if (groundM === undefined || groundM >= wall.baseM - 1e-4 || groundM < wall.baseM - HIGHEST_FOOTING_M) return;
  const t = groundM - FOOTING_M - wall.baseM;
  const common = { partId: wall.id, kind: 'wall' as const, material: wall.material, v: UP, size: [lengthM, -t] as const };
  const name = `${wall.name || wall.id}, footing`;
  b.face({ ...common, id: `${wall.id}/footing`, name, origin: f.at(0, t), u: f.u });
  if (!wall.freeStanding) return;
  const depth = wall.thicknessM;
  b.face({
    ...common,
    id: `${wall.id}/footingInner`,
    name: `${name}, inner side`,
    origin: f.at(lengthM, t, depth),
    u: f.leftward,
  });
  for (const s of [0, lengthM]) b.occluderRing(wall.id, [f.at(s, t), f.at(s, t, depth), f.at(s, 0, depth), f.at(s, 0)]);
}

/** Stone along the top edge of both sides of a wall one can walk around, within the wall's height. */
/** Copings go on round a corner where both walls are as high; `body`: the joints of the wall itself. */
function buildCoping(b: SceneBuilder, f: WallFrame, joints: WallJoints, body: WallJoints): void {
  const { wall } = f;
  if (wall.copingMaterial === undefined || wall.heightM < 3 * COPING_HEIGHT_M) return;
  const trim = {
    kind: 'course' as const,
    t0: wall.heightM - COPING_HEIGHT_M,
    t1: wall.heightM,
    projectionM: COPING_PROJECTION_M,
    material: wall.copingMaterial,
  };
  const name = `${wall.name || wall.id}, coping`;
  const [m0, m1] = [joints.before, joints.after].map((j) => (j ? mitreM(j, COPING_PROJECTION_M) : undefined));
  const id = `${wall.id}/coping`;
  buildTrim(b, f, { ...trim, id, frontId: `${id}/front`, name, s0: 0, s1: f.lengthM, mitre0: m0, mitre1: m1 });
  const in0 = mitreM(body.before, wall.thicknessM);
  const right = f.lengthM - mitreM(body.after, wall.thicknessM);
  const [from, to] = [f.at(right, 0, wall.thicknessM), f.at(in0, 0, wall.thicknessM)];
  const inner = wallFrame({ ...wall, from: [from[0], from[2]], to: [to[0], to[2]] });
  const innerId = `${wall.id}/copingInner`;
  buildTrim(b, inner, {
    ...trim,
    id: innerId,
    frontId: `${innerId}/front`,
    name: `${name}, inner side`,
    s0: 0,
    s1: inner.lengthM,
    mitre0: m1 === undefined ? undefined : -m1,
    mitre1: m0 === undefined ? undefined : -m0,
  });
}

/** A band along the wall, broken by the openings it meets and mitred where it goes on round a corner. */
function buildCourse(b: SceneBuilder, f: WallFrame, course: CourseRecord, holes: Hole[], joints: WallJoints): void {
  const t0 = course.undersideM;
  const t1 = Math.min(f.wall.heightM, t0 + course.heightM);
  if (t1 <= t0) return;
  const gaps = holes.filter((h) => h.t0 < t1 && h.t1 > t0).sort((p, q) => p.s0 - q.s0);
  const runs: [number, number][] = [];
  let from = 0;
  for (const gap of gaps) {
    if (gap.s0 > from + 1e-6) runs.push([from, gap.s0]);
    from = Math.max(from, gap.s1);
  }
  if (f.lengthM > from + 1e-6) runs.push([from, f.lengthM]);
  runs.forEach(([s0, s1], i) => {
    const id = `${f.wall.id}/${course.id}${i === 0 ? '' : `-${i + 1}`}`;
    buildTrim(b, f, {
      id,
      frontId: `${id}/front`,
      name: course.name || course.id,
      kind: 'course',
      s0,
      s1,
      t0,
      t1,
      projectionM: course.projectionM,
      mitre0: s0 === 0 ? courseMitreM(joints.before, f.wall, course) : undefined,
      mitre1: s1 === f.lengthM ? courseMitreM(joints.after, f.wall, course) : undefined,
      material: course.material,
    });
  });
}

function courseMitreM(joint: WallJoints['before'], wall: WallPart, course: CourseRecord): number | undefined {
  const goesOn = joint?.wall.courses.some(
    (c) =>
      Math.abs(c.undersideM + joint.wall.baseM - course.undersideM - wall.baseM) < 1e-4 &&
      Math.abs(c.heightM - course.heightM) < 1e-4 &&
      Math.abs(c.projectionM - course.projectionM) < 1e-4,
  );
  return goesOn ? mitreM(joint, course.projectionM) : undefined;
}
