import type { DragEvent } from 'react';
import type { App } from './app.ts';

/** What the last photometric file brought to a light, or why it was refused. */
export interface PhotometryNote {
  lightId: string;
  fileName: string;
  refused: boolean;
  lines: string[];
}

const reader = () => import('../margin/lights/photometry/takeFile.ts');

/** Puts a photometric file on a light; its readers are fetched now. */
export function takePhotometry(app: App, lightId: string, file: File): void {
  void reader().then(({ takeFile }) => takeFile(app, lightId, file));
}

/** The same for the light under, or next to, the place of the picture where the file was dropped. */
export function dropPhotometry(app: App, file: File, event: DragEvent<HTMLElement>): void {
  const balloon = (event.target as Element).closest<HTMLElement>('[data-light]')?.dataset.light;
  const box = event.currentTarget.getBoundingClientRect();
  const at = { x: event.clientX - box.left, y: event.clientY - box.top };
  void reader().then(({ takeFile, nearestLight }) => {
    const lightId = balloon ?? nearestLight(app, at);
    if (lightId) return takeFile(app, lightId, file);
    app.say('Drop a photometric file on a light: on its number, or where it stands.');
    return undefined;
  });
}
