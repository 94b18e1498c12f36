import { clockText, moonWords } from '../../exposure/index.ts';
import type { App } from './app.ts';
import { otherName } from './compare.ts';
import { degrees } from './format.ts';
import { hoursOf } from './shown.ts';

/**
 * Caption that belongs to every picture: on the desk's comparisons, before a client, and in every file that leaves. It
 * cannot be switched off. With two sides on screen it names both.
 */
export function captionOf(app: App): string {
  const { document, session } = app.editor.store.getState();
  const { byHours, compare, compareWith, held } = app.screen.getState();
  const hours = hoursOf(document, session.conditions);
  const scheme = document.schemes.find((s) => s.id === session.schemeId);
  const view = document.viewpoints.find((v) => v.id === session.viewpointId)?.name ?? 'free view';
  const dirt = new Set((scheme?.fixtures ?? []).map((f) => f.dirtFactor ?? 'by mount'));
  const names = otherName(document, session, compareWith);
  const own = session.after ? `After, ${scheme?.name ?? 'no scheme'}` : 'Before';
  const { cloud, paving } = session.conditions;
  const parts = [
    document.name + (document.site.invented ? ' (invented)' : ''),
    compare !== 'off' ? `left ${names.other}, right ${names.own}` : held ? names.other : own,
    view,
    [hours && clockText(hours.clock), `sun ${degrees(session.conditions.sunAltitudeDeg)}`].filter(Boolean).join(', '),
    byHours && hours ? 'lamps at their hours' : '',
    moonWords(session.conditions),
    cloud === 'overcast' ? 'overcast' : '',
    paving === 'wet' ? 'wet paving' : '',
    `EV ${session.ev100.toFixed(1)} on both pictures`,
    session.adaptedCdM2 === undefined
      ? 'seen as a camera'
      : `seen as an eye used to ${session.adaptedCdM2} cd/m², which sets the look in place of EV`,
    dirt.size === 1 ? `dirt ${[...dirt][0]}` : 'dirt by mount',
    'preview, not a promise',
  ];
  return parts.filter(Boolean).join(' · ');
}
