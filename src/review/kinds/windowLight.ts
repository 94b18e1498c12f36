import { obtrusiveFigures, surroundingsFigures } from '../../exposure/index.ts';
import type { NeighbourWindow, Vec3 } from '../../scene/index.ts';
import { CLEAN_WORDS, type ReviewContext } from '../context.ts';
import { type KindLimits, LIMITS, limitsOf } from '../limits.ts';
import { concerns, figure, type Focus, type Measurement } from '../measure.ts';
import { meanOf } from '../surfaces.ts';
import { add, cross, unit } from '../vec.ts';

/** Minutes on one evening's clock: times before noon belong to the night after. */
export function eveningMinutes(clock: string): number {
  const [hours, minutes] = clock.split(':').map(Number);
  return ((hours ?? 0) < 12 ? 24 * 60 : 0) + (hours ?? 0) * 60 + (minutes ?? 0);
}

/** Lights that still burn after curfew: no zone, no off time, or one after curfew. Existing lights always do. */
export function lightsAfterCurfew(context: ReviewContext): string[] {
  const curfew = eveningMinutes(context.document.site.curfew);
  const late = context.lights.filter(({ fixture }) => {
    const zone = context.scheme.zones.find((one) => one.id === fixture.zoneId);
    return zone?.offAt === undefined || eveningMinutes(zone.offAt) > curfew;
  });
  return [...late.map((one) => one.id), ...context.document.existing.map((one) => one.id)];
}

/** Middles of 3 × 3 cells of the pane. */
function panePoints(window: NeighbourWindow): { normal: Vec3; points: Vec3[] } {
  const normal = unit(window.normal);
  const level: Vec3 = Math.abs(normal[1]) > 0.95 ? [1, 0, 0] : unit(cross([0, 1, 0], normal));
  const up = unit(cross(normal, level));
  const points = [-1, 0, 1].flatMap((i) =>
    [-1, 0, 1].map((j) => add(add(add(window.at, level, (i * window.widthM) / 3), up, (j * window.heightM) / 3), normal, 0.01)),
  );
  return { normal, points };
}

/** Mean illuminance on a neighbour's pane from lamps, by light. */
export function paneLight(context: ReviewContext, window: NeighbourWindow): Map<string, number> {
  const { normal, points } = panePoints(window);
  const byLight = new Map<string, number[]>();
  for (const point of points) {
    for (const one of context.model.exactAt(point, normal).bySource) {
      const list = byLight.get(one.id) ?? [];
      list.push(one.directLx + one.bouncedLx);
      byLight.set(one.id, list);
    }
  }
  return new Map([...byLight].map(([id, values]) => [id, meanOf(values)]));
}

/** Lux on each neighbour's pane before and after curfew, against the figure of the zone; the worse hour is told. */
export function measureWindowLight(context: ReviewContext, focus?: Focus): Measurement[] {
  const { site } = context.document;
  const { zone } = surroundingsFigures[site.surroundings];
  const figures = obtrusiveFigures[zone];
  const late = new Set(lightsAfterCurfew(context));
  return site.neighbourWindows.flatMap((window): Measurement[] => {
    if (!concerns(focus, window.id)) return [];
    const byLight = paneLight(context, window);
    const sum = (ids: Iterable<string>) => [...ids].reduce((all, id) => all + (byLight.get(id) ?? 0), 0);
    const hours = [
      { words: `before ${site.curfew}`, lx: sum(byLight.keys()), figureLx: figures.windowPreCurfewLx },
      { words: `after ${site.curfew}`, lx: sum(late), figureLx: figures.windowPostCurfewLx },
    ].filter((hour): hour is typeof hour & { figureLx: number } => hour.figureLx !== undefined);
    const worst = hours.sort((a, b) => b.lx / b.figureLx - a.lx / a.figureLx)[0];
    if (!worst) return [];
    const limits = hourLimits(context, worst.figureLx);
    const own = limits.sourceKind === 'your own limit';
    return [
      {
        kind: 'windowLight',
        subject: window.id,
        at: window.at,
        value: worst.lx,
        limits,
        sentence: `${window.name}, ${figure(worst.lx)} lx ${worst.words}`,
        limitWords: (limit) =>
          own ? `limit ${figure(limit)} lx` : `figure ${figure(worst.figureLx)} lx, CIE 150:2017, zone ${zone}, guidance only`,
        assumptions: [CLEAN_WORDS, 'Mean over the pane, lamps only, existing ones included; lights without an off time burn on.'],
      },
    ];
  });
}

/** Limits in lux for one hour: shares of the zone's figure, except where the user set lux of their own. */
function hourLimits(context: ReviewContext, figureLx: number): KindLimits {
  const { note = 0, warn = 0 } = LIMITS.windowLight;
  const scaled = { ...LIMITS.windowLight, note: note * figureLx, warn: warn * figureLx, unit: 'lx' };
  return limitsOf('windowLight', context.document, scaled);
}
