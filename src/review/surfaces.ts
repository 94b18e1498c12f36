import { type Face, facePoint, materialAt, pointCovered, pointInFace, type Vec3 } from '../scene/index.ts';
import type { ReviewContext } from './context.ts';
import { add } from './vec.ts';

/** Luminance of linear sRGB (IEC 61966-2-1). */
export const luminanceOf = (rgb: readonly [number, number, number]): number =>
  0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];

/** Point of a face, lifted off it by `liftM`. */
export function pointOn(face: Face, s: number, t: number, liftM = 0): Vec3 {
  return add(facePoint(face, s, t), face.normal, liftM);
}

/** True on the face itself: outside its holes and under nothing fixed to it. */
export function isOnFace(face: Face, s: number, t: number): boolean {
  return pointInFace(face, s, t) && !pointCovered(face, s, t);
}

/** Luminous reflectance at a place of a face, what is laid or painted there counted. */
export function reflectanceAt(context: ReviewContext, face: Face, s: number, t: number): number {
  const material = context.model.scene.materials[materialAt(face, s, t)];
  return material ? luminanceOf(material.reflectanceRgb) : 0;
}

/** A rectangle of a face. */
export interface FaceArea {
  face: number;
  s0: number;
  s1: number;
  t0: number;
  t1: number;
}

export interface FieldPlace {
  s: number;
  t: number;
  illuminanceLx: number;
  luminanceCdM2: number;
}

/** Field samples on a grid over a rectangle, the middle of each cell; openings and covered places left out. */
export function fieldPlaces(context: ReviewContext, area: FaceArea, columns: number, rows: number): FieldPlace[] {
  const face = context.model.scene.faces[area.face]!;
  const places: FieldPlace[] = [];
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const s = area.s0 + ((i + 0.5) / columns) * (area.s1 - area.s0);
      const t = area.t0 + ((j + 0.5) / rows) * (area.t1 - area.t0);
      const place = fieldAt(context, face, area.face, s, t);
      if (place) places.push(place);
    }
  }
  return places;
}

/** Field at one place of a face: direct and indirect together. */
export function fieldAt(context: ReviewContext, face: Face, index: number, s: number, t: number): FieldPlace | undefined {
  if (!isOnFace(face, s, t)) return undefined;
  const found = context.model.sampleField(index, s, t);
  if (!found) return undefined;
  const illuminanceLx = luminanceOf(found.directRgb) + luminanceOf(found.indirectRgb);
  return { s, t, illuminanceLx, luminanceCdM2: found.luminanceCdM2 };
}

export const meanOf = (values: readonly number[]): number =>
  values.length === 0 ? 0 : values.reduce((sum, one) => sum + one, 0) / values.length;

/** Light that leads at a place of a face: largest own direct share. */
export function leaderAt(context: ReviewContext, face: number, s: number, t: number): { id: string; lx: number } | undefined {
  let best: { id: string; lx: number } | undefined;
  const ids = [...context.document.existing.map((one) => one.id), ...context.lights.map((one) => one.id)];
  for (const id of ids) {
    const lx = context.model.sampleLayer(id, face, s, t);
    if (lx > (best?.lx ?? 0)) best = { id, lx };
  }
  return best;
}

/** What a light is for, as rectangles of faces or as a plant. */
export type Target =
  | { kind: 'faces'; id: string; name: string; areas: FaceArea[] }
  | { kind: 'plant'; id: string; name: string; plant: number };

/** `wallId#a-b`: metres along the wall from its `from` point. */
const BAY = /^(.+)#(\d+(?:\.\d+)?)-(\d+(?:\.\d+)?)$/;

