import { SeverityMark } from '../parts/SeverityMark.tsx';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { undo } from '../state/keys.ts';
import { broughtBy, countWords, shownSeverity } from '../state/letters.ts';
import { askAgain } from '../state/shown.ts';
import { saveToFile } from '../top/fileActions.ts';

/** One line at the picture's foot: mode, trial, failure, settling, in this order. */
export function Foot() {
  const app = useApp();
  const trial = useEditorState((s) => s.session.trial);
  const undoLabel = useEditorState((s) => s.undoLabel);
  const s = useScreen((x) => ({
    mode: x.mode,
    failed: x.failed,
    progress: x.progress,
    slow: x.slow,
    trouble: x.pictureTrouble,
    back: x.showMeReturn,
    free: x.free,
    colours: x.colours,
  }));
  if (s.failed) {
    return (
      <div className="foot" role="status">
        <p>
          The light could not be worked out after <em>{undoLabel ?? s.failed.during}</em>. The picture shows the state before it.
          <span className="second small"> {s.failed.message}</span>
        </p>
        <div className="buttons">
          <button type="button" onClick={() => askAgain(app)}>
            Try again
          </button>
          <button type="button" onClick={() => undo(app)}>
            Undo
          </button>
          <button type="button" onClick={() => void saveToFile(app)}>
            Save a file
          </button>
        </div>
      </div>
    );
  }
  if (trial) return <TrialFoot text={trial.text} />;
  const lines = [
    s.mode === 'add' ? 'Press where it stands, drag to what it should light, release. Escape puts it away.' : '',
    s.trouble ?? '',
    s.slow ? `Settling${s.progress ? `: ${s.progress}` : ''}` : '',
    s.back ? 'Judging night: sun −12.0°, no moon. Escape returns.' : '',
    s.free ? 'Free view: no eye here, dazzle not judged' : '',
    s.colours === 'red' ? 'Red screen: order of brightness only' : '',
  ].filter(Boolean);
  if (lines.length === 0) return null;
  return (
    <div className={s.mode === 'add' ? 'foot adding' : 'foot'} role="status">
      <p>{lines.join(' · ')}</p>
      {s.mode === 'add' && (
        <button type="button" onClick={() => app.set({ mode: 'rest' })}>
          Put away
        </button>
      )}
      {s.back && (
        <button type="button" onClick={() => s.back?.()}>
          Return
        </button>
      )}
    </div>
  );
}

/** A remedy on trial: both counts, and whatever it brings, are in sight before it is kept. */
function TrialFoot({ text }: { text: string }) {
  const app = useApp();
  const s = useScreen((x) => ({
    before: x.beforeTrial,
    now: x.judged?.findings,
    settled: x.judged?.revision === x.requested,
    letters: x.letters,
  }));
  const brought = s.before && s.now && s.settled ? broughtBy(s.before, s.now) : [];
  return (
    <div className="foot trial" role="status">
      <div className="trial-words">
        <p>Trial: {text}.</p>
        {s.before && (
          <p className="small second">
            {s.settled && s.now
              ? `Before ${countWords(s.before)}; now ${countWords(s.now)}.`
              : `Before ${countWords(s.before)}; updating.`}
          </p>
        )}
        {brought.length > 0 && (
          <ul className="brought small" aria-label="What this change brings">
            <li>Brings, in Review:</li>
            {brought.map((f) => (
              <li key={f.id} title={f.message}>
                <span className="flag-letter">{s.letters[f.id]}</span> <SeverityMark severity={shownSeverity(f)} /> {f.label}
              </li>
            ))}
          </ul>
        )}
      </div>
      <div className="buttons">
        <button type="button" onClick={() => app.editor.keepTrial()}>
          Keep
        </button>
        <button type="button" onClick={() => app.editor.takeBackTrial()}>
          Take back
        </button>
      </div>
    </div>
  );
}
