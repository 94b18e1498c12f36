import { faceCoordinates, type RunRecord, type Vec3 } from '../../scene/index.ts';
import type { ReviewContext, ReviewLight } from '../context.ts';
import { clippedShare } from '../kinds/clipped.ts';
import { mustSeeOf } from '../kinds/eyes.ts';
import { eveningMinutes, lightsAfterCurfew, paneLight } from '../kinds/windowLight.ts';
import { waterGuardM } from '../limits.ts';
import { metres } from '../measure.ts';
import { pointOn } from '../surfaces.ts';
import type { Finding, FindingKind } from '../types.ts';
import { add, dot, outlineDistance, sub } from '../vec.ts';
import {
  aimRaised,
  beamLamps,
  type Candidate,
  dimmed,
  lampBeamDeg,
  movedTo,
  newLight,
  otherLamps,
  planDirection,
  putLight,
  shielded,
  strongerLamps,
  turnedBy,
  washLamps,
  weakerLamps,
  withLamp,
} from './edits.ts';
import { fitBreaker, heavierCable, lighterTransformer, otherTaps, splitRun } from './wiring.ts';

type Propose = (finding: Finding, context: ReviewContext) => Candidate[];

const parts = (finding: Finding): string[] => finding.subject.split(' × ');

function forLight(
  find: (finding: Finding) => string | undefined,
  propose: (light: ReviewLight, context: ReviewContext, finding: Finding) => Candidate[],
): Propose {
  return (finding, context) => {
    const light = context.lightById.get(find(finding) ?? '');
    return light ? propose(light, context, finding) : [];
  };
}

const first = (finding: Finding) => parts(finding)[0];
const second = (finding: Finding) => parts(finding)[1];

function forRun(propose: (run: RunRecord, context: ReviewContext) => Candidate[]): Propose {
  return (finding, context) => {
    const id = finding.subject.split('/')[0];
    const own = context.power.fixtures.find((one) => one.id === id)?.runId;
    const run = context.scheme.runs.find((one) => one.id === id || one.id === own);
    return run ? propose(run, context) : [];
  };
}

/** Set-backs people build with (common practice, no source). */
const USUAL_SET_BACKS_M = [0.3, 0.38, 0.45, 0.6, 0.8, 1] as const;

/** Away from the face it grazes, nearest first: in steps of its own set-back, and to the usual ones. */
function backFromFace(light: ReviewLight, context: ReviewContext, finding: Finding): Candidate[] {
  const face = context.model.scene.faces[context.faceIndex.get(second(finding) ?? '') ?? -1];
  if (!face || light.fixture.locks.place || Math.abs(face.normal[1]) > 0.7) return [];
  const setBackM = dot(sub(light.fixture.at, face.origin), face.normal);
  if (setBackM <= 0) return [];
  const steps = [...[1.25, 1.6, 2].map((times) => Math.round(setBackM * times * 100) / 100), ...USUAL_SET_BACKS_M]
    .filter((backM) => backM > 1.1 * setBackM)
    .sort((x, y) => x - y);
  return [...new Set(steps)].slice(0, 7).map((backM) => {
    const at = add(light.fixture.at, face.normal, backM - setBackM);
    return { text: `Move ${light.label} back to ${metres(backM)}`, change: putLight(movedTo(context, light.fixture, at)) };
  });
}

const hotSpot = forLight(first, (light, context, finding) => [
  ...backFromFace(light, context, finding),
  ...aimRaised(light, 1),
  ...aimRaised(light, 2),
  ...weakerLamps(context, light),
  ...beamLamps(context, light, true),
]);

const glare = (light: ReviewLight, context: ReviewContext): Candidate[] => [
  ...shielded(light),
  ...[20, -20, 40, -40].flatMap((deg) => turnedBy(light, deg)),
  ...weakerLamps(context, light),
  dimmed(light, 0.5),
];

/** The light that veils most from this eye. */
const veil: Propose = (finding, context) => {
  const view = context.document.viewpoints.find((one) => one.id === finding.subject);
  const seen = view && mustSeeOf(context, view);
  if (!view || !seen) return [];
  const eyes = context.model.eyeLight(view.eye, sub(seen, view.eye));
  const weigh = (one: (typeof eyes)[number]) => one.eyeIlluminanceLx / Math.max(1, one.angleFromGazeDeg) ** 2;
  const leader = eyes.filter((one) => context.lightById.has(one.id)).sort((a, b) => weigh(b) - weigh(a))[0];
  const light = context.lightById.get(leader?.id ?? '');
  return light ? glare(light, context) : [];
};

