import { useEffect, useState } from 'react';
import { Choice } from '../../parts/controls.tsx';
import { useEditorState, useScheme, useScreen } from '../../state/context.tsx';
import { shownSeverity } from '../../state/letters.ts';
import type { Taken } from './pictureSet.ts';
import { SheetFrame } from './SheetFrame.tsx';

type Paper = 'a4' | 'letter';
const PAPERS: readonly [Paper, string][] = [
  ['a4', 'A4, 210 × 297 mm'],
  ['letter', 'Letter, 8.5 × 11 in'],
];

/** One page for a client: before above after, what was assumed, what is still open, and the cautions. */
export default function PrintPage({ pictures }: { pictures: readonly Taken[] }) {
  const region = useEditorState((s) => s.document.site.region);
  const scheme = useScheme();
  const judged = useScreen((s) => s.judged);
  const [paper, setPaper] = useState<Paper>(region === 'US' || region === 'CA' ? 'letter' : 'a4');
  const [urls, setUrls] = useState<string[]>([]);
  useEffect(() => {
    const made = pictures.map((p) => URL.createObjectURL(p.blob));
    setUrls(made);
    return () => made.forEach(URL.revokeObjectURL);
  }, [pictures]);
  const open = (judged?.findings ?? []).filter((f) => shownSeverity(f) === 'warn');
  return (
    <>
      <div className="buttons no-print">
        <button type="button" onClick={() => window.print()}>
          Print
        </button>
      </div>
      <div className="no-print">
        <Choice<Paper> label="Paper" value={paper} options={PAPERS} onChoose={setPaper} />
      </div>
      <div className={`print-page ${paper}`}>
        <SheetFrame>
          {pictures.map((picture, i) => (
            <figure key={picture.stem}>
              {urls[i] && <img src={urls[i]} alt={picture.caption} />}
              <figcaption className="small">{picture.caption}</figcaption>
            </figure>
          ))}
          <section aria-label="Assumed">
            <h3>Assumed</h3>
            <p className="small">
              Worked out from the lamps’ own output, beam and colour on a blocked-in model of the property; sizes and materials as
              noted, plants as grown by the program; lamps dimmed by dirt as the caption says; both pictures at one exposure.{' '}
              {scheme ? `${scheme.fixtures.length} lights in scheme ${scheme.name}. ` : ''}Paper cannot glow: judge on a screen.
            </p>
          </section>
          {open.length > 0 && (
            <section aria-label="Findings left open">
              <h3>Left open</h3>
              <ul className="small">
                {open.map((f) => (
                  <li key={f.id}>{f.message}</li>
                ))}
              </ul>
            </section>
          )}
        </SheetFrame>
      </div>
    </>
  );
}
