import { TextField } from '../../parts/controls.tsx';
import { useApp, useEditorState } from '../../state/context.tsx';
import { numberText } from '../../state/lights.ts';

/** Questions to the owner with the lights that hang on them; no answer is an answer. */
export function Questions() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const { questions } = document;
  const answer = (id: string, text: string) =>
    app.editor.edit('answer a question', (d) => ({
      ...d,
      questions: d.questions.map((q) =>
        q.id === id ? { ...q, answer: text.trim() === '' ? undefined : text.slice(0, 4000) } : q,
      ),
    }));
  if (questions.length === 0) return <p className="second">No open questions.</p>;
  return (
    <>
      {questions.map((q) => (
        <div key={q.id}>
          <TextField label={q.text} value={q.answer ?? ''} placeholder="don’t know" onTake={(text) => answer(q.id, text)} />
          {q.lightIds.length > 0 && (
            <p className="second small">
              Lights that hang on it: {q.lightIds.map((id) => numberText(document, schemeId, id)).join(', ')}
            </p>
          )}
        </div>
      ))}
    </>
  );
}
