import type { Face, PartOf, Vec3, ViewpointRecord } from '../../scene/index.ts';
import { DIRT_WORDS, faceName, JUDGING_WORDS, type ReviewContext } from '../context.ts';
import { concerns, figure, type Focus, type Measurement } from '../measure.ts';
import { fieldPlaces, meanOf, pointOn } from '../surfaces.ts';
import { angleDeg, cross, distance, dot, sub, turnDeg, bearingDeg } from '../vec.ts';
import { viewBearingDeg, viewsToPlease } from '../viewRays.ts';

const NEAR_ARRIS_M = 2;
/** The brighter side must be lit at all. */
const LEAST_FRONT_CD_M2 = 0.5;
/** A side seen flatter than this is not seen. */
const LEAST_SIGHT_DEG = 6;
const FARTHEST_VIEW_M = 120;

/** Outer corner of a building: wall `a` ends where wall `b` begins (seen from outside: a on the left). */
export interface Corner {
  a: number;
  b: number;
}

type Wall = PartOf<'wall'>;

/** Convex corners where two house walls meet. */
export function findCorners(context: ReviewContext): Corner[] {
  const walls = context.document.buildings
    .flatMap((one) => one.parts)
    .filter((part): part is Wall => part.kind === 'wall' && !part.freeStanding);
  return walls.flatMap((left) =>
    walls.flatMap((right): Corner[] => {
      const [a, b] = [context.faceIndex.get(`${left.id}/outer`), context.faceIndex.get(`${right.id}/outer`)];
      if (left === right || a === undefined || b === undefined) return [];
      const meets = Math.hypot(left.to[0] - right.from[0], left.to[1] - right.from[1]) < 0.05;
      const overlap = Math.min(left.baseM + left.heightM, right.baseM + right.heightM) - Math.max(left.baseM, right.baseM);
      if (!meets || overlap < 1) return [];
      const { faces } = context.model.scene;
      // Convex: walking along a and then along b turns away from the outside.
      return cross(faces[a]!.u, faces[b]!.u)[1] > 0.1 ? [{ a, b }] : [];
    }),
  );
}

/** Mean luminance of each side within 2 m of the arris, openings left out. */
function sideLuminance(context: ReviewContext, corner: Corner): { a: number; b: number } {
  const { faces } = context.model.scene;
  const [fa, fb] = [faces[corner.a]!, faces[corner.b]!];
  const mean = (index: number, face: Face, s0: number, s1: number) => {
    const area = { face: index, s0: Math.max(0, s0), s1: Math.min(face.widthM, s1), t0: 0, t1: face.heightM };
    return meanOf(fieldPlaces(context, area, 12, 36).map((one) => one.luminanceCdM2));
  };
  return {
    a: mean(corner.a, fa, fa.widthM - NEAR_ARRIS_M, fa.widthM),
    b: mean(corner.b, fb, 0, NEAR_ARRIS_M),
  };
}

/** First view, heaviest first, that sees both sides within its picture. */
function seeingView(context: ReviewContext, corner: Corner): ViewpointRecord | undefined {
  const { faces } = context.model.scene;
  const [fa, fb] = [faces[corner.a]!, faces[corner.b]!];
  return viewsToPlease(context).find((view) =>
    [
      { face: fa, s: Math.max(0.3, fa.widthM - 0.8) },
      { face: fb, s: Math.min(fb.widthM - 0.3, 0.8) },
    ].every(({ face, s }) =>
      [0.35, 0.6, 0.85].some((share) => isSeen(context, view, face, pointOn(face, s, share * face.heightM, 0.02))),
    ),
  );
}

function isSeen(context: ReviewContext, view: ViewpointRecord, face: Face, at: Vec3): boolean {
  const toEye = sub(view.eye, at);
  if (90 - angleDeg(toEye, face.normal) < LEAST_SIGHT_DEG || dot(toEye, face.normal) <= 0) return false;
  if (distance(view.eye, at) > FARTHEST_VIEW_M) return false;
  const offset = turnDeg(viewBearingDeg(view), bearingDeg(sub(at, view.eye)));
  return Math.abs(offset) <= view.fieldDeg / 2 && context.model.transmittance(view.eye, at) > 0.2;
}

/** Darker ÷ brighter side of each corner that a view sees; the brighter is called the front. */
export function measureDarkSide(context: ReviewContext, focus?: Focus): Measurement[] {
  const { faces } = context.model.scene;
  return findCorners(context).flatMap((corner): Measurement[] => {
    const mean = sideLuminance(context, corner);
    const [front, side] = mean.a >= mean.b ? [corner.a, corner.b] : [corner.b, corner.a];
    const [bright, dark] = [Math.max(mean.a, mean.b), Math.min(mean.a, mean.b)];
    const subject = `${faces[front]!.partId} × ${faces[side]!.partId}`;
    if (bright < LEAST_FRONT_CD_M2 || !concerns(focus, subject)) return [];
    const view = seeingView(context, corner);
    if (!view) return [];
    const face = faces[side]!;
    return [
      {
        kind: 'darkSide',
        subject,
        viewpoint: view.id,
        at: pointOn(
          face,
          side === corner.b ? Math.min(1, face.widthM / 2) : face.widthM - Math.min(1, face.widthM / 2),
          Math.min(1.6, face.heightM / 2),
        ),
        value: dark / bright,
        sentence: `corner of ${faceName(faces[front]!)} and ${faceName(face)} from ${view.name}, ${figure(dark / bright)} of the front's brightness (${figure(dark)} and ${figure(bright)} cd/m²)`,
        limitWords: (limit) => `limit ${figure(limit)}`,
        assumptions: [JUDGING_WORDS, DIRT_WORDS],
      },
    ];
  });
}
