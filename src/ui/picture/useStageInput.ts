import { type KeyboardEvent, type PointerEvent, type RefObject, useCallback, useEffect, useRef, useState } from 'react';
import { createLight, lightAdded } from '../../editor/index.ts';
import type { Vec3 } from '../../scene/index.ts';
import { lookAround, selectLights, walk, zoom } from '../state/actions.ts';
import type { App } from '../state/app.ts';
import { useApp, useEditorState } from '../state/context.tsx';
import { pictureKey } from '../state/keys.ts';
import { followPointer } from './gesture.ts';
import { type Pick, pick } from './pick.ts';
import { type StandAnswer, standOn } from './placing.ts';
import { usePinch } from './usePinch.ts';

/** A finger must not cover the ghost: it stands this far above. */
const FINGER_LIFT_PX = 64;
const REST_MS = 150;
const LONG_PRESS_MS = 500;
/** The slip stands this near to the place it speaks of, and stays while the pointer is nearer. */
const SLIP_REACH_PX = 28;

export interface Ghost {
  xPx: number;
  yPx: number;
  answer: StandAnswer;
  aim?: Vec3;
}

export interface Rest {
  xPx: number;
  yPx: number;
}

/** Pixels a metre covers at a distance, for snapping radii stated in pixels. */
function metresPerPixel(app: App, width: number, distanceM: number): number {
  const field = (app.editor.store.getState().session.camera.fieldDeg * Math.PI) / 180;
  return (2 * distanceM * Math.tan(field / 2)) / Math.max(1, width);
}

export function pickAt(app: App, xPx: number, yPx: number): Pick | undefined {
  const scene = app.screen.getState().scene;
  const ray = app.picture.current?.ray(xPx, yPx);
  return scene && ray ? pick(scene, ray.from, ray.direction) : undefined;
}

export function useStageInput(stage: RefObject<HTMLDivElement | null>) {
  const app = useApp();
  const fieldDeg = useEditorState((s) => s.session.camera.fieldDeg);
  const [ghost, setGhost] = useState<Ghost>();
  const [rest, setRest] = useState<Rest>();
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const pinching = usePinch(stage, () => clearTimeout(timer.current));

  const place = useCallback(
    (event: { clientX: number; clientY: number; pointerType?: string }) => {
      const box = stage.current?.getBoundingClientRect();
      const lift = event.pointerType === 'touch' ? FINGER_LIFT_PX : 0;
      return { xPx: event.clientX - (box?.left ?? 0), yPx: event.clientY - (box?.top ?? 0) - lift, width: box?.width ?? 1 };
    },
    [stage],
  );

  /** Stand under the pointer; Alt passes snaps by. */
  const standAt = useCallback(
    (event: { clientX: number; clientY: number; pointerType?: string; altKey?: boolean }): Ghost | undefined => {
      const at = place(event);
      const picked = pickAt(app, at.xPx, at.yPx);
      if (!picked) return undefined;
      const radiusPx = event.pointerType === 'touch' ? 18 : 10;
      const radiusM = event.altKey ? 0 : radiusPx * metresPerPixel(app, at.width, picked.distanceM);
      return { ...at, answer: standOn(app.editor.store.getState().document, picked, radiusM) };
    },
    [app, place],
  );

  const startAdding = useCallback(
    (event: PointerEvent) => {
      const start = standAt(event);
      if (!start) return;
      setGhost(start);
      if (!start.answer.ok) {
        app.say(start.answer.reason);
        return;
      }
      addByDrag(app, event, start.answer.stand, place, setGhost);
    },
    [app, place, standAt],
  );

  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0 || (event.target as Element).closest('button, input, select, [role="slider"], .slip, .panel')) return;
    stage.current?.focus({ preventScroll: true });
    clearTimeout(timer.current);
    setRest(undefined);
    app.set({ openCell: undefined });
    if (window.matchMedia('(max-height: 499px)').matches) app.set({ marginFolded: true });
    event.preventDefault();
    if (app.screen.getState().mode === 'add') {
      startAdding(event);
      return;
    }
    if (event.pointerType === 'touch') {
      const at = place(event);
      timer.current = setTimeout(() => setRest(at), LONG_PRESS_MS);
    }
    lookByDrag(app, event, { fieldDeg, width: place(event).width, spaceHeld: spaceHeld.current }, pinching, () =>
      clearTimeout(timer.current),
    );
  };

  const onPointerMove = (event: PointerEvent<HTMLDivElement>) => {
    if (app.screen.getState().mode === 'add' && event.buttons === 0) setGhost(standAt(event));
    if (event.pointerType === 'touch' || event.buttons !== 0) return;
    clearTimeout(timer.current);
    // On its way to the slip the pointer may leave the place it read.
    if ((event.target as Element).closest('.slip')) return;
    const at = place(event);
    if (rest && Math.hypot(at.xPx - rest.xPx, at.yPx - rest.yPx) < SLIP_REACH_PX) return;
    setRest(undefined);
    if ((event.target as Element).closest('button, .panel')) return;
    timer.current = setTimeout(() => setRest(at), REST_MS);
  };

  const onPointerLeave = (event: PointerEvent<HTMLDivElement>) => {
    clearTimeout(timer.current);
    // A finger that lifts leaves the reading it asked for; the next press puts it away.
    if (event.pointerType !== 'touch') setRest(undefined);
    setGhost(undefined);
  };

  const spaceHeld = useRef(false);
  const onKeyDown = (event: KeyboardEvent<HTMLDivElement>) => {
    if (event.target !== stage.current || event.ctrlKey || event.metaKey) return;
    if (event.key === ' ') spaceHeld.current = true;
    if (event.key.toLowerCase() === 'h' && app.screen.getState().singleKeys) {
      if (!event.repeat) app.set({ held: true });
      event.preventDefault();
      return;
    }
    if (stageKey(app, event.key, event.shiftKey) || pictureKey(app, event.key, event.shiftKey)) event.preventDefault();
  };
  const onKeyUp = (event: KeyboardEvent<HTMLDivElement>) => {
    if (event.key === ' ') spaceHeld.current = false;
    if (event.key.toLowerCase() === 'h') app.set({ held: false });
  };

  useEffect(() => {
    const element = stage.current;
    const wheel = (event: WheelEvent) => {
      event.preventDefault();
      zoom(app, Math.sign(event.deltaY) * 2);
    };
    element?.addEventListener('wheel', wheel, { passive: false });
    return () => element?.removeEventListener('wheel', wheel);
  }, [app, stage]);

  useEffect(
    () =>
      app.screen.subscribe((s, p) => {
        if (s.mode !== p.mode && s.mode === 'rest') setGhost(undefined);
      }),
    [app],
  );

  return { ghost, rest, handlers: { onPointerDown, onPointerMove, onPointerLeave, onKeyDown, onKeyUp } };
}

