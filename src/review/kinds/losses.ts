import { CLEAN_WORDS, DIRT_WORDS, JUDGING_WORDS, type ReviewContext } from '../context.ts';
import { concerns, figure, type Focus, type Measurement, metres } from '../measure.ts';
import { fieldPlaces, pointOn } from '../surfaces.ts';

/** Share of each light's lumens, and of the scheme's, that leaves upward and meets nothing. */
export function measureSkyLoss(context: ReviewContext, focus?: Focus): Measurement[] {
  const fluxes = context.lights
    .filter((one) => one.lit)
    .map((light) => ({ light, flux: context.fluxOf(light.id), share: light.fixture.dim }))
    .filter(({ flux }) => flux.emittedLm > 0);
  const assumptions = [CLEAN_WORDS, 'Share of the lumens that leave the fixture.'];
  const each = fluxes.map(({ light, flux }): Measurement => {
    const percent = (100 * flux.skyLm) / flux.emittedLm;
    return {
      kind: 'skyLoss',
      subject: light.id,
      at: light.fixture.at,
      value: percent,
      sentence: `${light.label}, ${figure(percent)} % of its light`,
      limitWords: (limit) => `limit ${figure(limit)} %`,
      assumptions,
    };
  });
  const emitted = fluxes.reduce((sum, { flux, share }) => sum + share * flux.emittedLm, 0);
  if (emitted <= 0) return each;
  const lost = (100 * fluxes.reduce((sum, { flux, share }) => sum + share * flux.skyLm, 0)) / emitted;
  const whole: Measurement = {
    kind: 'skyLoss',
    subject: context.schemeId,
    at: fluxes[0]!.light.fixture.at,
    value: lost,
    sentence: `the scheme as a whole, ${figure(lost)} % of its light`,
    limitWords: (limit) => `limit ${figure(limit)} %`,
    assumptions,
  };
  return [...each, whole].filter((one) => concerns(focus, one.subject));
}

/** Share of each light's lumens lost within half a metre on what it is not meant to light. */
export function measureBlockedLens(context: ReviewContext, focus?: Focus): Measurement[] {
  return context.lights.flatMap((light): Measurement[] => {
    if (!light.lit || !concerns(focus, light.id)) return [];
    const flux = context.fluxOf(light.id);
    if (flux.emittedLm <= 0) return [];
    const percent = (100 * flux.nearLostLm) / flux.emittedLm;
    return [
      {
        kind: 'blockedLens',
        subject: light.id,
        at: light.fixture.at,
        value: percent,
        sentence: `${light.label}, ${figure(percent)} % of its light lost within 0.5 m of the lens`,
        limitWords: (limit) => `limit ${figure(limit)} %`,
      },
    ];
  });
}

/** Lowest lux of the field on each tread, edges of 5 cm left out. */
export function measureStepDark(context: ReviewContext, focus?: Focus): Measurement[] {
  const treads = context.model.scene.faces.map((face, index) => ({ face, index })).filter(({ face }) => face.kind === 'tread');
  return treads.flatMap(({ face, index }, nth): Measurement[] => {
    if (!concerns(focus, face.id)) return [];
    const edge = Math.min(0.05, face.widthM / 4, face.heightM / 4);
    const area = { face: index, s0: edge, s1: face.widthM - edge, t0: edge, t1: face.heightM - edge };
    const columns = Math.max(5, Math.min(40, Math.round(face.widthM / 0.1)));
    const places = fieldPlaces(context, area, columns, 5);
    if (places.length === 0) return [];
    const darkest = places.reduce((least, one) => (one.illuminanceLx < least.illuminanceLx ? one : least));
    return [
      {
        kind: 'stepDark',
        subject: face.id,
        at: pointOn(face, darkest.s, darkest.t),
        value: darkest.illuminanceLx,
        sentence: `${face.name || `tread ${nth + 1}`}, ${figure(darkest.illuminanceLx)} lx at its darkest, ${metres(darkest.s)} along`,
        limitWords: (limit) => `limit ${figure(limit)} lx, a design aid, not a requirement`,
        assumptions: [JUDGING_WORDS, DIRT_WORDS],
      },
    ];
  });
}
