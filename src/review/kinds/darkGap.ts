import type { Vec3, ViewpointRecord } from '../../scene/index.ts';
import { DIRT_WORDS, JUDGING_WORDS, type ReviewContext } from '../context.ts';
import { seenFrom, figure, type Focus, type Measurement } from '../measure.ts';
import { meanOf, resolveTarget } from '../surfaces.ts';
import { add, DEG, sub } from '../vec.ts';
import { direction, isStanding, PICTURE_ASPECT, viewBearingDeg, viewsToPlease } from '../viewRays.ts';

const COLUMN_DEG = 0.5;
const ROW_DEG = 1;
const REACH_M = 60;
/** Less of the background than this seen through leaves: the ray counts as meeting the crown. */
const CROWN_TRANSMITTANCE = 0.6;
/** A gap is darker than this share of the lit parts on both sides. */
const GAP_SHARE = 0.1;
/** A lit part is at least this wide and bright (common practice, no source), and is averaged over its nearest 10°. */
const LEAST_LIT_DEG = 1;
const LEAST_LIT_CD_M2 = 0.05;
const SIDE_DEG = 10;

/** One bearing of a view: mean luminance of what stands there. */
export interface ViewColumn {
  offsetDeg: number;
  /** Undefined where nothing stands there to be lit. */
  luminanceCdM2: number | undefined;
  at: Vec3;
  partId: string;
}

export interface Gap {
  fromDeg: number;
  toDeg: number;
  /** Width of what stands dark; stretches where nothing stands are not counted. */
  widthDeg: number;
  middle: ViewColumn;
}

/**
 * Mean luminance by bearing over the picture's width. Counted in a column: rays that meet something upright (walls, gables,
 * columns, trunks, bars, hedges) or a crown, within the picture's height. Not counted: ground, roofs, water, panes, sky.
 */
export function viewColumns(context: ReviewContext, view: ViewpointRecord): ViewColumn[] {
  const middle = viewBearingDeg(view);
  const to = sub(view.lookAt, view.eye);
  const shift = to[1] / Math.max(1e-6, Math.hypot(to[0], to[2]));
  const half = Math.tan((view.fieldDeg / 2) * DEG) / PICTURE_ASPECT;
  const [low, high] = [Math.atan(shift - half) / DEG, Math.atan(shift + half) / DEG];
  const columns: ViewColumn[] = [];
  for (let x = -view.fieldDeg / 2 + COLUMN_DEG / 2; x < view.fieldDeg / 2; x += COLUMN_DEG) {
    columns.push(viewColumn(context, view, middle, x, low, high));
  }
  return columns;
}

function viewColumn(
  context: ReviewContext,
  view: ViewpointRecord,
  middle: number,
  x: number,
  low: number,
  high: number,
): ViewColumn {
  const met: { luminance: number; at: Vec3; partId: string }[] = [];
  for (let elevation = low + ROW_DEG / 2; elevation < high; elevation += ROW_DEG) {
    const ray = direction(middle + x, elevation);
    const { luminanceCdM2, hit } = context.model.luminanceAlong(view.eye, ray);
    const standing = hit !== undefined && hit.distanceM < REACH_M && isStanding(context, hit);
    if (standing) met.push({ luminance: luminanceCdM2, at: hit.at, partId: hit.partId });
    else {
      const end = add(view.eye, ray, Math.min(REACH_M, hit ? hit.distanceM - 0.05 : REACH_M));
      if (context.model.scene.plants.length > 0 && context.model.transmittance(view.eye, end) < CROWN_TRANSMITTANCE) {
        met.push({ luminance: luminanceCdM2, at: end, partId: nearestPlant(context, view.eye, ray) });
      }
    }
  }
  const mid = met[Math.floor(met.length / 2)];
  if (!mid || met.length < 2) return { offsetDeg: x, luminanceCdM2: undefined, at: view.lookAt, partId: '' };
  return { offsetDeg: x, luminanceCdM2: meanOf(met.map((one) => one.luminance)), at: mid.at, partId: mid.partId };
}

/** Plant whose bounding ball the ray passes first. */
function nearestPlant(context: ReviewContext, from: Vec3, ray: Vec3): string {
  let best = { id: '', along: Infinity };
  for (const plant of context.model.scene.plants) {
    const d = sub(plant.centre, from);
    const along = d[0] * ray[0] + d[1] * ray[1] + d[2] * ray[2];
    const off2 = d[0] ** 2 + d[1] ** 2 + d[2] ** 2 - along ** 2;
    if (along > 0 && off2 < plant.radiusM ** 2 && along < best.along) best = { id: plant.id, along };
  }
  return best.id;
}

