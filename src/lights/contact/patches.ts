import type { BounceModel } from '../bounce/index.ts';
import type { SceneModel } from '../../scene/index.ts';
import { CONTACT_CELL_M, type ContactMap, type ContactSquare, SQUARE_M, squareNumber } from './map.ts';
import { hiddenShare } from './read.ts';
import { DIRECTIONS, SIDE } from './shade.ts';

/** Share of the hemisphere that small bodies leave open, mean over each patch, three times each: read like light. */
export function openOfPatches(map: ContactMap, bounce: BounceModel, scene: SceneModel): Float32Array {
  const hidden = new Float64Array(bounce.patches.length);
  const count = new Uint32Array(bounce.patches.length);
  scene.faces.forEach((face, index) => {
    for (const square of map.faces.get(face.id)?.values() ?? []) addSquare(square, bounce, index, hidden, count);
  });
  const open = new Float32Array(bounce.patches.length * 3).fill(1);
  bounce.patches.forEach((patch, p) => {
    const squares = patch.leaves ? undefined : map.faces.get(scene.faces[patch.face]!.id);
    if (!squares) return;
    const inMap = shareInMap(squares, patch);
    if (inMap === 0) return;
    const middle = (): number => hiddenShare(squares, (patch.s0M + patch.s1M) / 2, (patch.t0M + patch.t1M) / 2);
    const mean = count[p]! > 0 ? hidden[p]! / count[p]! / DIRECTIONS : middle();
    open.fill(1 - mean * inMap, p * 3, p * 3 + 3);
  });
  return open;
}

function addSquare(
  { s0M, t0M, rows, hidden: own }: ContactSquare,
  bounce: BounceModel,
  face: number,
  hidden: Float64Array,
  count: Uint32Array,
): void {
  for (let j = 1; j < SIDE - 1; j++) {
    for (let i = 1; i < SIDE - 1; i++) {
      if (((rows[j]! >>> i) & 1) === 0) continue;
      const p = bounce.patchAt(face, s0M + (i - 0.5) * CONTACT_CELL_M, t0M + (j - 0.5) * CONTACT_CELL_M);
      if (p < 0) continue;
      hidden[p]! += own[j * SIDE + i]!;
      count[p]!++;
    }
  }
}

/** Share of a patch's rectangle that lies on squares of the map: elsewhere nothing is hidden. */
function shareInMap(
  squares: ReadonlyMap<number, ContactSquare>,
  { s0M, t0M, s1M, t1M }: { s0M: number; t0M: number; s1M: number; t1M: number },
): number {
  let area = 0;
  for (let j = Math.floor(t0M / SQUARE_M); j * SQUARE_M < t1M; j++) {
    for (let i = Math.floor(s0M / SQUARE_M); i * SQUARE_M < s1M; i++) {
      if (!squares.has(squareNumber(i, j))) continue;
      const wide = Math.min(s1M, (i + 1) * SQUARE_M) - Math.max(s0M, i * SQUARE_M);
      const high = Math.min(t1M, (j + 1) * SQUARE_M) - Math.max(t0M, j * SQUARE_M);
      area += Math.max(0, wide) * Math.max(0, high);
    }
  }
  return Math.min(1, area / ((s1M - s0M) * (t1M - t0M)));
}
