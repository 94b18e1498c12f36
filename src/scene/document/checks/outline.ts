import type { Vec2 } from '../../records/common.ts';
import type { ErrorList, PathStep } from '../errors.ts';

/** Where two sides of an outline cross, with the numbers of the sides from 1. */
export interface Crossing {
  sideA: number;
  sideB: number;
  at: Vec2;
}

/** First place where an outline crosses itself, or undefined. Sides that share a corner do not count. */
export function findCrossing(outline: readonly Vec2[]): Crossing | undefined {
  const n = outline.length;
  for (let i = 0; i < n; i++) {
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      const at = meet(outline[i]!, outline[i + 1]!, outline[j]!, outline[(j + 1) % n]!);
      if (at) return { sideA: i + 1, sideB: j + 1, at };
    }
  }
  return undefined;
}

/** Point where segments a–b and c–d cross or touch; undefined where they are apart or parallel. */
function meet(a: Vec2, b: Vec2, c: Vec2, d: Vec2): Vec2 | undefined {
  const ab: Vec2 = [b[0] - a[0], b[1] - a[1]];
  const cd: Vec2 = [d[0] - c[0], d[1] - c[1]];
  const turn = ab[0] * cd[1] - ab[1] * cd[0];
  if (Math.abs(turn) < 1e-12) return undefined;
  const s = ((c[0] - a[0]) * cd[1] - (c[1] - a[1]) * cd[0]) / turn;
  const t = ((c[0] - a[0]) * ab[1] - (c[1] - a[1]) * ab[0]) / turn;
  if (s < 0 || s > 1 || t < 0 || t > 1) return undefined;
  return [a[0] + s * ab[0], a[1] + s * ab[1]];
}

/** Refuses outlines that cross themselves, repeat a corner or hold no area. */
export function checkOutline(outline: readonly Vec2[], steps: readonly PathStep[], list: ErrorList): void {
  const n = outline.length;
  const repeated = outline.findIndex(
    (p, i) => Math.hypot(p[0] - outline[(i + 1) % n]![0], p[1] - outline[(i + 1) % n]![1]) < 1e-6,
  );
  if (repeated >= 0) {
    const last = repeated === n - 1;
    const reason = last
      ? 'the last corner repeats the first; outlines close by themselves'
      : `corners ${repeated + 1} and ${repeated + 2} are the same`;
    list.add([...steps, repeated], reason, 'each corner once');
    return;
  }
  const crossing = findCrossing(outline);
  if (crossing) {
    const where = `x ${crossing.at[0].toFixed(2)}, z ${crossing.at[1].toFixed(2)}`;
    list.add(
      steps,
      `crosses itself at ${where} (sides ${crossing.sideA} and ${crossing.sideB})`,
      'corners in order round the outline',
    );
    return;
  }
  const twice = outline.reduce((sum, [x, z], i) => sum + x * outline[(i + 1) % n]![1] - outline[(i + 1) % n]![0] * z, 0);
  if (Math.abs(twice) < 1e-6) list.add(steps, 'holds no area', 'at least three corners not in one line');
}
