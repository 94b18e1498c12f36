import { saturationLuminance } from '../../exposure/index.ts';
import type { Vec3, ViewpointRecord } from '../../scene/index.ts';
import { CLEAN_WORDS, JUDGING_WORDS, type ReviewContext } from '../context.ts';
import { seenFrom, figure, type Focus, type Measurement } from '../measure.ts';
import { leaderAt } from '../surfaces.ts';
import { pictureRays, viewsToPlease } from '../viewRays.ts';

const COLUMNS = 80;
const ROWS = 50;

export interface ClippedShare {
  sharePercent: number;
  brightest: { luminanceCdM2: number; at: Vec3; leader: string | undefined };
}

/** Share of the picture above 1.2 · 2^EV cd/m², by a grid of 80 × 50 rays; own lenses and scatter are not counted. */
export function clippedShare(context: ReviewContext, view: ViewpointRecord): ClippedShare {
  const limit = saturationLuminance(context.document.site.ev100);
  let clipped = 0;
  let most = 0;
  let brightest: { at: Vec3; face: number; s: number; t: number } | undefined;
  for (const ray of pictureRays(view, COLUMNS, ROWS)) {
    const { luminanceCdM2, hit } = context.model.luminanceAlong(view.eye, ray);
    if (luminanceCdM2 > limit) clipped++;
    if (hit && luminanceCdM2 > most) {
      most = luminanceCdM2;
      brightest = hit;
    }
  }
  const leader = brightest && brightest.face >= 0 ? leaderAt(context, brightest.face, brightest.s, brightest.t)?.id : undefined;
  return {
    sharePercent: (100 * clipped) / (COLUMNS * ROWS),
    brightest: { luminanceCdM2: most, at: brightest?.at ?? view.lookAt, leader },
  };
}

/** Clipped share of each view to please. */
export function measureClippedPicture(context: ReviewContext, focus?: Focus): Measurement[] {
  const { ev100 } = context.document.site;
  return viewsToPlease(context).flatMap((view): Measurement[] => {
    if (!seenFrom(focus, view.id)) return [];
    const { sharePercent, brightest } = clippedShare(context, view);
    const leader = context.lightById.get(brightest.leader ?? '');
    const led = leader ? `, led by ${leader.label}` : '';
    return [
      {
        kind: 'clippedPicture',
        subject: view.id,
        viewpoint: view.id,
        at: brightest.at,
        value: sharePercent,
        sentence: `${view.name}, ${figure(sharePercent)} % of the picture at EV ${ev100.toFixed(1)}, brightest ${figure(brightest.luminanceCdM2)} cd/m²${led}`,
        limitWords: (limit) => `limit ${figure(limit)} %`,
        assumptions: [JUDGING_WORDS, CLEAN_WORDS, `Picture 1.6 : 1, ${view.fieldDeg}° wide; grid of ${COLUMNS} × ${ROWS} rays.`],
      },
    ];
  });
}
