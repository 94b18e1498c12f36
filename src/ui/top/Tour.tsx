import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { numberWord, TOUR } from '../state/words.ts';

/** Four sentences, one plate each; the count of lamps comes from the property on screen. */
export function Tour() {
  const app = useApp();
  const step = useScreen((s) => s.tourStep) ?? 0;
  const count = useEditorState((s) => s.document.schemes.find((x) => x.id === s.session.schemeId)?.fixtures.length ?? 0);
  const sentences = TOUR(`${numberWord(count)} small ${count === 1 ? 'lamp' : 'lamps'}`);
  const last = step >= sentences.length - 1;
  return (
    <section className="tour" aria-label="Tour">
      <p>{sentences[step]}</p>
      <div className="buttons">
        <button type="button" onClick={() => app.set({ tourStep: last ? undefined : step + 1 })}>
          {last ? 'Done' : 'Next'}
        </button>
        {!last && (
          <button type="button" className="plain" onClick={() => app.set({ tourStep: undefined })}>
            Skip
          </button>
        )}
        <span className="second small">
          {step + 1} of {sentences.length}
        </span>
      </div>
    </section>
  );
}
