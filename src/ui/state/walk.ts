import type { CameraPose, Vec3, ViewpointRecord } from '../../scene/index.ts';
import { goToViewpoint } from './actions.ts';
import type { App } from './app.ts';

/** A person's easy walk, m/s (common practice, no source). */
export const WALK_M_S = 1.4;
/** A walk is never drawn out longer than this: far views are reached at a quicker pace. */
const LONGEST_S = 10;
const SHORTEST_S = 0.8;

const mix = (a: Vec3, b: Vec3, k: number): Vec3 => [a[0] + (b[0] - a[0]) * k, a[1] + (b[1] - a[1]) * k, a[2] + (b[2] - a[2]) * k];

/** Camera at a share 0…1 of the way: the eye on a straight line, the gaze turning with it, slow at both ends. */
export function poseOnTheWay(from: CameraPose, to: CameraPose, share: number): CameraPose {
  const k = share * share * (3 - 2 * share);
  return {
    eye: mix(from.eye, to.eye, k),
    lookAt: mix(from.lookAt, to.lookAt, k),
    fieldDeg: from.fieldDeg + (to.fieldDeg - from.fieldDeg) * k,
  };
}

/** Seconds a walk takes: the way at 1.4 m/s, within limits. */
export function walkSeconds(from: Vec3, to: Vec3): number {
  const way = Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
  return Math.max(SHORTEST_S, Math.min(LONGEST_S, way / WALK_M_S));
}

let underWay = 0;

/**
 * Walks the camera to a viewpoint; a press, a key or a newer walk ends it there at once. Where less motion is asked for it is
 * a cut.
 */
export function walkTo(app: App, viewpoint: ViewpointRecord): void {
  const walk = ++underWay;
  const still = app.screen.getState().lessMotion || window.matchMedia('(prefers-reduced-motion: reduce)').matches;
  if (still) {
    goToViewpoint(app, viewpoint);
    return;
  }
  const from = app.editor.store.getState().session.camera;
  const to: CameraPose = { eye: viewpoint.eye, lookAt: viewpoint.lookAt, fieldDeg: viewpoint.fieldDeg };
  const seconds = walkSeconds(from.eye, to.eye);
  const begun = performance.now();
  const arrive = () => {
    window.removeEventListener('pointerdown', arrive, true);
    window.removeEventListener('keydown', arrive, true);
    if (walk !== underWay) return;
    underWay++;
    goToViewpoint(app, viewpoint);
  };
  const step = (now: number) => {
    if (walk !== underWay) return;
    const share = (now - begun) / 1000 / seconds;
    if (share >= 1) {
      arrive();
      return;
    }
    app.editor.session({ camera: poseOnTheWay(from, to, Math.max(0, share)), viewpointId: undefined });
    requestAnimationFrame(step);
  };
  window.addEventListener('pointerdown', arrive, true);
  window.addEventListener('keydown', arrive, true);
  requestAnimationFrame(step);
}

/** Walks to the next viewpoint of the list. */
export function walkToNext(app: App): void {
  const { document, session } = app.editor.store.getState();
  const list = document.viewpoints;
  const next = list[(list.findIndex((v) => v.id === session.viewpointId) + 1) % Math.max(1, list.length)];
  if (next) walkTo(app, next);
}
