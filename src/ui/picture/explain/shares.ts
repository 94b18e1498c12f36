import { lightLabel } from '../../../editor/index.ts';
import type { PointLight } from '../../../lights/index.ts';
import type { PropertyDocument } from '../../../scene/index.ts';

export interface Share {
  /** Id of the light; absent for sky, windows and what is too little for a line of its own. */
  id: string | undefined;
  name: string;
  directLx: number;
  bouncedLx: number;
  /** What is written: the lines add up to the total to the last shown digit. */
  shownLx: number;
}

/** A light below this share of the total joins the last line. */
const OWN_LINE_SHARE = 0.005;

/**
 * Who sends what to a place, strongest first. Figures are rounded to the total's own digits (three significant); the last
 * line takes what rounding leaves over, so that the written lines add up to the written total.
 */
export function sharesOf(document: PropertyDocument, schemeId: string, light: PointLight): { totalLx: number; lines: Share[] } {
  const digits = digitsOf(light.totalLx);
  const round = (lx: number) => Number(lx.toFixed(digits));
  const totalLx = round(light.totalLx);
  const lines: Share[] = [...light.bySource]
    .filter((s) => s.directLx + s.bouncedLx >= Math.max(OWN_LINE_SHARE * light.totalLx, 0.5 * 10 ** -digits))
    .sort((a, b) => b.directLx + b.bouncedLx - a.directLx - a.bouncedLx)
    .map((s) => ({
      id: s.id,
      name: lightLabel(document, schemeId, s.id),
      directLx: s.directLx,
      bouncedLx: s.bouncedLx,
      shownLx: round(s.directLx + s.bouncedLx),
    }));
  const more = (name: string, lx: number) => {
    if (round(lx) > 0) lines.push({ id: undefined, name, directLx: lx, bouncedLx: 0, shownLx: round(lx) });
  };
  more('sky', light.skyLx);
  more('windows', light.windowsLx);
  const left = round(totalLx - lines.reduce((sum, line) => sum + line.shownLx, 0));
  if (left !== 0) lines.push({ id: undefined, name: 'the rest', directLx: left, bouncedLx: 0, shownLx: left });
  return { totalLx, lines };
}

function digitsOf(lx: number): number {
  if (lx <= 0) return 2;
  return Math.max(0, Math.min(4, 2 - Math.floor(Math.log10(lx))));
}
