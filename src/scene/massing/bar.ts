import type { PartOf, Vec3 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import { addStrandOccluders, SQUARE_SIDES } from './strand.ts';
import type { Strand } from './types.ts';
import { along, dot, length, sub, unit } from './vec.ts';

/** Distance of light samples along a bar, metres. */
const RING_SPACING_M = 0.25;
/** A bend sharper than this is a corner: two bars that overlap there, so that neither grows thin. */
const CORNER_COS = Math.cos((25 * Math.PI) / 180);
const ROUND_SIDES = 8;

/** Strands `…/length-1` on, one for each stretch between corners, both ends closed. */
export function buildBar(b: SceneBuilder, part: PartOf<'bar'>): void {
  const radiusM = part.widthM / 2;
  const square = part.section === 'square';
  stretches(part.path, radiusM).forEach((points, i) => {
    const strand = (spacingM: number): Strand => ({
      id: `${part.id}/length-${i + 1}`,
      partId: part.id,
      section: part.section,
      sides: square ? SQUARE_SIDES : ROUND_SIDES,
      material: b.material(part.material),
      occludes: true,
      ...rings(points, radiusM, spacingM),
    });
    b.strands.push(strand(RING_SPACING_M));
    addStrandOccluders(b, strand(Infinity));
  });
}

/** The path cut at its corners; ends at a corner run on by half the width. */
function stretches(path: readonly Vec3[], radiusM: number): Vec3[][] {
  const list: Vec3[][] = [[path[0]!]];
  for (let i = 1; i < path.length; i++) {
    const p = path[i]!;
    const own = list.at(-1)!;
    const into = unit(sub(p, path[i - 1]!));
    const next = path[i + 1];
    if (!next || dot(into, unit(sub(next, p))) > CORNER_COS) own.push(p);
    else {
      own.push(along(p, into, radiusM));
      list.push([along(p, unit(sub(next, p)), -radiusM)]);
    }
  }
  return list;
}

function rings(points: readonly Vec3[], radiusM: number, spacingM: number): { ringsM: Float32Array; radiiM: Float32Array } {
  const middles: Vec3[] = [points[0]!];
  for (let i = 1; i < points.length; i++) {
    const from = points[i - 1]!;
    const way = sub(points[i]!, from);
    const steps = Math.max(1, Math.ceil(length(way) / spacingM));
    for (let k = 1; k <= steps; k++) middles.push(along(from, way, k / steps));
  }
  const first = middles[0]!;
  const last = middles.at(-1)!;
  return {
    ringsM: Float32Array.from([first, ...middles, last].flat()),
    radiiM: Float32Array.from([0, ...middles.map(() => radiusM), 0]),
  };
}
