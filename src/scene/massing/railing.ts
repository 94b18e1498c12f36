import type { PartOf, Vec3 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import { addStrandOccluders, SQUARE_SIDES } from './strand.ts';
import type { Strand } from './types.ts';

/** Distance of light samples along bars and rails, metres. */
const RING_SPACING_M = 0.3;
const LOW_RAIL_M = 0.1;
/** Rails are this wide at least, and wider than their bars, which end inside them. */
const RAIL_M = 0.03;
const RAIL_TO_BAR = 1.8;
/** Posts stand this far above the upper rail. */
const POST_RISE_M = 0.05;

/** Railing of square bars, posts and two rails: strands `…/bar-1`, `…/post-1`, `…/rail-1` that throw shadows. */
export function buildRailing(b: SceneBuilder, part: PartOf<'railing'>): void {
  const lengthM = Math.hypot(part.to[0] - part.from[0], part.to[1] - part.from[1]);
  if (lengthM < 1e-6) return;
  const at = (s: number, y: number): Vec3 => [
    part.from[0] + ((part.to[0] - part.from[0]) * s) / lengthM,
    part.baseM + y,
    part.from[1] + ((part.to[1] - part.from[1]) * s) / lengthM,
  ];
  const material = b.material(part.material);
  const add = (name: string, from: Vec3, to: Vec3, widthM: number, closed: boolean) => {
    const strand: Strand = {
      id: `${part.id}/${name}`,
      partId: part.id,
      section: 'square',
      sides: SQUARE_SIDES,
      material,
      occludes: true,
      ...straight(from, to, widthM / 2, RING_SPACING_M, closed),
    };
    b.strands.push(strand);
    addStrandOccluders(b, { ...strand, ...straight(from, to, widthM / 2, Infinity, closed) });
  };
  const posts = Math.max(1, Math.round(lengthM / part.postSpacingM));
  for (let i = 0; i <= posts; i++) {
    const s = (lengthM * i) / posts;
    add(`post-${i + 1}`, at(s, 0), at(s, part.heightM + POST_RISE_M), part.postM, true);
  }
  const railM = Math.max(RAIL_M, RAIL_TO_BAR * part.barM);
  const low = Math.min(LOW_RAIL_M, part.heightM / 4);
  const high = part.heightM - railM / 2;
  const bars = Math.max(1, Math.round(lengthM / part.barSpacingM));
  const isPost = (s: number) =>
    Math.abs((s * posts) / lengthM - Math.round((s * posts) / lengthM)) * (lengthM / posts) < (part.postM + part.barM) / 2;
  let n = 0;
  for (let i = 1; i < bars; i++) {
    const s = (lengthM * i) / bars;
    if (!isPost(s)) add(`bar-${++n}`, at(s, low), at(s, high), part.barM, true);
  }
  add('rail-1', at(0, low), at(lengthM, low), railM, false);
  add('rail-2', at(0, high), at(lengthM, high), railM, false);
}

/** Rings along a straight bar, at most `spacingM` apart; `closed` caps the far end. */
function straight(
  from: Vec3,
  to: Vec3,
  radiusM: number,
  spacingM: number,
  closed: boolean,
): { ringsM: Float32Array; radiiM: Float32Array } {
  const lengthM = Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
  const steps = Math.max(1, Math.ceil(lengthM / spacingM));
  const rings: number[] = [];
  for (let i = 0; i <= steps; i++) for (let k = 0; k < 3; k++) rings.push(from[k]! + ((to[k]! - from[k]!) * i) / steps);
  const radii = new Array<number>(steps + 1).fill(radiusM);
  if (closed) {
    rings.push(...to);
    radii.push(0);
  }
  return { ringsM: Float32Array.from(rings), radiiM: Float32Array.from(radii) };
}
