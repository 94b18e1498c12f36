import { type RefObject, useEffect, useRef } from 'react';
import { walk, zoom } from '../state/actions.ts';
import { useApp } from '../state/context.tsx';

/** Two fingers that pinch wander a little; below this much of a shared way they do not walk. */
const WALK_SLOP_PX = 24;
const METRES_PER_PX = 0.02;

interface Point {
  x: number;
  y: number;
}

/**
 * Two fingers anywhere on the stage, flags and balloons included: apart or together changes the field, together over the
 * picture walks. The ref is true while two are down, so that other gestures stand back.
 */
export function usePinch(stage: RefObject<HTMLElement | null>, onStart: () => void): RefObject<boolean> {
  const app = useApp();
  const pinching = useRef(false);
  const start = useRef(onStart);
  start.current = onStart;
  useEffect(() => {
    const element = stage.current;
    const fingers = new Map<number, Point>();
    let spread = 0;
    let middle: Point | undefined;
    let walking = false;
    const measure = () => {
      const [a, b] = [...fingers.values()];
      if (!a || !b) return undefined;
      return { spread: Math.hypot(a.x - b.x, a.y - b.y), middle: { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 } };
    };
    const down = (event: globalThis.PointerEvent) => {
      if (event.pointerType !== 'touch') return;
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      const now = fingers.size === 2 ? measure() : undefined;
      if (!now) return;
      pinching.current = true;
      walking = false;
      ({ spread, middle } = now);
      start.current();
    };
    const move = (event: globalThis.PointerEvent) => {
      if (!fingers.has(event.pointerId)) return;
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      const now = fingers.size === 2 ? measure() : undefined;
      if (!now || !middle || spread < 1) return;
      const { fieldDeg } = app.editor.store.getState().session.camera;
      if (now.spread > 1) zoom(app, fieldDeg * (spread / now.spread - 1));
      spread = now.spread;
      const dx = now.middle.x - middle.x;
      const dy = now.middle.y - middle.y;
      walking ||= Math.hypot(dx, dy) > WALK_SLOP_PX;
      if (!walking) return;
      walk(app, -dx * METRES_PER_PX, dy * METRES_PER_PX);
      middle = now.middle;
    };
    const up = (event: globalThis.PointerEvent) => {
      fingers.delete(event.pointerId);
      if (fingers.size === 0) pinching.current = false;
    };
    element?.addEventListener('pointerdown', down, true);
    window.addEventListener('pointermove', move, true);
    window.addEventListener('pointerup', up, true);
    window.addEventListener('pointercancel', up, true);
    return () => {
      element?.removeEventListener('pointerdown', down, true);
      window.removeEventListener('pointermove', move, true);
      window.removeEventListener('pointerup', up, true);
      window.removeEventListener('pointercancel', up, true);
    };
  }, [app, stage]);
  return pinching;
}