/** Resolves `targetId`: a wall bay `wallId#a-b`, a face, a plant, or a part (its upright faces, else all). */
export function resolveTarget(context: ReviewContext, targetId: string): Target | undefined {
  const bay = BAY.exec(targetId);
  if (bay) return bayTarget(context, targetId, bay[1]!, Number(bay[2]), Number(bay[3]));
  const { faces, plants } = context.model.scene;
  const index = context.faceIndex.get(targetId);
  if (index !== undefined) {
    const face = faces[index]!;
    return { kind: 'faces', id: targetId, name: face.name || face.id, areas: [wholeFace(index, face)] };
  }
  const plant = plants.findIndex((one) => one.id === targetId);
  if (plant >= 0) return { kind: 'plant', id: targetId, name: plants[plant]!.name || targetId, plant };
  const own = faces.map((face, i) => ({ face, i })).filter(({ face }) => face.partId === targetId && face.sampled);
  const upright = own.filter(({ face }) => Math.abs(face.normal[1]) < 0.3);
  const outer = upright.filter(({ face }) => face.id === `${targetId}/outer`);
  const chosen = outer.length > 0 ? outer : upright.length > 0 ? upright : own;
  if (chosen.length === 0) return undefined;
  const name = chosen[0]!.face.name || targetId;
  return { kind: 'faces', id: targetId, name, areas: chosen.map(({ face, i }) => wholeFace(i, face)) };
}

const wholeFace = (index: number, face: Face): FaceArea => ({ face: index, s0: 0, s1: face.widthM, t0: 0, t1: face.heightM });

function bayTarget(context: ReviewContext, id: string, wallId: string, a: number, b: number): Target | undefined {
  const index = context.faceIndex.get(`${wallId}/outer`) ?? context.faceIndex.get(wallId);
  if (index === undefined) return undefined;
  const face = context.model.scene.faces[index]!;
  const [s0, s1] = a < b ? [a, b] : [b, a];
  const name = `${face.name || wallId}, ${s0} to ${s1} m`;
  return { kind: 'faces', id, name, areas: [{ face: index, s0, s1: Math.min(s1, face.widthM), t0: 0, t1: face.heightM }] };
}

const TOP_SHARE = 0.2;

/**
 * Mean lux on the top fifth of a target, all lamps of the field together. Faces: area mean over the fifth of the height
 * (of each upright face). Plants: twice the mean, over the leaves in the top fifth of the crown's height, of what both
 * sides of a leaf get together; for leaves turned every way that is what a small plate turned to the lamp would get.
 */
export function topFifthLx(context: ReviewContext, target: Target): number | undefined {
  if (target.kind === 'plant') return plantTopLx(context, target.plant);
  const { faces } = context.model.scene;
  const places = target.areas.flatMap((area) => {
    const face = faces[area.face]!;
    const upright = Math.abs(face.normal[1]) < 0.7;
    const from = upright ? area.t1 - TOP_SHARE * (area.t1 - area.t0) : area.t0;
    const columns = Math.max(3, Math.min(24, Math.round((area.s1 - area.s0) / 0.25)));
    return fieldPlaces(context, { ...area, t0: from }, columns, 5);
  });
  return places.length === 0 ? undefined : meanOf(places.map((one) => one.illuminanceLx));
}

function plantTopLx(context: ReviewContext, plant: number): number | undefined {
  const { plants } = context.model.scene;
  const first = plants.slice(0, plant).reduce((sum, one) => sum + one.cards.length / 8, 0);
  const { cards } = plants[plant]!;
  const { cards: lit } = context.model.field;
  const count = cards.length / 8;
  let top = -Infinity;
  let foot = Infinity;
  for (let i = 0; i < count; i++) {
    top = Math.max(top, cards[8 * i + 1]!);
    foot = Math.min(foot, cards[8 * i + 1]!);
  }
  let sum = 0;
  let n = 0;
  for (let i = 0; i < count; i++) {
    if (cards[8 * i + 1]! < top - TOP_SHARE * (top - foot)) continue;
    const k = 6 * (first + i);
    sum += luminanceOf([lit[k]!, lit[k + 1]!, lit[k + 2]!]) + luminanceOf([lit[k + 3]!, lit[k + 4]!, lit[k + 5]!]);
    n++;
  }
  return n === 0 ? undefined : 2 * (sum / n);
}
