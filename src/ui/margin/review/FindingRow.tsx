import { useEffect, useRef, useState } from 'react';
import type { Finding, Remedy } from '../../../review/index.ts';
import { TextField } from '../../parts/controls.tsx';
import { SeverityMark } from '../../parts/SeverityMark.tsx';
import { showFinding } from '../../state/actions.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { figure } from '../../state/format.ts';
import { shownSeverity } from '../../state/letters.ts';
import { remedyName } from '../../state/remedies.ts';
import { LimitField } from './LimitField.tsx';

type Tried = { state: 'idle' | 'looking' | 'none' } | { state: 'found'; remedy: Remedy };

/** One finding: letter, shape and word, sentence; show, try, put off, why. */
export function FindingRow({ finding, letter }: { finding: Finding; letter: string }) {
  const app = useApp();
  const ref = useRef<HTMLLIElement>(null);
  const selection = useEditorState((s) => s.session.selection);
  const trial = useEditorState((s) => s.session.trial);
  const [tried, setTried] = useState<Tried>(finding.remedy ? { state: 'found', remedy: finding.remedy } : { state: 'idle' });
  const [why, setWhy] = useState(false);
  const [putting, setPutting] = useState(false);
  const chosen = selection.kind === 'finding' && selection.id === finding.id;
  useEffect(() => {
    if (chosen) ref.current?.scrollIntoView({ block: 'nearest' });
  }, [chosen]);

  const tryIt = async () => {
    const remedy = tried.state === 'found' ? tried.remedy : await look();
    if (!remedy) return;
    showFinding(app, finding);
    app.set({ beforeTrial: app.screen.getState().judged?.findings });
    app.editor.beginTrial(remedyName(remedy), finding.id, remedy.change);
    app.say(`Trial: ${remedy.text}. Keep or Take back at the picture's foot.`);
  };
  const look = async (): Promise<Remedy | undefined> => {
    setTried({ state: 'looking' });
    const remedy = await app.client.findRemedy(finding);
    setTried(remedy ? { state: 'found', remedy } : { state: 'none' });
    return remedy;
  };
  const putOff = (reason: string) => {
    setPutting(false);
    const clean = reason.trim();
    if (clean === '') return;
    app.editor.edit(`put off ${finding.label.toLowerCase()}`, (d) => ({
      ...d,
      review: {
        ...d.review,
        putOff: [
          ...d.review.putOff.filter((p) => p.findingId !== finding.id),
          { findingId: finding.id, reason: clean.slice(0, 4000) },
        ],
      },
    }));
  };
  const takeUp = () =>
    app.editor.edit(`take up ${finding.label.toLowerCase()} again`, (d) => ({
      ...d,
      review: { ...d.review, putOff: d.review.putOff.filter((p) => p.findingId !== finding.id) },
    }));

  return (
    <li ref={ref} className="finding" data-selected={chosen} data-finding={finding.kind}>
      <div className="finding-head">
        <span className="flag-letter">{letter}</span>
        <SeverityMark severity={shownSeverity(finding)} />
        <strong>{finding.label}</strong>
      </div>
      <p>{finding.message}</p>
      {tried.state === 'found' && (
        <p className="second">
          {tried.remedy.text}: {figure(tried.remedy.before)} to {figure(tried.remedy.after)} {tried.remedy.unit}
          {tried.remedy.brings.length > 0 && `. Brings: ${tried.remedy.brings.join('; ')}`}
        </p>
      )}
      {tried.state === 'none' && <p className="second">No change tried here helps.</p>}
      {tried.state === 'looking' && <p className="second">Trying remedies on the light field</p>}
      {finding.putOff !== undefined && <p className="second">Put off: {finding.putOff}</p>}
      <div className="buttons tight">
        <button type="button" aria-label={`Show me finding ${letter}`} onClick={() => showFinding(app, finding)}>
          Show me
        </button>
        {trial?.findingId === finding.id ? (
          <>
            <button type="button" onClick={() => app.editor.keepTrial()}>
              Keep
            </button>
            <button type="button" onClick={() => app.editor.takeBackTrial()}>
              Take back
            </button>
          </>
        ) : (
          <button
            type="button"
            disabled={tried.state === 'looking' || tried.state === 'none'}
            aria-label={`Try the remedy of finding ${letter}`}
            onClick={() => void tryIt()}
          >
            Try the remedy
          </button>
        )}
        {finding.putOff === undefined ? (
          <button type="button" aria-expanded={putting} onClick={() => setPutting(!putting)}>
            Put off with a reason
          </button>
        ) : (
          <button type="button" onClick={takeUp}>
            Take up again
          </button>
        )}
        <button type="button" className="plain" aria-expanded={why} onClick={() => setWhy(!why)}>
          Why this limit
        </button>
      </div>
      {putting && <TextField label="Reason, then Enter" value="" onTake={putOff} />}
      {why && (
        <div className="why">
          <p>{finding.why}</p>
          <p className="second small">
            Measured {figure(finding.value)} {finding.unit}; limit {figure(finding.limit)} {finding.unit}. Kind of source:{' '}
            {finding.basis}.
          </p>
          <LimitField finding={finding} />
          {finding.assumptions.map((a) => (
            <p key={a} className="second small">
              Assumed: {a}
            </p>
          ))}
        </div>
      )}
    </li>
  );
}
