import type { ReactNode } from 'react';
import { actsOf, cautionOf } from '../../../kit/index.ts';
import { useEditorState, useScheme, useScreen } from '../../state/context.tsx';
import { shownSeverity } from '../../state/letters.ts';

/** First page of any sheet: whose, which scheme, date, Stop findings still open, own limits, and the cautions with their date. */
export function SheetFrame({ children }: { children: ReactNode }) {
  const document = useEditorState((s) => s.document);
  const scheme = useScheme();
  const judged = useScreen((s) => s.judged);
  const stops = (judged?.findings ?? []).filter((f) => shownSeverity(f) === 'stop');
  const today = new Date().toISOString().slice(0, 10);
  return (
    <article className="sheet-page">
      <p>
        <strong>{document.name}</strong>, scheme {scheme?.name ?? 'none'}, {today}
        {document.site.invented && ', an invented example'}
      </p>
      {!judged && <p>Findings not judged yet: this sheet does not list them.</p>}
      {stops.length > 0 && (
        <section aria-label="Stop findings">
          <h3>Stop: do not build it like this</h3>
          <ul>
            {stops.map((f) => (
              <li key={f.id}>{f.message}</li>
            ))}
          </ul>
        </section>
      )}
      {document.review.limits.length > 0 && (
        <p>Own limits in use: {document.review.limits.map((l) => `${l.kind} ${l.severity} ${l.value}`).join('; ')}.</p>
      )}
      {children}
      <section aria-label="Cautions">
        <h3>Cautions</h3>
        {scheme &&
          actsOf(document, scheme).map((act) => (
            <p key={act} className="small">
              {cautionOf(act)}
            </p>
          ))}
      </section>
    </article>
  );
}
