import { type Face, faceCoordinates, type FixtureRecord, pointInFace, type SceneModel } from '../scene/index.ts';

/** A lens this near a face sits in it; deeper than this behind it, it is no lens of that face. Common practice, no source. */
const FLUSH_M = 0.03;
const RECESS_M = 0.05;
/** Least cosine between axis and face normal: a lens that looks along a wall stands beside it and is not set in it. */
const LEAST_OUTWARD = 0.1;
/** Normals steeper than this belong to ground, treads and tops. */
const LEVEL = 0.7;

/** True when the lens is set flush in this face and looks out of it: a step light in its riser, an in-grade light. */
export function isSetIn(face: Face, fixture: FixtureRecord): boolean {
  const { s, t, heightM } = faceCoordinates(face, fixture.at);
  if (heightM > FLUSH_M || heightM < -RECESS_M || !pointInFace(face, s, t)) return false;
  const axis = fixture.aim.map((v, k) => v - fixture.at[k]!);
  const outward = axis.reduce((sum, v, k) => sum + v * face.normal[k]!, 0);
  return outward > LEAST_OUTWARD * Math.hypot(...axis);
}

/**
 * Faces that light near the lens is no loss on: the face the lens is set in, and, where that is upright (a step light),
 * the level faces below the lens, which such a light is there for.
 */
export function facesServedNear(scene: SceneModel, fixture: FixtureRecord): ReadonlySet<number> {
  const own = new Set(scene.faces.flatMap((face, i) => (isSetIn(face, fixture) ? [i] : [])));
  if (![...own].some((i) => Math.abs(scene.faces[i]!.normal[1]) < LEVEL)) return own;
  scene.faces.forEach((face, i) => {
    if (face.normal[1] > LEVEL && faceCoordinates(face, fixture.at).heightM > 0) own.add(i);
  });
  return own;
}
