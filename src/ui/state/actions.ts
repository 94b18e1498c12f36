import type { MarginList } from '../../editor/index.ts';
import { type Finding, judgingNight } from '../../review/index.ts';
import type { CameraPose, FixtureRecord, Vec3, ViewpointRecord } from '../../scene/index.ts';
import type { App } from './app.ts';
import { bySeverity } from './letters.ts';
import { numberText } from './lights.ts';

const add = (a: Vec3, b: Vec3, k = 1): Vec3 => [a[0] + b[0] * k, a[1] + b[1] * k, a[2] + b[2] * k];

/** Edits one light of the scheme as a named step. Any edit while *Before* shows turns the picture to *After* and says so. */
export function editLight(app: App, label: string, next: FixtureRecord): void {
  app.editor.putFixture(label, next);
  showAfter(app);
}

export function showAfter(app: App): void {
  if (app.editor.store.getState().session.after) return;
  app.editor.session({ after: true });
  app.say('The picture shows After again, because a light was edited.');
}

export function selectLights(app: App, ids: string[]): void {
  app.editor.session({ selection: ids.length === 0 ? { kind: 'none' } : { kind: 'lights', ids } });
}

/** Opens a list; a folded margin unfolds. */
export function openList(app: App, list: MarginList): void {
  app.editor.session({ list });
  app.set({ marginFolded: false, openCell: undefined });
}

export function goToViewpoint(app: App, viewpoint: ViewpointRecord): void {
  app.editor.session({
    viewpointId: viewpoint.id,
    camera: { eye: viewpoint.eye, lookAt: viewpoint.lookAt, fieldDeg: viewpoint.fieldDeg },
  });
  app.set({ free: false });
  app.say(`View: ${viewpoint.name}`);
}

export function stepViewpoint(app: App, by: 1 | -1): void {
  const { document, session } = app.editor.store.getState();
  const list = document.viewpoints;
  if (list.length === 0) return;
  const at = list.findIndex((v) => v.id === session.viewpointId);
  const next = list[(at + by + list.length) % list.length];
  if (next) goToViewpoint(app, next);
}

/** Turns the eye; at a viewpoint the eye stays. Pitch within ±80°. */
export function lookAround(app: App, headingDeg: number, pitchDeg: number): void {
  const camera = app.editor.store.getState().session.camera;
  const d: Vec3 = [camera.lookAt[0] - camera.eye[0], camera.lookAt[1] - camera.eye[1], camera.lookAt[2] - camera.eye[2]];
  const length = Math.hypot(...d) || 1;
  const heading = Math.atan2(d[0], -d[2]) + (headingDeg * Math.PI) / 180;
  const limit = (80 * Math.PI) / 180;
  const pitch = Math.max(-limit, Math.min(limit, Math.asin(d[1] / length) + (pitchDeg * Math.PI) / 180));
  const flat = Math.cos(pitch) * length;
  const lookAt = add(camera.eye, [Math.sin(heading) * flat, Math.sin(pitch) * length, -Math.cos(heading) * flat]);
  app.editor.session({ camera: { ...camera, lookAt } });
}

/** Walks over the ground plane and makes it a free view: no eye stands here, dazzle is not judged. */
export function walk(app: App, rightM: number, forwardM: number, upM = 0): void {
  const { camera } = app.editor.store.getState().session;
  const dx = camera.lookAt[0] - camera.eye[0];
  const dz = camera.lookAt[2] - camera.eye[2];
  const length = Math.hypot(dx, dz) || 1;
  const f: Vec3 = [dx / length, 0, dz / length];
  const step: Vec3 = [f[0] * forwardM - f[2] * rightM, upM, f[2] * forwardM + f[0] * rightM];
  moveCamera(app, { ...camera, eye: add(camera.eye, step), lookAt: add(camera.lookAt, step) });
}

