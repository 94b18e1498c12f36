import type { PartOf, Vec2 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import { along, bearingAxes, scale, UP } from './vec.ts';

/**
 * A flight of `count` risers and treads: `…/riser-1`, `…/tread-1` from the foot up, both stepped sides, and a dark back (a
 * flight leans on what it climbs to). `at` is the middle of the lowest edge; the bearing points up the flight.
 */
export function buildSteps(b: SceneBuilder, part: PartOf<'steps'>): void {
  const { forward, right } = bearingAxes(part.bearingDeg);
  const { widthM, riserM, treadM, count } = part;
  const label = part.name || part.id;
  const left = along(part.at, right, -widthM / 2);
  const at = (run: number, rise: number) => along(along(left, forward, run), UP, rise);
  const common = { partId: part.id, material: part.material };
  const runM = count * treadM;
  const riseM = count * riserM;
  for (let i = 0; i < count; i++) {
    const name = `${label}, step ${i + 1}`;
    b.face({
      ...common,
      id: `${part.id}/riser-${i + 1}`,
      name: `${name} riser`,
      kind: 'riser',
      origin: at(i * treadM, i * riserM),
      u: right,
      v: UP,
      size: [widthM, riserM],
    });
    b.face({
      ...common,
      id: `${part.id}/tread-${i + 1}`,
      name: `${name} tread`,
      kind: 'tread',
      origin: at(i * treadM, (i + 1) * riserM),
      u: right,
      v: forward,
      size: [widthM, treadM],
    });
    b.box(part.id, at(i * treadM, i * riserM), scale(right, widthM), scale(forward, runM - i * treadM), [0, riserM, 0]);
  }
  const profile: Vec2[] = [[0, 0]];
  for (let i = 0; i < count; i++) profile.push([i * treadM, (i + 1) * riserM], [(i + 1) * treadM, (i + 1) * riserM]);
  profile.push([runM, 0]);
  profile.reverse();
  const side = { ...common, kind: 'stepSide' as const, v: UP };
  b.face({
    ...side,
    id: `${part.id}/sideRight`,
    name: `${label}, right side`,
    origin: along(at(0, 0), right, widthM),
    u: forward,
    loops: [profile],
  });
  b.face({
    ...side,
    id: `${part.id}/sideLeft`,
    name: `${label}, left side`,
    origin: at(0, 0),
    u: scale(forward, -1),
    loops: [profile.map(([s, t]): Vec2 => [-s, t]).reverse()],
  });
  const foot = at(runM, 0);
  const far = along(foot, right, widthM);
  b.occluderRing(part.id, [far, foot, along(foot, UP, riseM), along(far, UP, riseM)]);
}
