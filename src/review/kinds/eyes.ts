import { veilingLuminance } from '../../exposure/index.ts';
import type { EyeLight } from '../../lights/index.ts';
import type { FixtureRecord, Vec3, ViewpointRecord } from '../../scene/index.ts';
import { CLEAN_WORDS, JUDGING_WORDS, type ReviewContext } from '../context.ts';
import { concerns, seenFrom, figure, type Focus, type Measurement } from '../measure.ts';
import { add, angleDeg, bearingDeg, sub, turnDeg, turned, unit } from '../vec.ts';

const GLARE_CONE_DEG = 30;
/** Ages that are always given. */
const AGES = [35, 70] as const;
/** Full moon at the zenith, lx (facts 5.2): less light than this at the eye is not called glare. */
const LEAST_EYE_LX = 0.27;
const AHEAD_M = 5;

export const gazeOf = (view: ViewpointRecord): Vec3 => unit(sub(view.lookAt, view.eye));

/** Smallest angle between a source and any gaze the seat allows: the gaze turned up to `gazeSpreadDeg` either side. */
export function leastAngleDeg(view: ViewpointRecord, at: Vec3): number {
  const gaze = gazeOf(view);
  const to = sub(at, view.eye);
  const turn = turnDeg(bearingDeg(gaze), bearingDeg(to));
  const allowed = Math.max(-view.gazeSpreadDeg, Math.min(view.gazeSpreadDeg, turn));
  return Math.min(angleDeg(turned(gaze, allowed), to), angleDeg(gaze, to));
}

function placeOf(context: ReviewContext, id: string): FixtureRecord | undefined {
  return context.lightById.get(id)?.fixture ?? context.document.existing.find((one) => one.id === id);
}

/** Illuminance at each eye from each light of the scheme, counted within 30° of any gaze the seat allows. */
export function measureSeatGlare(context: ReviewContext, focus?: Focus): Measurement[] {
  return context.document.viewpoints.flatMap((view) => {
    if (!seenFrom(focus, view.id)) return [];
    return context.model.eyeLight(view.eye, gazeOf(view)).flatMap((eye): Measurement[] => {
      const light = context.lightById.get(eye.id);
      const subject = `${view.id} × ${eye.id}`;
      if (!light || !concerns(focus, subject)) return [];
      const angle = leastAngleDeg(view, light.fixture.at);
      if (angle > GLARE_CONE_DEG) return [];
      const veils = AGES.map((age) => `${figure(veilingLuminance(eye.eyeIlluminanceLx, angle, age))} at ${age}`);
      return [
        {
          kind: 'seatGlare',
          subject,
          viewpoint: view.id,
          at: light.fixture.at,
          value: eye.eyeIlluminanceLx,
          sentence: `${view.name}, ${light.label}, ${figure(angle)}° from the gaze, ${figure(eye.eyeIlluminanceLx)} lx at the eye, veil in cd/m² ${veils.join(', ')} years (CIE 146:2002, general)`,
          limitWords: (limit) => `limit ${figure(limit)} lx`,
          assumptions: [JUDGING_WORDS, CLEAN_WORDS, `Gaze within ${view.gazeSpreadDeg}° either side.`],
        },
      ];
    });
  });
}

/** Σ veil of all sources for one eye that looks at a point, cd/m². */
function veilSum(context: ReviewContext, view: ViewpointRecord, lights: readonly EyeLight[], seen: Vec3, age: number): number {
  return lights.reduce((sum, one) => {
    const at = placeOf(context, one.id)?.at;
    return at ? sum + veilingLuminance(one.eyeIlluminanceLx, angleDeg(sub(seen, view.eye), sub(at, view.eye)), age) : sum;
  }, 0);
}

/** What must be seen from a view: as recorded, else the ground 5 m ahead. */
export function mustSeeOf(context: ReviewContext, view: ViewpointRecord): Vec3 | undefined {
  if (view.mustSee) return view.mustSee;
  const gaze = gazeOf(view);
  const level = unit([gaze[0], 0, gaze[2]]);
  return context.model.cast(add(view.eye, level, AHEAD_M), [0, -1, 0], 30)?.at;
}

/**
 * Veil ÷ luminance of what must be seen, for each eye outdoors that looks for its way. An eye that gets less than a full
 * moon's 0.27 lx from all lamps together is not judged.
 */
export function measureVeil(context: ReviewContext, focus?: Focus): Measurement[] {
  const { ageYears } = context.document.review;
  return context.document.viewpoints.flatMap((view): Measurement[] => {
    if (!concerns(focus, view.id)) return [];
    if (view.purpose === 'dark' || view.posture === 'inside') return [];
    const seen = mustSeeOf(context, view);
    if (!seen) return [];
    const lights = context.model.eyeLight(view.eye, sub(seen, view.eye));
    const total = lights.reduce((sum, one) => sum + one.eyeIlluminanceLx, 0);
    if (total < LEAST_EYE_LX) return [];
    const { luminanceCdM2 } = context.model.luminanceAlong(view.eye, sub(seen, view.eye));
    const ratio = (age: number) => veilSum(context, view, lights, seen, age) / Math.max(luminanceCdM2, 1e-6);
    const ages = [...new Set([ageYears, ...AGES])].map((age) => `${figure(ratio(age))} at ${age}`);
    return [
      {
        kind: 'veil',
        subject: view.id,
        viewpoint: view.id,
        at: seen,
        value: ratio(ageYears),
        sentence: `${view.name}, veil ${figure(veilSum(context, view, lights, seen, ageYears))} cd/m² at age ${ageYears} over ${figure(luminanceCdM2)} cd/m² of what must be seen, ${ages.join(', ')} years`,
        limitWords: (limit) => `limit ${figure(limit)} of it`,
        assumptions: [
          JUDGING_WORDS,
          CLEAN_WORDS,
          'CIE 146 general equation, p = 0.5; the eye looks at what must be seen.',
          view.mustSee ? 'What must be seen: as recorded.' : 'What must be seen: the ground 5 m ahead.',
        ],
      },
    ];
  });
}
