import type { App } from './app.ts';
import { degrees } from './format.ts';

/** Caption that belongs to every picture that leaves the desk; it cannot be switched off. */
export function captionOf(app: App): string {
  const { document, session } = app.editor.store.getState();
  const scheme = document.schemes.find((s) => s.id === session.schemeId);
  const view = document.viewpoints.find((v) => v.id === session.viewpointId)?.name ?? 'free view';
  const dirt = new Set((scheme?.fixtures ?? []).map((f) => f.dirtFactor ?? 'by mount'));
  const dirtWords = dirt.size === 1 ? `dirt ${[...dirt][0]}` : 'dirt by mount';
  const parts = [
    document.name + (document.site.invented ? ' (invented)' : ''),
    session.after ? `After, ${scheme?.name ?? 'no scheme'}` : 'Before',
    view,
    `sun ${degrees(session.conditions.sunAltitudeDeg)}`,
    `EV ${session.ev100.toFixed(1)} on both pictures`,
    'seen as a camera',
    dirtWords,
    'preview, not a promise',
  ];
  return parts.join(' · ');
}