export function moveCamera(app: App, camera: CameraPose): void {
  app.editor.session({ camera, viewpointId: undefined });
  if (!app.screen.getState().free) app.say('Free view: no eye here, dazzle not judged.');
  app.set({ free: true });
}

export function zoom(app: App, byDeg: number): void {
  const { camera } = app.editor.store.getState().session;
  const fieldDeg = Math.max(20, Math.min(100, camera.fieldDeg + byDeg));
  app.editor.session({ camera: { ...camera, fieldDeg } });
}

/** *Show me*: the finding's own view, or a turn toward its place, on the judging night; Escape returns. */
export function showFinding(app: App, finding: Finding): void {
  const { document, session } = app.editor.store.getState();
  const screen = app.screen.getState();
  const back = { camera: session.camera, viewpointId: session.viewpointId, conditions: session.conditions };
  const wasFree = screen.free;
  const viewpoint = document.viewpoints.find((v) => v.id === finding.viewpoint || v.name === finding.viewpoint);
  const from = viewpoint ?? document.viewpoints.find((v) => v.id === session.viewpointId);
  const eye = from?.eye ?? session.camera.eye;
  const conditions = judgingNight(document);
  const keepLook = viewpoint !== undefined && ['clippedPicture', 'darkGap', 'darkSide'].includes(finding.kind);
  app.editor.session({
    camera: { eye, lookAt: keepLook ? viewpoint.lookAt : finding.at, fieldDeg: from?.fieldDeg ?? session.camera.fieldDeg },
    viewpointId: from?.id,
    conditions,
    selection: { kind: 'finding', id: finding.id },
  });
  const returnTo =
    screen.showMeReturn ??
    (() => {
      app.editor.session(back);
      app.set({ showMeReturn: undefined, free: wasFree });
    });
  app.set({ showMeReturn: returnTo, free: from === undefined });
  app.say(`${finding.message} Shown on the judging night, sun −12°. Escape returns.`);
}

/** `F` and Shift + `F` walk the flags without opening the list. */
export function stepFinding(app: App, by: 1 | -1): void {
  const findings = bySeverity(app.screen.getState().judged?.findings ?? []);
  if (findings.length === 0) return;
  const { selection } = app.editor.store.getState().session;
  const at = selection.kind === 'finding' ? findings.findIndex((f) => f.id === selection.id) : by > 0 ? -1 : 0;
  const next = findings[(at + by + findings.length) % findings.length];
  if (next) showFinding(app, next);
}

/** `N` and Shift + `N` walk the lights. */
export function stepLight(app: App, by: 1 | -1): void {
  const scheme = app.editor.scheme();
  const { selection } = app.editor.store.getState().session;
  const ids = scheme.fixtures.map((f) => f.id);
  if (ids.length === 0) return;
  const at = selection.kind === 'lights' ? ids.indexOf(selection.ids[0] ?? '') : by > 0 ? -1 : 0;
  const id = ids[(at + by + ids.length) % ids.length];
  if (id === undefined) return;
  selectLights(app, [id]);
  const fixture = scheme.fixtures.find((f) => f.id === id);
  const { document, session } = app.editor.store.getState();
  app.say(`Light ${numberText(document, session.schemeId, id)}${fixture?.name ? `, ${fixture.name}` : ''} selected`);
}

export function removeSelected(app: App): void {
  const { selection } = app.editor.store.getState().session;
  if (selection.kind !== 'lights' || selection.ids.length === 0) return;
  app.editor.removeFixtures(selection.ids);
  selectLights(app, []);
  showAfter(app);
  app.say('Removed. Undo brings it back.');
}

/** Switches to a scheme; the selection of the other one is let go. */
export function chooseScheme(app: App, schemeId: string): void {
  app.editor.session({ schemeId, selection: { kind: 'none' }, trial: undefined });
  const name = app.editor.store.getState().document.schemes.find((s) => s.id === schemeId)?.name ?? schemeId;
  app.say(`Scheme ${name}`);
}
