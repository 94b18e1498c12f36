import type { ReviewContext } from '../context.ts';
import { DIRT_WORDS, JUDGING_WORDS } from '../context.ts';
import { concerns, figure, type Focus, type Measurement } from '../measure.ts';
import { resolveTarget, type Target, topFifthLx } from '../surfaces.ts';

/** Lux on the top fifth of each light's target ÷ its wanted lux, all lamps together; weak and strong share the measure. */
function measureOnTarget(context: ReviewContext, kind: 'weakOnTarget' | 'strongOnTarget', focus?: Focus): Measurement[] {
  const known = new Map<string, number | undefined>();
  return context.lights.flatMap((light): Measurement[] => {
    const { targetId, wantedLx } = light.fixture;
    if (targetId === undefined || wantedLx <= 0 || !light.lit) return [];
    const subject = `${light.id} × ${targetId}`;
    if (!concerns(focus, subject)) return [];
    const target = resolveTarget(context, targetId);
    if (!target) return [];
    if (!known.has(targetId)) known.set(targetId, topFifthLx(context, target));
    const lx = known.get(targetId);
    if (lx === undefined) return [];
    return [
      {
        kind,
        subject,
        at: light.fixture.at,
        value: lx / wantedLx,
        sentence: `${light.label}, ${target.name}, ${figure(lx)} lx on its top fifth from all lamps, ${figure(lx / wantedLx)} of the ${figure(wantedLx)} lx wanted`,
        limitWords: (limit) => (kind === 'weakOnTarget' ? `limit ${figure(limit)} of it` : `limit ${figure(limit)} times it`),
        assumptions: [JUDGING_WORDS, DIRT_WORDS, ...targetWords(target)],
      },
    ];
  });
}

const targetWords = (target: Target): string[] =>
  target.kind === 'plant' ? ['Leaves: lux on a small plate turned to the lamp, mean over the leaves of the top fifth.'] : [];

export const measureWeakOnTarget = (context: ReviewContext, focus?: Focus): Measurement[] =>
  measureOnTarget(context, 'weakOnTarget', focus);
export const measureStrongOnTarget = (context: ReviewContext, focus?: Focus): Measurement[] =>
  measureOnTarget(context, 'strongOnTarget', focus);
