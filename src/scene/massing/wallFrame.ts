import type { Vec2, Vec3 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import { type WallPart, wallLengthM } from './joints.ts';
import { UP } from './vec.ts';

/** Frame of a wall's outer plane: s along the wall, t up from its base, depth into the wall (negative: out). */
export interface WallFrame {
  wall: WallPart;
  lengthM: number;
  u: Vec3;
  normal: Vec3;
  inward: Vec3;
  leftward: Vec3;
  at(s: number, t: number, depthM?: number): Vec3;
}

export function wallFrame(wall: WallPart): WallFrame {
  const lengthM = wallLengthM(wall);
  const dx = (wall.to[0] - wall.from[0]) / lengthM;
  const dz = (wall.to[1] - wall.from[1]) / lengthM;
  const n: Vec3 = [-dz, 0, dx];
  return {
    wall,
    lengthM,
    u: [dx, 0, dz],
    normal: n,
    inward: [dz, 0, -dx],
    leftward: [-dx, 0, -dz],
    at(s, t, depthM = 0) {
      /* The far end is taken from the record, so that neighbours share their corner exactly. */
      const foot = s === lengthM ? wall.to : [wall.from[0] + s * dx, wall.from[1] + s * dz];
      return [foot[0]! - depthM * n[0], wall.baseM + t, foot[1]! - depthM * n[2]];
    },
  };
}

export interface TrimInput {
  /** Front face's id; the others append `/top` and so on. */
  id: string;
  frontId: string;
  name: string;
  kind: 'course' | 'sill' | 'lintel';
  s0: number;
  s1: number;
  t0: number;
  t1: number;
  projectionM: number;
  /** How far the outer edge runs on past each end (mitre); undefined = a square end with a face of its own. */
  mitre0?: number | undefined;
  mitre1?: number | undefined;
  material: WallPart['material'];
}

/** Projecting stone fixed to a wall: string course, sill, lintel. */
export function buildTrim(b: SceneBuilder, f: WallFrame, trim: TrimInput): void {
  const { s0, s1, t0, t1, projectionM: p } = trim;
  const m0 = trim.mitre0 ?? 0;
  const m1 = trim.mitre1 ?? 0;
  const lengthM = s1 - s0;
  const common = { partId: f.wall.id, kind: trim.kind, material: trim.material };
  const outside: Vec2[] = [
    [-m0, 0],
    [lengthM + m1, 0],
    [lengthM, p],
    [0, p],
  ];
  const flipped = outside.map(([s, t]): Vec2 => [s, p - t]).reverse();
  const face = (id: string, part: string) => ({ ...common, id, name: `${trim.name}, ${part}`, neighbourId: trim.frontId });
  b.face({
    ...common,
    id: trim.frontId,
    name: trim.name,
    origin: f.at(s0 - m0, t0, -p),
    u: f.u,
    v: UP,
    size: [lengthM + m0 + m1, t1 - t0],
  });
  b.face({ ...face(`${trim.id}/top`, 'top'), origin: f.at(s0, t1, -p), u: f.u, v: f.inward, loops: [outside] });
  b.face({ ...face(`${trim.id}/under`, 'underside'), origin: f.at(s0, t0), u: f.u, v: f.normal, loops: [flipped] });
  if (trim.mitre0 === undefined)
    b.face({ ...face(`${trim.id}/endLeft`, 'left end'), origin: f.at(s0, t0), u: f.normal, v: UP, size: [p, t1 - t0] });
  if (trim.mitre1 === undefined)
    b.face({ ...face(`${trim.id}/endRight`, 'right end'), origin: f.at(s1, t0, -p), u: f.inward, v: UP, size: [p, t1 - t0] });
  const ring = (t: number) => [f.at(s0, t), f.at(s1, t), f.at(s1 + m1, t, -p), f.at(s0 - m0, t, -p)];
  b.solid(f.wall.id, ring(t0), ring(t1));
}