/**
 * Dark gaps between lit parts: the widest runs of columns that are all darker than a tenth of the mean of the lit part on
 * either side. Dark stretches at the picture's ends are no gaps.
 */
export function findGaps(columns: readonly ViewColumn[]): Gap[] {
  const lit = columns.filter((one) => one.luminanceCdM2 !== undefined);
  const brightest = lit.reduce((most, one) => Math.max(most, one.luminanceCdM2!), 0);
  const gaps: Gap[] = [];
  for (let limit = GAP_SHARE * brightest; limit >= GAP_SHARE * LEAST_LIT_CD_M2; limit *= 0.8) gaps.push(...gapsBelow(lit, limit));
  gaps.sort((a, b) => b.widthDeg - a.widthDeg);
  const kept: Gap[] = [];
  for (const gap of gaps) if (!kept.some((one) => gap.fromDeg < one.toDeg && gap.toDeg > one.fromDeg)) kept.push(gap);
  return kept.sort((a, b) => a.fromDeg - b.fromDeg);
}

function gapsBelow(columns: readonly ViewColumn[], limit: number): Gap[] {
  const runs: { dark: boolean; from: number; to: number }[] = [];
  columns.forEach((one, i) => {
    const dark = one.luminanceCdM2! < limit;
    const last = runs.at(-1);
    if (last && last.dark === dark) last.to = i;
    else runs.push({ dark, from: i, to: i });
  });
  return runs.flatMap((run, k): Gap[] => {
    const [before, after] = [runs[k - 1], runs[k + 1]];
    if (!run.dark || !before || !after) return [];
    const sides = Math.min(sideMean(columns, before, true), sideMean(columns, after, false));
    if (sides < LEAST_LIT_CD_M2 || limit > GAP_SHARE * sides) return [];
    const own = columns.slice(run.from, run.to + 1);
    return [
      {
        fromDeg: own[0]!.offsetDeg - COLUMN_DEG / 2,
        toDeg: own.at(-1)!.offsetDeg + COLUMN_DEG / 2,
        widthDeg: own.length * COLUMN_DEG,
        middle: own[Math.floor(own.length / 2)]!,
      },
    ];
  });
}

/** Mean of the lit part's nearest 10°; 0 where it is too narrow to count. */
function sideMean(columns: readonly ViewColumn[], run: { from: number; to: number }, atEnd: boolean): number {
  const own = columns.slice(run.from, run.to + 1);
  if (own.length * COLUMN_DEG < LEAST_LIT_DEG) return 0;
  const near = Math.round(SIDE_DEG / COLUMN_DEG);
  return meanOf((atEnd ? own.slice(-near) : own.slice(0, near)).map((one) => one.luminanceCdM2!));
}

/** Dark gaps of each view to please. */
export function measureDarkGap(context: ReviewContext, focus?: Focus): Measurement[] {
  return viewsToPlease(context).flatMap((view) => {
    if (!seenFrom(focus, view.id)) return [];
    const seen = new Map<string, number>();
    return findGaps(viewColumns(context, view)).map((gap): Measurement => {
      const part = gap.middle.partId || 'view';
      const nth = (seen.get(part) ?? 0) + 1;
      seen.set(part, nth);
      return {
        kind: 'darkGap',
        subject: nth === 1 ? `${view.id} × ${part}` : `${view.id} × ${part} (${nth})`,
        viewpoint: view.id,
        at: gap.middle.at,
        value: gap.widthDeg,
        sentence: `${partName(context, part)}, ${figure(gap.widthDeg)}° of black from ${view.name}, from ${sideWords(gap.fromDeg)} to ${sideWords(gap.toDeg)} of its middle`,
        limitWords: (limit) => `limit ${figure(limit)}°`,
        assumptions: [
          JUDGING_WORDS,
          DIRT_WORDS,
          'Counted: what stands upright and crowns; not ground, roofs, water, panes, sky.',
        ],
      };
    });
  });
}

const sideWords = (deg: number): string => `${Math.abs(deg).toFixed(0)}° ${deg < 0 ? 'left' : 'right'}`;

/** Name of the plant, or of the face that stands for the part (its outer or first upright face, not a lid or a sill). */
function partName(context: ReviewContext, id: string): string {
  return resolveTarget(context, id)?.name ?? context.model.scene.faces.find((one) => one.partId === id)?.name ?? id;
}
