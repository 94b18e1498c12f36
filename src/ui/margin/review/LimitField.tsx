import type { Finding } from '../../../review/index.ts';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { useApp, useEditorState } from '../../state/context.tsx';

/** A limit of the user's own, kept in the file and named on every sheet. */
export function LimitField({ finding }: { finding: Finding }) {
  const app = useApp();
  const limits = useEditorState((s) => s.document.review.limits);
  const own = limits.find((l) => l.kind === finding.kind && l.severity === finding.severity);
  const rest = limits.filter((l) => l !== own);
  const put = (value: number) =>
    app.editor.edit(`own limit for ${finding.label.toLowerCase()}`, (d) => ({
      ...d,
      review: { ...d.review, limits: [...rest, { kind: finding.kind, severity: finding.severity, value }] },
    }));
  return (
    <>
      <QuantityField
        label={`Your own limit, ${finding.severity}, ${finding.unit}`}
        value={own?.value ?? finding.limit}
        unit=""
        min={0}
        max={100000}
        step={0.5}
        hint={own ? 'your own limit' : ''}
        onTake={put}
      />
      {own && (
        <button
          type="button"
          onClick={() =>
            app.editor.edit(`default limit for ${finding.label.toLowerCase()}`, (d) => ({
              ...d,
              review: { ...d.review, limits: rest },
            }))
          }
        >
          Back to the default limit
        </button>
      )}
    </>
  );
}
