import { useMemo } from 'react';
import { downloadBlob, fileStem } from '../../../files/index.ts';
import { buildKit, kitCsv } from '../../../kit/index.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { numberText } from '../../state/lights.ts';
import { SheetFrame } from './SheetFrame.tsx';

/** Parts by description, no maker named; print, comma-separated values, copy. */
export function KitSheet() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const kit = useMemo(() => buildKit(document, schemeId), [document, schemeId]);
  const csv = () => new Blob([kitCsv(kit)], { type: 'text/csv' });
  const used = (id: string) => {
    const number = numberText(document, schemeId, id);
    return number === id ? id : `light ${number}`;
  };
  const copy = async () => {
    await navigator.clipboard.writeText(kit.parts.map((p) => `${p.quantity} ${p.unit}\t${p.description}`).join('\n'));
    app.say('Kit list copied.');
  };
  return (
    <>
      <div className="buttons no-print">
        <button type="button" onClick={() => window.print()}>
          Print
        </button>
        <button type="button" onClick={() => downloadBlob(csv(), `${fileStem(document.name)}-kit.csv`)}>
          CSV
        </button>
        <button type="button" onClick={() => void copy()}>
          Copy
        </button>
      </div>
      <SheetFrame>
        <div className="table-frame">
          <table aria-label="Kit list">
            <thead>
              <tr>
                <th>Part</th>
                <th className="number">Quantity</th>
                <th>Used by</th>
              </tr>
            </thead>
            <tbody>
              {kit.parts.map((part) => (
                <tr key={`${part.group} ${part.description}`}>
                  <td>{part.description}</td>
                  <td className="number">
                    {part.quantity} {part.unit}
                  </td>
                  <td>{part.usedBy.map(used).join(', ')}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
        {kit.assumptions.length > 0 && <h3>Assumed</h3>}
        {kit.assumptions.map((a) => (
          <p key={a} className="small">
            {a}
          </p>
        ))}
      </SheetFrame>
    </>
  );
}
