import { obtrusiveFigures, surroundingsFigures } from '../../../exposure/index.ts';
import { HOT_SPOT_LUMINANCE, type KindLimits, LIMITS, limitsOf } from '../../../review/index.ts';
import type { PropertyDocument } from '../../../scene/index.ts';

/** A value at which a finding begins, with the findings it belongs to. */
export interface LimitMark {
  value: number;
  /** Short, as it stands at the legend: "step, seat". */
  words: string;
  /** In full, as it is spoken: "Step too dark: Note below 5 lx". */
  spoken: string;
}

const SHORT = { stepDark: 'step', seatGlare: 'seat', windowLight: 'window', hotSpot: 'hot spot' } as const;

/** Limits of the review that are counted in the unit of a map, the user's own put in, ascending. */
export function limitMarks(document: PropertyDocument, map: 'lux' | 'luminance'): LimitMark[] {
  const marks = new Map<number, LimitMark>();
  const add = (kind: keyof typeof SHORT, limits: KindLimits): void => {
    for (const severity of ['note', 'warn', 'stop'] as const) {
      const value = limits[severity];
      if (value === undefined) continue;
      const spoken = `${limits.label}: ${severity[0]!.toUpperCase()}${severity.slice(1)} ${limits.worse === 'above' ? 'from' : 'below'} ${value} ${limits.unit}`;
      const known = marks.get(value);
      marks.set(value, {
        value,
        words: known ? `${known.words}, ${SHORT[kind]}` : SHORT[kind],
        spoken: known ? `${known.spoken}; ${spoken}` : spoken,
      });
    }
  };
  if (map === 'luminance') add('hotSpot', HOT_SPOT_LUMINANCE);
  else {
    add('stepDark', limitsOf('stepDark', document));
    add('seatGlare', limitsOf('seatGlare', document));
    const window = windowLimits(document);
    if (window) add('windowLight', window);
  }
  return [...marks.values()].sort((a, b) => a.value - b.value);
}

/** Shares of the figure after curfew, in lux; none where the zone has no figure. */
function windowLimits(document: PropertyDocument): KindLimits | undefined {
  const figureLx = obtrusiveFigures[surroundingsFigures[document.site.surroundings].zone].windowPostCurfewLx;
  if (figureLx === undefined) return undefined;
  const { note = 0, warn = 0 } = LIMITS.windowLight;
  return limitsOf('windowLight', document, { ...LIMITS.windowLight, note: note * figureLx, warn: warn * figureLx, unit: 'lx' });
}