const windowLight: Propose = (finding, context) => {
  const window = context.document.site.neighbourWindows.find((one) => one.id === finding.subject);
  if (!window) return [];
  const byLight = [...paneLight(context, window)].filter(([id]) => context.lightById.has(id)).sort((a, b) => b[1] - a[1]);
  const light = context.lightById.get(byLight[0]?.[0] ?? '');
  if (!light) return [];
  const late = new Set(lightsAfterCurfew(context));
  const curfew = eveningMinutes(context.document.site.curfew);
  const early = context.scheme.zones.filter((zone) => zone.offAt !== undefined && eveningMinutes(zone.offAt) <= curfew);
  const lit = byLight.map(([id]) => context.lightById.get(id)!).filter((one) => late.has(one.id));
  const zones = early.map((zone) => ({
    text: `Put ${lit.map((one) => one.label).join('; ')} in zone ${zone.name}, off at ${zone.offAt}`,
    change: putLight(...lit.map((one) => ({ ...one.fixture, zoneId: zone.id }))),
  }));
  const turns = [12, -12, 24, -24].flatMap((deg) => turnedBy(light, deg));
  return [...(lit.length > 0 ? zones : []), ...turns, ...shielded(light), ...weakerLamps(context, light), dimmed(light, 0.5)];
};

const clippedPicture: Propose = (finding, context) => {
  const view = context.document.viewpoints.find((one) => one.id === finding.subject);
  const light = view && context.lightById.get(clippedShare(context, view).brightest.leader ?? '');
  return light ? [...weakerLamps(context, light), dimmed(light, 0.7), dimmed(light, 0.5), dimmed(light, 0.3)] : [];
};

/** Lenses lifted or shifted out of what blocks them. */
const blockedLens = forLight(first, (light, context) => {
  if (light.fixture.locks.place) return [];
  const lifts = [0.15, 0.3, 0.45, 0.6].map((rise) => ({
    text: `Raise ${light.label} by ${metres(rise)} on a riser`,
    change: putLight({ ...light.fixture, at: add(light.fixture.at, [0, rise, 0]), mount: 'riser' }),
  }));
  const sideways: Vec3[] = [
    [0.3, 0, 0],
    [-0.3, 0, 0],
    [0, 0, 0.3],
    [0, 0, -0.3],
  ];
  const shifts = sideways.map((by) => ({
    text: `Move ${light.label} by 0.30 m ${by[0] !== 0 ? (by[0] > 0 ? 'to the right' : 'to the left') : by[2] > 0 ? 'toward the street' : 'away from the street'}`,
    change: putLight(movedTo(context, light.fixture, add(light.fixture.at, by))),
  }));
  return [...lifts, ...shifts];
});

/** A wash before the middle of the gap, alone or as a pair. */
const darkGap: Propose = (finding, context) => {
  const view = context.document.viewpoints.find((one) => one.id === finding.viewpoint);
  if (!view) return [];
  const toEye = planDirection(finding.at, view.eye);
  const side: Vec3 = [-toEye[2], 0, toEye[0]];
  const part = finding.subject.split(' × ')[1]?.replace(/ \(\d+\)$/, '');
  const wash = (lampId: string, asideM: number, nth: number) => {
    const foot = add(add(finding.at, toEye, 1.2), side, asideM);
    const at: Vec3 = [foot[0], heightAt(context, foot) + 0.15, foot[2]];
    return newLight(context, { at, aim: add(finding.at, side, asideM), lampId, mount: 'stake', name: `Wash, ${part}`, nth });
  };
  return washLamps(context).flatMap((lamp) => [
    { text: `Add a wash light in the gap (${lamp.name})`, change: putLight(wash(lamp.id, 0, 0)) },
    { text: `Add two wash lights in the gap (${lamp.name})`, change: putLight(wash(lamp.id, -1.2, 0), wash(lamp.id, 1.2, 1)) },
  ]);
};

function heightAt(context: ReviewContext, at: Vec3): number {
  return context.model.cast([at[0], at[1] + 3, at[2]], [0, -1, 0], 40)?.at[1] ?? 0;
}

/** Two even lights along the dark side, near its corner. */
const darkSide: Propose = (finding, context) => {
  const index = context.faceIndex.get(`${second(finding)}/outer`);
  if (index === undefined) return [];
  const face = context.model.scene.faces[index]!;
  const fromLeft = faceCoordinates(face, finding.at).s < face.widthM / 2;
  const lamps = [...washLamps(context), ...context.lights.map((one) => one.lamp)];
  const distinct = lamps.filter((lamp, i) => lamps.findIndex((one) => one.id === lamp.id) === i).slice(0, 5);
  return distinct.map((lamp) => {
    const lights = [1, Math.min(4, face.widthM - 0.6)].map((along, nth) => {
      const s = fromLeft ? along : face.widthM - along;
      const foot = pointOn(face, s, 0, 0.8);
      const at: Vec3 = [foot[0], heightAt(context, foot) + 0.1, foot[2]];
      const aim = pointOn(face, s, 0.6 * face.heightM);
      return newLight(context, {
        at,
        aim,
        lampId: lamp.id,
        mount: 'stake',
        name: `Side wall ${nth + 1}`,
        nth,
      });
    });
    return { text: `Add two even lights on the side wall (${lamp.name})`, change: putLight(...lights) };
  });
};

