import {
  faceCoordinates,
  type Face,
  facePoint,
  type FixtureRecord,
  materialAt,
  pointInFace,
  type SceneModel,
  type Vec3,
} from '../../scene/index.ts';
import type { Rgb, TileRef } from '../../lights/index.ts';
import { atlasTexel } from '../field/atlas.ts';
import type { Foot } from './bodies.ts';

/** Farthest a fixture's wall, post or step may be from its opening, metres; what a stake stands in may be deeper. */
const NEAR_M = 0.4;
const DEEP_M = 2.5;
const LEVEL = 0.7;

/** The place of a face that a fixture stands on or is fixed to. */
export interface Host extends Foot {
  face: number;
  s: number;
  t: number;
  reflectance: Rgb;
}

/** Ground, step or bed below what is staked; else the nearest face round about, else the ground. */
export function hostOf(fixture: FixtureRecord, scene: Pick<SceneModel, 'faces' | 'materials'>): Host | undefined {
  const staked = fixture.mount === 'stake' || fixture.mount === 'riser' || fixture.mount === 'inGrade';
  const below = (): Host | undefined => nearestFace(fixture.at, scene, DEEP_M, (face) => face.normal[1] > LEVEL);
  if (staked) return below();
  return nearestFace(fixture.at, scene, NEAR_M, () => true) ?? below();
}

function nearestFace(
  at: Vec3,
  { faces, materials }: Pick<SceneModel, 'faces' | 'materials'>,
  mostM: number,
  wanted: (face: Face) => boolean,
): Host | undefined {
  let nearest: Host | undefined;
  let nearestM = mostM;
  faces.forEach((face, index) => {
    if (!face.sampled || face.kind === 'water' || !wanted(face)) return;
    const { origin: o, normal: n } = face;
    const awayM = (at[0] - o[0]) * n[0] + (at[1] - o[1]) * n[1] + (at[2] - o[2]) * n[2];
    if (awayM < -0.03 || awayM >= nearestM) return;
    const { s, t } = faceCoordinates(face, at);
    if (!pointInFace(face, s, t)) return;
    nearestM = awayM;
    const reflectance = materials[materialAt(face, s, t)]!.reflectanceRgb;
    nearest = { face: index, s, t, reflectance, at: facePoint(face, s, t), normal: face.normal };
  });
  return nearest;
}

/** Texel of the atlas nearest to a place, in the finest tile that holds it. */
export function hostTexel({ face, s, t }: Host, tiles: readonly TileRef[]): { x: number; y: number } | undefined {
  let finest: TileRef | undefined;
  for (const tile of tiles) {
    const side = tile.cellM * 30;
    if (tile.face !== face || s < tile.s0M || t < tile.t0M || s > tile.s0M + side || t > tile.t0M + side) continue;
    if (!finest || tile.cellM < finest.cellM) finest = tile;
  }
  if (!finest) return undefined;
  const { x, y } = atlasTexel(finest, s, t);
  return { x: Math.floor(x), y: Math.floor(y) };
}

/**
 * Light round a fixture, lux: what comes in over its ground or wall without any lamp's straight beam (bounce, sky, windows; its own
 * lamp does not shine on its own back), and what that place sends back of all its light.
 */
export interface Around {
  pole: Vec3;
  arriving: Rgb;
  returned: Rgb;
}

export function aroundOf(host: Host, light: { direct: Rgb; indirect: Rgb }): Around {
  const returned = [0, 1, 2].map((c) => host.reflectance[c]! * (light.direct[c]! + light.indirect[c]!)) as unknown as Rgb;
  return { pole: host.normal, arriving: light.indirect, returned };
}

/** Light on the vertices of one body, lux / π: one half of the world sends what arrives, the other what returns. */
export function lightBody(
  out: Float32Array,
  normals: ArrayLike<number>,
  { first, end }: { first: number; end: number },
  { pole, arriving, returned }: Around,
): void {
  for (let i = first; i < end; i++) {
    const up = normals[3 * i]! * pole[0] + normals[3 * i + 1]! * pole[1] + normals[3 * i + 2]! * pole[2];
    const share = 0.5 + 0.5 * up;
    for (let c = 0; c < 3; c++) out[3 * i + c] = (arriving[c]! * share + returned[c]! * (1 - share)) / Math.PI;
  }
}
