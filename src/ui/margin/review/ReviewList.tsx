import { useState } from 'react';
import { type Severity, summariseQuestions } from '../../../review/index.ts';
import { Choice } from '../../parts/controls.tsx';
import { SeverityMark } from '../../parts/SeverityMark.tsx';
import { showFinding } from '../../state/actions.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { bySeverity, countSeverities, shownSeverity } from '../../state/letters.ts';
import { EMPTY, SEVERITY_WORD } from '../../state/words.ts';
import { FindingRow } from './FindingRow.tsx';

/** Six plain questions, then findings A, B, C …, severity first. */
export default function ReviewList() {
  const app = useApp();
  const s = useScreen((x) => ({
    judged: x.judged,
    updating: x.judged !== undefined && x.judged.revision !== x.requested,
    letters: x.letters,
  }));
  const views = useEditorState((e) => e.document.viewpoints.length);
  const [severity, setSeverity] = useState<'all' | Severity>('all');
  const [kind, setKind] = useState('all');
  const all = bySeverity(s.judged?.findings ?? []);
  const counts = countSeverities(all);
  const kinds = [...new Set(all.map((f) => f.kind))];
  const shown = all.filter((f) => (severity === 'all' || shownSeverity(f) === severity) && (kind === 'all' || f.kind === kind));
  if (!s.judged) return <p aria-busy="true">{EMPTY.unsolved}</p>;
  return (
    <div aria-busy={s.updating}>
      {s.updating && <p className="second small">Updating; these are the findings of the last settled picture.</p>}
      <ul className="questions">
        {summariseQuestions(all).map(({ question, command, answer, findingIds }) => {
          const first = all.find((f) => f.id === findingIds[0]);
          return (
            <li key={question}>
              <p>
                <strong>{question}</strong>
              </p>
              <p className="answer">
                {first && <SeverityMark severity={shownSeverity(first)} />} {answer}
              </p>
              {first && (
                <button type="button" aria-label={`${command}: show me`} onClick={() => showFinding(app, first)}>
                  Show me
                </button>
              )}
            </li>
          );
        })}
      </ul>
      <h3>
        {counts.stop} Stop, {counts.warn} Warn, {counts.note} Note
      </h3>
      {all.length === 0 ? (
        <p>{EMPTY.none(views)}</p>
      ) : (
        <>
          <div className="fields">
            <Choice<'all' | Severity>
              label="Severity"
              value={severity}
              options={[
                ['all', 'all'],
                ...(['stop', 'warn', 'note'] as const).map((v): [Severity, string] => [v, SEVERITY_WORD[v]]),
              ]}
              onChoose={setSeverity}
            />
            <Choice
              label="Kind"
              value={kind}
              options={[['all', 'all'], ...kinds.map((k): [string, string] => [k, all.find((f) => f.kind === k)?.label ?? k])]}
              onChoose={setKind}
            />
          </div>
          <ol className="findings">
            {shown.map((finding) => (
              <FindingRow key={finding.id} finding={finding} letter={s.letters[finding.id] ?? ''} />
            ))}
          </ol>
        </>
      )}
      <p className="second small">
        Judged at sun −12.0°, no moon, with the limits listed; ages 35 and 70. Design aids, no verdicts: check local code.
      </p>
    </div>
  );
}
