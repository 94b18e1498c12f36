export interface DragHandlers {
  /** Pixels from where the pointer went down. */
  onMove(dx: number, dy: number, event: PointerEvent): void;
  /** `moved` false: a press without a drag. */
  onEnd(moved: boolean, event: PointerEvent): void;
  onCancel(): void;
}

/** Below this many pixels a drag is a press. */
const SLOP_PX = 4;

/** Follows one pointer until it lets go; Escape cancels and the caller restores exactly. */
export function followPointer(start: { pointerId: number; clientX: number; clientY: number }, handlers: DragHandlers): void {
  let moved = false;
  const finish = () => {
    window.removeEventListener('pointermove', move, true);
    window.removeEventListener('pointerup', up, true);
    window.removeEventListener('pointercancel', cancel, true);
    window.removeEventListener('keydown', key, true);
  };
  const move = (event: PointerEvent) => {
    if (event.pointerId !== start.pointerId) return;
    const dx = event.clientX - start.clientX;
    const dy = event.clientY - start.clientY;
    if (!moved && Math.hypot(dx, dy) < SLOP_PX) return;
    moved = true;
    handlers.onMove(dx, dy, event);
  };
  const up = (event: PointerEvent) => {
    if (event.pointerId !== start.pointerId) return;
    finish();
    handlers.onEnd(moved, event);
  };
  const cancel = () => {
    finish();
    handlers.onCancel();
  };
  const key = (event: KeyboardEvent) => {
    if (event.key !== 'Escape') return;
    event.preventDefault();
    event.stopPropagation();
    cancel();
  };
  window.addEventListener('pointermove', move, true);
  window.addEventListener('pointerup', up, true);
  window.addEventListener('pointercancel', cancel, true);
  window.addEventListener('keydown', key, true);
}
