import type { SessionState } from '../../editor/index.ts';
import type { PropertyDocument } from '../../scene/index.ts';
import type { CompareWith } from './screen.ts';

/** Names of the two sides of a comparison. */
export function otherName(
  document: PropertyDocument,
  session: SessionState,
  against: CompareWith,
): { own: string; other: string } {
  const name = (id: string) => document.schemes.find((s) => s.id === id)?.name ?? id;
  if (against.kind === 'scheme') return { own: name(session.schemeId), other: name(against.schemeId) };
  return session.after ? { own: 'After', other: 'Before' } : { own: 'Before', other: 'After' };
}
