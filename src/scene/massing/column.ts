import type { MaterialRef, PartOf, Vec3 } from '../records/index.ts';
import { boxSides } from './box.ts';
import type { SceneBuilder } from './builder.ts';
import type { FaceKind } from './types.ts';

/** Flat sides that stand for a round column or tub. */
const ROUND_SIDES = 12;

/** Upright prism or frustum on a regular polygon; sides `…/side-1` on. Its perimeter equals that of the circle. */
function buildRound(
  b: SceneBuilder,
  input: {
    id: string;
    label: string;
    kind: FaceKind;
    material: MaterialRef;
    at: Vec3;
    heightM: number;
    footRadiusM: number;
    topRadiusM: number;
  },
): { top: Vec3[] } {
  const fit = Math.PI / (ROUND_SIDES * Math.sin(Math.PI / ROUND_SIDES));
  const ring = (radiusM: number, y: number) =>
    Array.from({ length: ROUND_SIDES }, (_, k): Vec3 => {
      const a = ((k - 0.5) * 2 * Math.PI) / ROUND_SIDES;
      return [input.at[0] + radiusM * fit * Math.sin(a), y, input.at[2] + radiusM * fit * Math.cos(a)];
    });
  const foot = ring(input.footRadiusM, input.at[1]);
  const top = ring(input.topRadiusM, input.at[1] + input.heightM);
  for (let k = 0; k < ROUND_SIDES; k++) {
    const j = (k + 1) % ROUND_SIDES;
    b.polygonFace(
      {
        id: `${input.id}/side-${k + 1}`,
        partId: input.id,
        name: `${input.label}, side ${k + 1}`,
        kind: input.kind,
        material: input.material,
      },
      [foot[k]!, foot[j]!, top[j]!, top[k]!],
    );
  }
  b.solid(input.id, foot, top);
  return { top };
}

export function buildColumn(b: SceneBuilder, part: PartOf<'column'>): void {
  const label = part.name || part.id;
  const common = { partId: part.id, kind: 'column' as const, material: part.material };
  if (part.section === 'round') {
    const radiusM = part.widthM / 2;
    const { top } = buildRound(b, {
      ...common,
      id: part.id,
      label,
      at: part.at,
      heightM: part.heightM,
      footRadiusM: radiusM,
      topRadiusM: radiusM,
    });
    b.polygonFace({ ...common, id: `${part.id}/top`, name: `${label}, top` }, top);
    return;
  }
  const centre: Vec3 = [part.at[0], part.at[1] + part.heightM / 2, part.at[2]];
  for (const side of boxSides(centre, [part.widthM, part.heightM, part.widthM], 0)) {
    if (side.name === 'bottom') continue;
    b.face({
      ...common,
      id: `${part.id}/${side.name}`,
      name: `${label}, ${side.name}`,
      origin: side.origin,
      u: side.u,
      v: side.v,
      size: side.size,
    });
  }
  const h = part.widthM / 2;
  b.box(part.id, [part.at[0] - h, part.at[1], part.at[2] - h], [part.widthM, 0, 0], [0, 0, part.widthM], [0, part.heightM, 0]);
}

/** Round tapered tub; soil level with its rim. */
export function buildTub(b: SceneBuilder, part: PartOf<'tub'>): void {
  const label = part.name || part.id;
  const { top } = buildRound(b, {
    id: part.id,
    label,
    kind: 'tub',
    material: part.material,
    at: part.at,
    heightM: part.heightM,
    footRadiusM: part.footWidthM / 2,
    topRadiusM: part.topWidthM / 2,
  });
  b.polygonFace({ id: `${part.id}/soil`, partId: part.id, name: `${label}, soil`, kind: 'tub', material: 'soil' }, top);
}
