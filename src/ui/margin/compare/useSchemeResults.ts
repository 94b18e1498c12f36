import type { JudgedState } from '../../../worker/index.ts';
import { useEditorState, useScreen } from '../../state/context.tsx';

/**
 * Last judgement of each scheme while the property stays the same. The worker judges the scheme that is shown, so the
 * table fills as schemes are shown; figures of an older property are dropped, never carried over.
 */
export function useSchemeResults(): Map<string, JudgedState> {
  const document = useEditorState((s) => s.document);
  const kept = useScreen((s) => s.results);
  const results = new Map<string, JudgedState>();
  for (const scheme of document.schemes) {
    const entry = kept[scheme.id];
    if (!entry) continue;
    const { schemes: before, ...then } = entry.document;
    const { schemes: _now, ...site } = document;
    const sameSite = (Object.keys(site) as (keyof typeof site)[]).every((key) => site[key] === then[key]);
    if (sameSite && before.find((s) => s.id === scheme.id) === scheme) results.set(scheme.id, entry.judged);
  }
  return results;
}
