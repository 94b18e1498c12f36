import { aimFromAngles, anglesOf, facingBearingDeg, findWall, wallPlaceOf } from '../../editor/index.ts';
import { type Beam, beamCandela, fixtureFrame } from '../../lights/index.ts';
import type { FixtureRecord, PropertyDocument, SceneModel, Vec3 } from '../../scene/index.ts';
import { onFace, pick } from './pick.ts';
import { along, dot, sub, unit } from './vec.ts';

const RAYS = 120;
/** Farther than this an edge ray is taken to leave the lit place, metres. */
const FARTHEST_M = 60;
/** Radius of the tilt and bearing arcs about the light, metres. */
const ARC_M = 0.6;

/** Angle from the axis, radians, where intensity falls to half its value on the axis, at an azimuth of the fixture's frame. */
export function halfIntensityAngle(beam: Beam, azimuthRad: number): number {
  const right = Math.cos(azimuthRad);
  const up = Math.sin(azimuthRad);
  const half = beamCandela(beam, 1, right, up) / 2;
  if (half <= 0) return 0;
  let low = 0;
  let high = Math.PI / 2;
  for (let i = 0; i < 30; i++) {
    const mid = (low + high) / 2;
    if (beamCandela(beam, Math.cos(mid), right, up) >= half) low = mid;
    else high = mid;
  }
  return low;
}

/**
 * Where the half-intensity cone lands: points on the plane of the first surface on the beam's axis (leaves let it
 * through), or on a plane square to the axis at the aim mark where there is none. Undefined for rays that miss that surface.
 */
export function beamOutline(scene: SceneModel, fixture: FixtureRecord, beam: Beam): (Vec3 | undefined)[] {
  const frame = fixtureFrame(fixture);
  const axis: Vec3 = [frame[0] ?? 0, frame[1] ?? 0, frame[2] ?? 0];
  const right: Vec3 = [frame[3] ?? 0, frame[4] ?? 0, frame[5] ?? 0];
  const up: Vec3 = [frame[6] ?? 0, frame[7] ?? 0, frame[8] ?? 0];
  const hit = pick(scene, along(fixture.at, axis, 0.02), axis, false);
  const lands = hit && hit.distanceM < FARTHEST_M;
  const origin = lands ? hit.at : fixture.aim;
  const normal = lands ? hit.normal : unit([-axis[0], -axis[1], -axis[2]]);
  return Array.from({ length: RAYS }, (_, i) => {
    const azimuth = (i / RAYS) * 2 * Math.PI;
    const gamma = halfIntensityAngle(beam, azimuth);
    const side = along(along([0, 0, 0], right, Math.cos(azimuth)), up, Math.sin(azimuth));
    const direction = along(along([0, 0, 0], axis, Math.cos(gamma)), side, Math.sin(gamma));
    const facing = dot(normal, direction);
    if (facing > -1e-3) return undefined;
    const distanceM = dot(sub(origin, fixture.at), normal) / facing;
    if (distanceM <= 0 || distanceM > FARTHEST_M) return undefined;
    const at = along(fixture.at, direction, distanceM);
    return lands && hit.face && !onFace(hit.face, at) ? undefined : at;
  });
}

/** Arcs about the light: tilt from upright to the axis, and bearing from square to its wall to the aim, on the level. */
export function angleArcs(document: PropertyDocument, fixture: FixtureRecord): { tilt: Vec3[]; bearing: Vec3[] } {
  const { tiltDeg, bearingDeg } = anglesOf(fixture.at, fixture.aim);
  const steps = 16;
  const arc = (at: (share: number) => Vec3) => Array.from({ length: steps + 1 }, (_, i) => at(i / steps));
  const tilt = arc((k) => aimFromAngles(fixture.at, tiltDeg * k, bearingDeg, ARC_M));
  const place = wallPlaceOf(document, fixture);
  const wall = place && findWall(document, place.wallId);
  if (!place || !wall || tiltDeg < 1) return { tilt, bearing: [] };
  const square = facingBearingDeg(wall, place.side);
  return { tilt, bearing: arc((k) => aimFromAngles(fixture.at, 90, square + place.offSquareDeg * k, ARC_M)) };
}
