import type { App } from '../state/app.ts';

/** Resolves once light, judgement and drawing of the newest request are there, or the signal aborts. */
export function whenSettled(app: App, signal: AbortSignal): Promise<boolean> {
  return new Promise((resolve) => {
    const ready = () => {
      const s = app.screen.getState();
      return s.settled === s.requested && s.drawnRevision === s.requested;
    };
    const done = (ok: boolean) => {
      stop();
      signal.removeEventListener('abort', aborted);
      resolve(ok);
    };
    const aborted = () => done(false);
    const stop = app.screen.subscribe(() => {
      if (ready()) done(true);
      else if (app.screen.getState().failed) done(false);
    });
    signal.addEventListener('abort', aborted);
    // The request goes out in a microtask after the change; look after it.
    queueMicrotask(() => queueMicrotask(() => ready() && done(true)));
  });
}

/** PNG of the other side at the same camera, exposure and hour; the shown side comes back afterwards. */
export async function takeOtherStill(
  app: App,
  width: number,
  height: number,
  signal: AbortSignal,
): Promise<Uint8Array<ArrayBuffer> | undefined> {
  if (!(await whenSettled(app, signal))) return undefined;
  app.set({ held: true });
  try {
    if (!(await whenSettled(app, signal))) return undefined;
    const scale = Math.min(2, window.devicePixelRatio || 1);
    const bytes = await app.picture.current?.png(Math.round(width * scale), Math.round(height * scale));
    return bytes && new Uint8Array(bytes);
  } finally {
    app.set({ held: false });
  }
}
