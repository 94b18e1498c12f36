import { groundHeightAt, type GroundPatch, type Vec2, type Vec3 } from '../../scene/index.ts';
import type { ReviewContext, ReviewLight } from '../context.ts';
import { limitsOf, waterGuardM } from '../limits.ts';
import { figure, type Measurement } from '../measure.ts';
import { insideLoop, outlineDistance } from '../vec.ts';

const plan = (at: Vec3): Vec2 => [at[0], at[2]];

/** Horizontal distance of lights, transformers, power sites and cable routes to the nearest water edge. */
export function measureWaterZone(context: ReviewContext): Measurement[] {
  const { document, scheme } = context;
  if (document.water.length === 0) return [];
  const things: { subject: string; name: string; route: Vec3[] }[] = [
    ...context.lights.map((one) => ({ subject: one.id, name: one.label, route: [one.fixture.at] })),
    ...scheme.transformers.map((one) => ({ subject: one.id, name: `transformer ${one.name}`, route: [one.at] })),
    ...document.powerSites.map((one) => ({ subject: one.id, name: `power site ${one.name}`, route: [one.at] })),
    ...scheme.runs.flatMap((run) =>
      run.legs
        .filter((leg) => (leg.path ?? []).length > 0)
        .map((leg) => ({ subject: `${run.id}/${leg.id}`, name: `cable ${run.name || run.id}, leg ${leg.id}`, route: leg.path! })),
    ),
  ];
  const guard = waterGuardM(document);
  return things.map(({ subject, name, route }) => {
    const near = nearestWater(context, route);
    return {
      kind: 'waterZone',
      subject,
      at: near.at,
      value: near.distanceM,
      sentence: `${name}, ${near.distanceM.toFixed(1)} m from the edge of ${near.name}`,
      limitWords: () => `this program keeps ${figure(guard)} m${guard < 3.5 ? ' (10 ft)' : ', or 3.05 m (10 ft) in the US'}`,
      assumptions: ['Local code and a licensed electrician decide.'],
    };
  });
}

function nearestWater(context: ReviewContext, route: Vec3[]): { distanceM: number; name: string; at: Vec3 } {
  let best = { distanceM: Infinity, name: '', at: route[0]! };
  for (const water of context.document.water) {
    for (const at of denseRoute(route)) {
      const distanceM = outlineDistance(plan(at), water.outline);
      if (distanceM < best.distanceM) best = { distanceM, name: water.name, at };
    }
  }
  return best;
}

/** Points of a route no farther than 0.25 m apart. */
function denseRoute(route: Vec3[]): Vec3[] {
  return route.flatMap((a, i): Vec3[] => {
    const b = route[i + 1];
    if (!b) return [a];
    const steps = Math.max(1, Math.ceil(Math.hypot(b[0] - a[0], b[2] - a[2]) / 0.25));
    return Array.from({ length: steps }, (_, k): Vec3 => {
      const f = k / steps;
      return [a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1]), a[2] + f * (b[2] - a[2])];
    });
  });
}

const MULCH_REACH_M = 0.3;

/** In-grade or halogen lights with mulch within 0.3 m: beds, or ground laid with mulch. */
export function measureHotNearMulch(context: ReviewContext): Measurement[] {
  return context.lights.flatMap((light): Measurement[] => {
    const halogen = light.lamp.electrical === 'resistive';
    const inGrade = light.fixture.mount === 'inGrade';
    if (!halogen && !inGrade) return [];
    const distanceM = mulchDistanceM(context, light);
    if (distanceM === undefined) return [];
    const what = [halogen ? 'halogen' : '', inGrade ? 'in-grade' : ''].filter(Boolean).join(', ');
    const reach = { note: MULCH_REACH_M, warn: halogen ? MULCH_REACH_M : undefined };
    return [
      {
        kind: 'hotNearMulch',
        subject: light.id,
        at: light.fixture.at,
        value: distanceM,
        limits: { ...limitsOf('hotNearMulch', context.document), ...reach },
        sentence: `${light.label}, ${what}, ${distanceM.toFixed(2)} m from mulch or leaves`,
      },
    ];
  });
}

/** Distance to the nearest mulch within 0.3 m, by rings round the lens; heights count. */
function mulchDistanceM(context: ReviewContext, light: ReviewLight): number | undefined {
  const [x, y, z] = light.fixture.at;
  const aboveM = y - groundHeightAt(context.document, x, z);
  for (let ring = 0; ring <= 6; ring++) {
    const radius = (ring / 6) * (MULCH_REACH_M - 0.005);
    for (let k = 0; k < (ring === 0 ? 1 : 16); k++) {
      const turn = (k / 16) * 2 * Math.PI;
      if (!isMulch(context, x + radius * Math.cos(turn), z + radius * Math.sin(turn))) continue;
      const distanceM = Math.hypot(radius, Math.max(0, aboveM));
      return distanceM < MULCH_REACH_M ? distanceM : undefined;
    }
  }
  return undefined;
}

function isMulch(context: ReviewContext, x: number, z: number): boolean {
  const patch: GroundPatch | undefined = context.document.ground.patches.findLast((one) => insideLoop(one.outline, x, z));
  return patch !== undefined && (patch.material === 'mulch' || patch.use === 'bed');
}

/** Questions without an answer, with the lights that hang on them. */
export function measureOpenQuestion(context: ReviewContext): Measurement[] {
  return context.document.questions
    .filter((one) => one.answer === undefined || one.answer.trim() === '')
    .map((one) => {
      const lights = one.lightIds.map((id) => context.lightById.get(id)).filter((light) => light !== undefined);
      return {
        kind: 'openQuestion',
        subject: one.id,
        at: lights[0]?.fixture.at ?? [0, 0, 0],
        value: Math.max(1, lights.length),
        sentence: `“${one.text}”${lights.length > 0 ? ` (${lights.map((light) => light.label).join('; ')})` : ''}`,
        limitWords: () => 'an answer is wanted',
      };
    });
}
