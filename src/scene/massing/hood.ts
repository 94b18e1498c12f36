import type { PartOf, Vec3 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import { bearingAxes, scale } from './vec.ts';

const BRACKET_WIDTH_M = 0.12;
const BRACKET_INSET_M = 0.12;

/** Canopy on a wall with two tapered brackets. Its back, against the wall, has no face. */
export function buildHood(b: SceneBuilder, part: PartOf<'hood'>): void {
  const { forward, right } = bearingAxes(part.bearingDeg);
  /* Seen by someone facing the wall, u runs left → right: against the bearing's own right hand. */
  const u = scale(right, -1);
  const at = (s: number, out: number, y: number): Vec3 => [
    part.at[0] + s * u[0] + out * forward[0],
    part.at[1] + y,
    part.at[2] + s * u[2] + out * forward[2],
  ];
  const label = part.name || part.id;
  const add = (side: string, ring: Vec3[]) =>
    b.polygonFace(
      { id: `${part.id}/${side}`, partId: part.id, name: `${label}, ${side}`, kind: 'hood', material: part.material },
      ring,
    );
  const w = part.widthM / 2;
  const { depthM: d, thicknessM: t } = part;
  add('front', [at(-w, d, 0), at(w, d, 0), at(w, d, t), at(-w, d, t)]);
  add('top', [at(-w, d, t), at(w, d, t), at(w, 0, t), at(-w, 0, t)]);
  add('under', [at(-w, 0, 0), at(w, 0, 0), at(w, d, 0), at(-w, d, 0)]);
  add('endLeft', [at(-w, 0, 0), at(-w, d, 0), at(-w, d, t), at(-w, 0, t)]);
  add('endRight', [at(w, d, 0), at(w, 0, 0), at(w, 0, t), at(w, d, t)]);
  b.solid(
    part.id,
    [at(-w, d, 0), at(w, d, 0), at(w, 0, 0), at(-w, 0, 0)],
    [at(-w, d, t), at(w, d, t), at(w, 0, t), at(-w, 0, t)],
  );
  if (!part.brackets || part.widthM < 4 * BRACKET_WIDTH_M) return;
  const reach = Math.min(0.7 * d, 0.6);
  const drop = Math.min(0.5, 0.6 * d);
  const nose = 0.35 * drop;
  [-w + BRACKET_INSET_M, w - BRACKET_INSET_M - BRACKET_WIDTH_M].forEach((s0, i) => {
    const s1 = s0 + BRACKET_WIDTH_M;
    const id = `bracket-${i + 1}`;
    /* Profile (out, y): against the wall down to `drop`, a short upright nose under the canopy. */
    const low = (s: number) => [at(s, 0, -drop), at(s, reach, -nose), at(s, reach, 0), at(s, 0, 0)];
    const left = low(s0);
    const rightSide = low(s1);
    add(`${id}/left`, [left[0]!, left[1]!, left[2]!, left[3]!]);
    add(`${id}/right`, [rightSide[1]!, rightSide[0]!, rightSide[3]!, rightSide[2]!]);
    add(`${id}/nose`, [left[1]!, rightSide[1]!, rightSide[2]!, left[2]!]);
    add(`${id}/under`, [left[0]!, rightSide[0]!, rightSide[1]!, left[1]!]);
    b.solid(part.id, left, rightSide);
  });
}
