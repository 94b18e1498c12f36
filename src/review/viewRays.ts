import type { Hit } from '../lights/index.ts';
import type { FaceKind, Vec3, ViewpointRecord } from '../scene/index.ts';
import type { ReviewContext } from './context.ts';
import { add, bearingDeg, cross, DEG, dot, sub, unit } from './vec.ts';

/** Width ÷ height of the judged picture (1600 × 1000). */
export const PICTURE_ASPECT = 1.6;

/** Directions of a level picture with lens shift, rows from the top; `columns` × `rows` middles of its cells. */
export function pictureRays(view: ViewpointRecord, columns: number, rows: number): Vec3[] {
  const axis = unit(sub(view.lookAt, view.eye));
  const level = unit([axis[0], 0, axis[2]]);
  const steep = Math.abs(axis[1]) > 0.95;
  const forward = steep ? axis : level;
  const right = unit(cross(forward, steep ? [level[0] || 0, 0, level[2] || -1] : [0, 1, 0]));
  const up = unit(cross(right, forward));
  const half = Math.tan((view.fieldDeg / 2) * DEG);
  // Lens shift: the middle of the picture looks at `lookAt` while uprights stay upright.
  const shift = steep ? 0 : axis[1] / Math.max(1e-6, Math.hypot(axis[0], axis[2]));
  const rays: Vec3[] = [];
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const x = half * ((2 * (i + 0.5)) / columns - 1);
      const y = shift + (half / PICTURE_ASPECT) * (1 - (2 * (j + 0.5)) / rows);
      rays.push(unit(add(add(forward, right, x), up, y)));
    }
  }
  return rays;
}

/** Bearing of the picture's middle. */
export const viewBearingDeg = (view: ViewpointRecord): number => bearingDeg(sub(view.lookAt, view.eye));

/** Unit direction by bearing and elevation. */
export function direction(bearing: number, elevationDeg: number): Vec3 {
  const level = Math.cos(elevationDeg * DEG);
  return [Math.sin(bearing * DEG) * level, Math.sin(elevationDeg * DEG), -Math.cos(bearing * DEG) * level];
}

/** Views to please, heaviest first. */
export function viewsToPlease(context: ReviewContext): ViewpointRecord[] {
  const views = context.document.viewpoints.filter((one) => one.purpose === 'look' && one.weight > 0);
  return [...views].sort((a, b) => b.weight - a.weight);
}

const NOT_STANDING: ReadonlySet<FaceKind> = new Set(['ground', 'roof', 'water', 'kerb', 'soffit', 'tread']);

/** A hit on something upright that light could fall on: no ground, no roof, no window pane. */
export function isStanding(context: ReviewContext, hit: Hit): boolean {
  if (isPane(context, hit.at)) return false;
  const face = context.model.scene.faces[hit.face];
  if (!face) return Math.abs(hit.normal[1]) < 0.7;
  return !NOT_STANDING.has(face.kind) && Math.abs(face.normal[1]) < 0.7;
}

/** True where a point lies on a window pane. */
export function isPane(context: ReviewContext, at: Vec3): boolean {
  return context.model.scene.panes.some((pane) => {
    const d = sub(at, pane.origin);
    if (Math.abs(dot(d, pane.normal)) > 0.05) return false;
    const s = dot(d, pane.u);
    const t = dot(d, pane.v);
    return s >= 0 && s <= pane.widthM && t >= 0 && t <= pane.heightM;
  });
}
