import type { CameraPose, Face, SceneModel, Vec3 } from '../../scene/index.ts';
import { cutByMaterial } from '../surfaces/cut.ts';

/** Level faces that mirror: still water at one height, or the wet paving of the property. */
export interface Sheet {
  kind: 'water' | 'paving';
  /** Height of the mirror, metres. */
  levelM: number;
  /** Triangles, 9 numbers each. */
  positionsM: number[];
}

/** Hard floors on which water stands as a film; loose and planted ground swallows it (common practice, no source). */
const HARD = new Set([
  'paving',
  'pavingConcrete',
  'brickPaving',
  'setts',
  'decking',
  'asphalt',
  'concrete',
  'limestone',
  'ashlar',
  'copingStone',
  'poolTile',
]);
/** Levels this near each other share a mirror. */
const SAME_LEVEL_M = 0.02;

/** Water by height, and hard level floors as one sheet at the height of most of their area. */
export function sheetsOf(scene: SceneModel): Sheet[] {
  const sheets: Sheet[] = [];
  const floors: { levelM: number; areaM2: number }[] = [];
  const paving: Sheet = { kind: 'paving', levelM: 0, positionsM: [] };
  for (const face of scene.faces) {
    if (face.normal[1] < 0.995) continue;
    if (face.kind === 'water') {
      const levelM = face.origin[1];
      const known = sheets.find((s) => Math.abs(s.levelM - levelM) < SAME_LEVEL_M);
      const sheet: Sheet = known ?? { kind: 'water', levelM, positionsM: [] };
      if (!known) sheets.push(sheet);
      for (const piece of cutByMaterial(face)) fan(face, piece.outline, sheet.positionsM);
      continue;
    }
    if (face.kind !== 'ground' && face.kind !== 'tread') continue;
    for (const piece of cutByMaterial(face)) {
      if (!HARD.has(scene.materials[piece.material]?.id ?? '')) continue;
      fan(face, piece.outline, paving.positionsM);
      floors.push({ levelM: face.origin[1], areaM2: areaOf(piece.outline) });
    }
  }
  if (paving.positionsM.length > 0) sheets.push({ ...paving, levelM: commonLevel(floors) });
  return sheets;
}

/** Corners of a sheet, for finding it in the picture. */
export function cornersOf(sheet: Sheet): Vec3[] {
  const out: Vec3[] = [];
  for (let i = 0; i < sheet.positionsM.length; i += 3)
    out.push([sheet.positionsM[i]!, sheet.positionsM[i + 1]!, sheet.positionsM[i + 2]!]);
  return out;
}

/** The mirror works from above only. */
export const seenFrom = (sheet: Sheet, pose: CameraPose): boolean => pose.eye[1] > sheet.levelM + 0.02;

function fan(face: Face, outline: readonly number[], out: number[]): void {
  const at = (i: number): Vec3 =>
    [0, 1, 2].map((k) => face.origin[k]! + outline[2 * i]! * face.u[k]! + outline[2 * i + 1]! * face.v[k]!) as unknown as Vec3;
  for (let i = 1; i + 1 < outline.length / 2; i++) out.push(...at(0), ...at(i), ...at(i + 1));
}

function areaOf(outline: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < outline.length; i += 2) {
    const j = (i + 2) % outline.length;
    sum += outline[i]! * outline[j + 1]! - outline[j]! * outline[i + 1]!;
  }
  return Math.abs(sum) / 2;
}

function commonLevel(floors: readonly { levelM: number; areaM2: number }[]): number {
  let best = { levelM: 0, areaM2: -1 };
  for (const { levelM } of floors) {
    const areaM2 = floors.filter((f) => Math.abs(f.levelM - levelM) < SAME_LEVEL_M).reduce((s, f) => s + f.areaM2, 0);
    if (areaM2 > best.areaM2) best = { levelM, areaM2 };
  }
  return best.levelM;
}