/** Press where it stands, drag to what it should light, release: one step, seen while the hand moves. */
function addByDrag(
  app: App,
  event: PointerEvent,
  stand: { at: Vec3; aim: Vec3; mount: import('../../scene/index.ts').Mount; snaps: string },
  place: (e: { clientX: number; clientY: number; pointerType?: string }) => { xPx: number; yPx: number; width: number },
  setGhost: (ghost: Ghost | undefined) => void,
): void {
  const { document, session } = app.editor.store.getState();
  const scheme = app.editor.scheme();
  const draft = createLight(document, scheme.id, stand.at, stand.aim, { mount: stand.mount });
  app.editor.session({ after: true });
  app.editor.beginGesture(`add light ${scheme.fixtures.length + 1}`);
  const show = (aim: Vec3) => app.editor.preview((d) => lightAdded(d, session.schemeId, { ...draft, aim }));
  show(stand.aim);
  followPointer(event, {
    onMove: (_dx, _dy, move) => {
      const at = place(move);
      const picked = pickAt(app, at.xPx, at.yPx);
      if (!picked) return;
      show(picked.at);
      setGhost({
        ...at,
        answer: { ok: true, stand: { ...stand, snaps: `aims at ${picked.name || picked.kind}` } },
        aim: picked.at,
      });
    },
    onEnd: () => {
      app.editor.commitGesture();
      setGhost(undefined);
      app.set({ mode: 'rest' });
      selectLights(app, [draft.id]);
      app.say(`Light ${scheme.fixtures.length + 1} added, ${stand.mount}${stand.snaps ? `, ${stand.snaps}` : ''}.`);
    },
    onCancel: () => {
      app.editor.cancelGesture();
      setGhost(undefined);
      app.set({ mode: 'rest' });
    },
  });
}

/** One pointer looks around, Space walks; a second finger hands over to the pinch. */
function lookByDrag(
  app: App,
  event: PointerEvent,
  view: { fieldDeg: number; width: number; spaceHeld: boolean },
  pinching: RefObject<boolean>,
  onMoved: () => void,
): void {
  let last = { x: event.clientX, y: event.clientY };
  let pinched = false;
  const degPerPx = view.fieldDeg / view.width;
  followPointer(event, {
    onMove: (_dx, _dy, move) => {
      onMoved();
      const dx = move.clientX - last.x;
      const dy = move.clientY - last.y;
      last = { x: move.clientX, y: move.clientY };
      pinched ||= pinching.current;
      if (pinched) return;
      if (view.spaceHeld) walk(app, -dx * 0.02, dy * 0.02);
      else lookAround(app, -dx * degPerPx, dy * degPerPx);
    },
    onEnd: (moved) => {
      if (!moved && !pinched && app.editor.store.getState().session.selection.kind !== 'none') selectLights(app, []);
    },
    onCancel: () => undefined,
  });
}

/** Arrows look, Shift + arrows walk a quarter metre, Page keys raise, + and − change the field; arrows move the cross-hair. */
function stageKey(app: App, key: string, shift: boolean): boolean {
  const cross = app.screen.getState().crosshair;
  const arrows: Record<string, [number, number]> = {
    ArrowLeft: [-1, 0],
    ArrowRight: [1, 0],
    ArrowUp: [0, 1],
    ArrowDown: [0, -1],
  };
  const arrow = arrows[key];
  if (arrow && cross && !shift) {
    const pxPerDeg = (app.picture.current?.canvas()?.clientWidth ?? 800) / app.editor.store.getState().session.camera.fieldDeg;
    app.set({ crosshair: { xPx: cross.xPx + arrow[0] * pxPerDeg, yPx: cross.yPx - arrow[1] * pxPerDeg } });
    return true;
  }
  if (arrow) {
    if (shift) walk(app, arrow[0] * 0.25, arrow[1] * 0.25);
    else lookAround(app, arrow[0] * 5, arrow[1] * 5);
    return true;
  }
  if (key === 'PageUp' || key === 'PageDown') walk(app, 0, 0, key === 'PageUp' ? 0.25 : -0.25);
  else if (key === '+' || key === '=') zoom(app, -2);
  else if (key === '-') zoom(app, 2);
  else return false;
  return true;
}
