import { whenSettled } from '../../picture/still.ts';
import { goToViewpoint } from '../../state/actions.ts';
import type { App } from '../../state/app.ts';
import { captionOf } from '../../state/caption.ts';
import { captionedPng } from './captionedPng.ts';

export interface Taken {
  /** Words for the file's name: view and side. */
  stem: string;
  caption: string;
  blob: Blob;
}

export interface Wanted {
  viewpointId: string | undefined;
  after: boolean;
}

/**
 * Takes pictures one by one on the desk's own picture, each with its caption burnt in, then puts the desk back as it was.
 * Exposure, hour and size are the same for all. Stops when the signal says so; what was taken is returned.
 *
 * @throws {Error} in words, where the light could not be worked out or nothing can be drawn.
 */
export async function takePictures(
  app: App,
  wanted: readonly Wanted[],
  size: { width: number; height: number },
  signal: AbortSignal,
  onStep: (done: number) => void,
): Promise<Taken[]> {
  const { session } = app.editor.store.getState();
  const { compare, free } = app.screen.getState();
  app.set({ compare: 'off', solo: undefined });
  const taken: Taken[] = [];
  try {
    for (const one of wanted) {
      if (signal.aborted) break;
      onStep(taken.length);
      taken.push(await takeOne(app, one, size, signal));
    }
  } finally {
    const { camera, viewpointId, after } = session;
    app.editor.session({ camera, viewpointId, after });
    app.set({ compare, free });
  }
  return taken;
}

async function takeOne(
  app: App,
  wanted: Wanted,
  { width, height }: { width: number; height: number },
  signal: AbortSignal,
): Promise<Taken> {
  const { document, session } = app.editor.store.getState();
  const view = document.viewpoints.find((v) => v.id === wanted.viewpointId);
  if (view && session.viewpointId !== view.id) goToViewpoint(app, view);
  app.editor.session({ after: wanted.after });
  if (!(await whenSettled(app, signal))) throw new Error('The light could not be worked out, so no picture was made.');
  const bytes = await app.picture.current?.png(width, height);
  if (!bytes) throw new Error('No 3D drawing in this browser, so no picture was made.');
  const caption = captionOf(app);
  const blob = await captionedPng(new Uint8Array(bytes), width, height, caption);
  return { stem: `${view?.id ?? 'free'}-${wanted.after ? 'after' : 'before'}`, caption, blob };
}