/** A light in the riser above the tread. */
const stepDark: Propose = (finding, context) => {
  const tread = context.model.scene.faces[context.faceIndex.get(finding.subject) ?? -1];
  if (!tread) return [];
  const middle = pointOn(tread, tread.widthM / 2, tread.heightM / 2);
  const riser = context.model.scene.faces
    .filter((face) => face.kind === 'riser' && face.partId === tread.partId)
    .map((face) => ({ face, at: pointOn(face, face.widthM / 2, 0.6 * face.heightM, 0.02) }))
    .filter(({ at }) => at[1] > middle[1])
    .sort((a, b) => Math.hypot(...sub(a.at, middle)) - Math.hypot(...sub(b.at, middle)))[0];
  if (!riser) return [];
  return washLamps(context).map((lamp) => ({
    text: `Add a step light in the riser above (${lamp.name})`,
    change: putLight(newLight(context, { at: riser.at, aim: middle, lampId: lamp.id, mount: 'step', name: 'Step light' })),
  }));
};

const skyLoss = forLight(first, (light, context) => [
  ...beamLamps(context, light, false),
  ...[-0.5, -1, -2].flatMap((by) => aimRaised(light, by)),
  ...shielded(light),
]);

/** Out of the water zone, straight away from the edge. */
const waterZone: Propose = (finding, context) => {
  const light = context.lightById.get(finding.subject);
  const transformer = context.scheme.transformers.find((one) => one.id === finding.subject);
  const from = light?.fixture.at ?? transformer?.at;
  if (!from || light?.fixture.locks.place) return [];
  const clear = (at: Vec3) => Math.min(...context.document.water.map((one) => outlineDistance([at[0], at[2]], one.outline)));
  return [5.05, waterGuardM(context.document) + 0.05].flatMap((wantedM): Candidate[] => {
    const at = nearestClear(from, wantedM, clear);
    if (!at) return [];
    const text = `Move ${light?.label ?? `transformer ${transformer!.name}`} out to ${wantedM.toFixed(1)} m from the edge`;
    if (light) return [{ text, change: putLight(movedTo(context, light.fixture, at)) }];
    return [{ text, change: { transformers: { put: [{ ...transformer!, at }] } } }];
  });
};

function nearestClear(from: Vec3, wantedM: number, clear: (at: Vec3) => number): Vec3 | undefined {
  for (let radius = 0.25; radius <= 20; radius += 0.25) {
    for (let k = 0; k < 32; k++) {
      const turn = (k / 32) * 2 * Math.PI;
      const at: Vec3 = [from[0] + radius * Math.cos(turn), from[1], from[2] + radius * Math.sin(turn)];
      if (clear(at) >= wantedM) return at;
    }
  }
  return undefined;
}

const hotNearMulch = forLight(first, (light, context) => {
  const led = context.document.catalogue.lamps.filter((lamp) => lamp.electrical === 'constantPower');
  const lamps = light.lamp.electrical === 'resistive' ? led : [];
  const near = [...lamps].sort(
    (a, b) => Math.abs(lampBeamDeg(a) - lampBeamDeg(light.lamp)) - Math.abs(lampBeamDeg(b) - lampBeamDeg(light.lamp)),
  );
  const onStake = putLight({ ...light.fixture, mount: 'stake', at: add(light.fixture.at, [0, 0.35, 0]) });
  return [
    ...near.slice(0, 3).map((lamp) => withLamp(light, lamp)),
    { text: `Set ${light.label} on a stake, 0.35 m up`, change: onStake },
  ];
});

const weakOnTarget = forLight(first, (light, context) => strongerLamps(context, light));
const strongOnTarget = forLight(first, (light, context) => [
  ...weakerLamps(context, light, 6),
  ...otherLamps(context, light, (lamp) => lamp.powerW < light.lamp.powerW)
    .slice(0, 2)
    .map((lamp) => withLamp(light, lamp)),
  dimmed(light, 0.5),
]);

const volts = forRun((run, context) => [...heavierCable(run), ...splitRun(context, run), ...otherTaps(run, true)]);

/** What may help against each kind, in the order it is tried. */
export const PROPOSALS: Readonly<Partial<Record<FindingKind, Propose>>> = {
  hotSpot,
  clippedPicture,
  darkGap,
  darkSide,
  weakOnTarget,
  strongOnTarget,
  blockedLens,
  seatGlare: forLight(second, glare),
  veil,
  windowLight,
  skyLoss,
  stepDark,
  waterZone,
  hotNearMulch,
  transformerLoad: (finding, context) => {
    const transformer = context.scheme.transformers.find((one) => one.id === finding.subject);
    return transformer ? lighterTransformer(context, transformer) : [];
  },
  cableCurrent: forRun((run, context) => [...heavierCable(run), ...splitRun(context, run)]),
  circuitCurrent: forRun((run, context) => [...splitRun(context, run), ...otherTaps(run, true)]),
  noProtection: forRun((run, context) => fitBreaker(context, run)),
  lowVolts: volts,
  highVolts: forRun((run) => otherTaps(run, false)),
  mayNotStart: volts,
};
