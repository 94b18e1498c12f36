import { isSetIn, TILE_CELLS, TILE_SAMPLES, type TileRef } from '../../lights/index.ts';
import { type Face, faceCoordinates, type FaceKind } from '../../scene/index.ts';
import { CLEAN_WORDS, faceName, JUDGING_WORDS, type ReviewContext, type ReviewLight } from '../context.ts';
import { HOT_SPOT_LUMINANCE, limitsOf } from '../limits.ts';
import { figure, type Focus, type Measurement, metres } from '../measure.ts';
import { fieldPlaces, isOnFace, leaderAt, luminanceOf, meanOf, pointOn, reflectanceAt } from '../surfaces.ts';

const STRIP_WIDTH_M = 0.3;
/** Below this own luminance a patch is not called lit (as for dark sides, common practice). */
const LIT_CD_M2 = 0.5;
/** Peaks are sought per square of this side, so that each light's own peak is found beside a stronger one. */
const PEAK_CELL_M = 0.5;
/** Narrower parts (courses, sills, bars) are trim, not a face to judge. */
const LEAST_FACE_M = 0.3;

/** Upright faces wide enough for a beam to climb: only these have a mean "up the wall". Trim, frames and leaves of doors do not. */
const WALL_LIKE: ReadonlySet<FaceKind> = new Set(['wall', 'gable', 'column', 'panel', 'box', 'tub', 'stepSide']);

/** A light leads where at least this share of the illuminance is its own direct light: not where windows or sky do. */
const LEADS_SHARE = 0.3;

interface Peak {
  s: number;
  t: number;
  lx: number;
}

/**
 * Hot spot of each face and each light that leads there: peak ÷ mean illuminance along a strip 0.3 m wide through the peak
 * over the whole height of an upright wall, gable or column; and the luminance at the peak on any face. A face in which the
 * lens itself is set flush (a step light in its riser) is not judged for that light: what grazes it there is its own rim.
 */
export function measureHotSpot(context: ReviewContext, focus?: Focus): Measurement[] {
  const tiles = tilesByFace(context);
  return context.model.scene.faces.flatMap((face, index): Measurement[] => {
    if (!face.sampled || Math.min(face.widthM, face.heightM) < LEAST_FACE_M) return [];
    if (focus?.subject !== undefined && !focus.subject.endsWith(` × ${face.id}`)) return [];
    const own = tiles.get(index) ?? [];
    return [...peaksByLeader(context, face, index, own)].flatMap(([light, peak]) => judgePeak(context, face, index, light, peak));
  });
}

function tilesByFace(context: ReviewContext): Map<number, TileRef[]> {
  const byFace = new Map<number, TileRef[]>();
  for (const tile of context.model.field.tiles) {
    const list = byFace.get(tile.face);
    if (list) list.push(tile);
    else byFace.set(tile.face, [tile]);
  }
  return byFace;
}

/** Highest sample of the face at which each light of the scheme leads. */
function peaksByLeader(context: ReviewContext, face: Face, index: number, tiles: readonly TileRef[]): Map<ReviewLight, Peak> {
  const reflectance = luminanceOf(context.model.scene.materials[face.material]!.reflectanceRgb);
  const leastLx = (LIT_CD_M2 * Math.PI) / Math.max(reflectance, 0.02);
  const cells = highestByCell(context, face, tiles, leastLx);
  const peaks = new Map<ReviewLight, Peak>();
  for (const peak of [...cells.values()].sort((a, b) => b.lx - a.lx)) {
    const leader = leaderAt(context, index, peak.s, peak.t);
    const light = leader && context.lightById.get(leader.id);
    if (light && leader.lx >= LEADS_SHARE * peak.lx && !peaks.has(light) && !isSetIn(face, light.fixture)) peaks.set(light, peak);
  }
  return peaks;
}

function highestByCell(context: ReviewContext, face: Face, tiles: readonly TileRef[], leastLx: number): Map<string, Peak> {
  const { directRgb, indirectRgb, valid } = context.model.field;
  const cells = new Map<string, Peak>();
  for (const tile of tiles) {
    for (let j = 1; j <= TILE_CELLS; j++) {
      for (let i = 1; i <= TILE_CELLS; i++) {
        const k = tile.slot * TILE_SAMPLES * TILE_SAMPLES + j * TILE_SAMPLES + i;
        if (!valid[k]) continue;
        const lx =
          0.2126 * (directRgb[3 * k]! + indirectRgb[3 * k]!) +
          0.7152 * (directRgb[3 * k + 1]! + indirectRgb[3 * k + 1]!) +
          0.0722 * (directRgb[3 * k + 2]! + indirectRgb[3 * k + 2]!);
        if (lx < leastLx) continue;
        const s = tile.s0M + (i - 0.5) * tile.cellM;
        const t = tile.t0M + (j - 0.5) * tile.cellM;
        const cell = `${Math.floor(s / PEAK_CELL_M)}/${Math.floor(t / PEAK_CELL_M)}`;
        if (lx > (cells.get(cell)?.lx ?? 0) && isOnFace(face, s, t)) cells.set(cell, { s, t, lx });
      }
    }
  }
  return cells;
}

function judgePeak(context: ReviewContext, face: Face, index: number, light: ReviewLight, peak: Peak): Measurement[] {
  const subject = `${light.id} × ${face.id}`;
  const at = pointOn(face, peak.s, peak.t);
  const luminance = (peak.lx * reflectanceAt(context, face, peak.s, peak.t)) / Math.PI;
  const place = `${light.label}, ${setBackWords(face, light)}${faceName(face)}${heightWords(face, peak)}, ${figure(peak.lx)} lx`;
  const assumptions = [JUDGING_WORDS, CLEAN_WORDS];
  const base = { kind: 'hotSpot' as const, subject, at, assumptions };
  const bright: Measurement = {
    ...base,
    value: luminance,
    limits: HOT_SPOT_LUMINANCE,
    sentence: `${place}, ${figure(luminance)} cd/m²`,
  };
  const ratio = peak.lx / stripMeanLx(context, face, index, peak);
  if (!WALL_LIKE.has(face.kind) || Math.abs(face.normal[1]) > 0.7 || !Number.isFinite(ratio)) return [bright];
  const uneven: Measurement = {
    ...base,
    value: ratio,
    sentence: `${place}, ${figure(ratio)} times the mean up the ${face.kind === 'column' ? 'column' : 'wall'}`,
    limitWords: (limit) => `limit ${figure(limit)}`,
    limits: limitsOf('hotSpot', context.document),
  };
  return [uneven, bright];
}

/** Mean illuminance of the strip through the peak, openings left out. */
function stripMeanLx(context: ReviewContext, face: Face, index: number, peak: Peak): number {
  const half = STRIP_WIDTH_M / 2;
  const s0 = Math.max(0, Math.min(peak.s - half, face.widthM - STRIP_WIDTH_M));
  const rows = Math.max(20, Math.min(400, Math.ceil(face.heightM / 0.03)));
  const area = { face: index, s0, s1: Math.min(face.widthM, s0 + STRIP_WIDTH_M), t0: 0, t1: face.heightM };
  return meanOf(fieldPlaces(context, area, 5, rows).map((one) => one.illuminanceLx));
}

function setBackWords(face: Face, light: ReviewLight): string {
  const upright = Math.abs(face.normal[1]) < 0.7;
  return upright ? `${metres(faceCoordinates(face, light.fixture.at).heightM)} from the wall, ` : '';
}

const heightWords = (face: Face, peak: Peak): string => (Math.abs(face.normal[1]) < 0.7 ? ` ${metres(peak.t)} up` : '');
