import { CompareButtons } from '../parts/CompareButtons.tsx';
import { Choice } from '../parts/controls.tsx';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import type { CompareWith } from '../state/screen.ts';

/** Before and after at the same camera, exposure and time: switch, hold, wipe, side by side. */
export function PicturePanel() {
  const app = useApp();
  const after = useEditorState((s) => s.session.after);
  const schemes = useEditorState((s) => s.document.schemes);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const against = useScreen((x) => x.compareWith);
  const value = against.kind === 'before' ? '' : against.schemeId;
  const options: [string, string][] = [
    ['', 'Before (the scheme’s own lamps off)'],
    ...schemes.filter((x) => x.id !== schemeId).map((x): [string, string] => [x.id, `Scheme ${x.name}`]),
  ];
  const choose = (id: string) => {
    const compareWith: CompareWith = id === '' ? { kind: 'before' } : { kind: 'scheme', schemeId: id };
    app.set({ compareWith });
  };
  return (
    <>
      <div className="buttons">
        <button type="button" aria-pressed={after} onClick={() => app.editor.session({ after: true })}>
          After
        </button>
        <button type="button" aria-pressed={!after} onClick={() => app.editor.session({ after: false })}>
          Before
        </button>
        <CompareButtons />
      </div>
      <Choice label="Compare with" value={value} options={options} onChoose={choose} />
      <p className="second small">
        Both sides share camera, exposure, time and eye. Lit windows and garden lights marked existing stay on in Before.
      </p>
    </>
  );
}
