import type { Survey } from '../../../view/index.ts';

/** Where the figure of an edge stands, in pixels of the picture; turned along the edge, never upside down. */
export interface EdgeFigure {
  value: number;
  x: number;
  y: number;
  angleDeg: number;
}

export interface FigureBox {
  width: number;
  height: number;
  /** Kept free at the picture's top, foot and left, pixels. */
  top: number;
  bottom: number;
  left: number;
}

type Point = readonly [number, number];

/** Beyond this ratio within a cell one thing ends and another begins: no line is drawn there, no figure is due. */
const JUMP = 1.9;
const APART_PX = 58;
const SAME_APART_PX = 210;
const SHORTEST_PX = 64;
const AREA_A_FIGURE_PX = 36_000;

/** Lines of one value through the survey's cells, as chains of points in samples (marching squares). */
export function linesAt({ width, height, values }: Survey, value: number): Point[][] {
  const next = new Map<number, number[]>();
  const points = new Map<number, Point>();
  const link = (a: number, b: number): void => {
    next.set(a, [...(next.get(a) ?? []), b]);
    next.set(b, [...(next.get(b) ?? []), a]);
  };
  for (let y = 0; y + 1 < height; y++) {
    for (let x = 0; x + 1 < width; x++) {
      const crossed = crossings(values, width, x, y, value);
      for (const one of crossed) points.set(one.id, one.at);
      if (crossed.length === 2) link(crossed[0]!.id, crossed[1]!.id);
    }
  }
  return chains(next).map((ids) => ids.map((id) => points.get(id)!));
}

/** Where the value crosses the sides of one cell; each side has an id of its own, shared with its neighbour. */
function crossings(values: Float32Array, width: number, x: number, y: number, value: number): { id: number; at: Point }[] {
  const i = y * width + x;
  const corners = [values[i]!, values[i + 1]!, values[i + width + 1]!, values[i + width]!];
  const low = Math.min(...corners);
  const high = Math.max(...corners);
  // A gap is not a number: both comparisons fail.
  if (!(low < value && high >= value) || !(high < JUMP * low)) return [];
  const [a, b, c, d] = corners as [number, number, number, number];
  const found: { id: number; at: Point }[] = [];
  const side = (from: number, to: number, id: number, at: (t: number) => Point): void => {
    if (from < value !== to < value) found.push({ id, at: at((value - from) / (to - from)) });
  };
  side(a, b, 2 * i, (t) => [x + t, y]);
  side(d, c, 2 * (i + width), (t) => [x + t, y + 1]);
  side(a, d, 2 * i + 1, (t) => [x, y + t]);
  side(b, c, 2 * (i + 1) + 1, (t) => [x + 1, y + t]);
  return found;
}

function chains(next: Map<number, number[]>): number[][] {
  const seen = new Set<number>();
  const found: number[][] = [];
  const walk = (start: number): void => {
    const chain: number[] = [];
    let at: number | undefined = start;
    while (at !== undefined) {
      seen.add(at);
      chain.push(at);
      at = next.get(at)!.find((id) => !seen.has(id));
    }
    found.push(chain);
  };
  // Open ends first, then what is left runs in rings.
  for (const [id, ends] of next) if (ends.length === 1 && !seen.has(id)) walk(id);
  for (const id of next.keys()) if (!seen.has(id)) walk(id);
  return found;
}

/** Figures along the edges of bands: the longest lines of every edge first, on their straightest part, well apart. */
export function edgeFigures(survey: Survey, edges: readonly number[], box: FigureBox): EdgeFigure[] {
  const step = box.width / survey.width;
  const lines = edges.flatMap((value) =>
    linesAt(survey, value)
      .map((line) => line.map(([x, y]): Point => [(x + 0.5) * step, (y + 0.5) * step]))
      .map((line) => ({ value, line, length: lengthOf(line) }))
      .filter(({ length }) => length >= Math.min(SHORTEST_PX, box.width / 9))
      .sort((a, b) => b.length - a.length)
      .map((one, rank) => ({ ...one, rank })),
  );
  lines.sort((a, b) => a.rank - b.rank || b.length - a.length);
  const most = Math.max(5, Math.round((box.width * box.height) / AREA_A_FIGURE_PX));
  const placed: EdgeFigure[] = [];
  for (const { value, line } of lines) {
    if (placed.length >= most) break;
    const spot = bestSpot(line, value, box, placed);
    if (spot) placed.push(spot);
  }
  return placed;
}

const lengthOf = (line: readonly Point[]): number =>
  line.reduce((sum, p, i) => (i === 0 ? 0 : sum + Math.hypot(p[0] - line[i - 1]![0], p[1] - line[i - 1]![1])), 0);

/** The straightest place on a line that is free and inside the picture. */
function bestSpot(line: readonly Point[], value: number, box: FigureBox, placed: readonly EdgeFigure[]): EdgeFigure | undefined {
  const reach = Math.max(2, Math.round(line.length * Math.min(0.5, 22 / lengthOf(line))));
  let best: { straight: number; figure: EdgeFigure } | undefined;
  for (let i = reach; i + reach < line.length; i += 2) {
    const [a, p, b] = [line[i - reach]!, line[i]!, line[i + reach]!];
    const [x, y] = p;
    if (x < box.left + 16 || x > box.width - 20 || y < box.top + 12 || y > box.height - box.bottom - 12) continue;
    const near = placed.some((q) => Math.hypot(q.x - x, q.y - y) < (q.value === value ? SAME_APART_PX : APART_PX));
    if (near) continue;
    const chord = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const straight = chord / lengthOf(line.slice(i - reach, i + reach + 1));
    if (straight < 0.85 || straight <= (best?.straight ?? 0)) continue;
    const turned = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;
    const angleDeg = turned > 90 ? turned - 180 : turned <= -90 ? turned + 180 : turned;
    best = { straight, figure: { value, x, y, angleDeg } };
  }
  return best?.figure;
}
