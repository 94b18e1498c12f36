import { Choice } from '../parts/controls.tsx';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import type { CompareWith } from '../state/screen.ts';

/** Before and after at the same camera, exposure and time: switch, hold, wipe, side by side. */
export function PicturePanel() {
  const app = useApp();
  const after = useEditorState((s) => s.session.after);
  const schemes = useEditorState((s) => s.document.schemes);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const s = useScreen((x) => ({ compare: x.compare, against: x.compareWith }));
  const value = s.against.kind === 'before' ? '' : s.against.schemeId;
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
        <button
          type="button"
          onPointerDown={() => app.set({ held: true })}
          onPointerUp={() => app.set({ held: false })}
          onPointerLeave={() => app.set({ held: false })}
        >
          Hold to compare (H)
        </button>
        <button
          type="button"
          aria-pressed={s.compare === 'wipe'}
          onClick={() => app.set({ compare: s.compare === 'wipe' ? 'off' : 'wipe' })}
        >
          Wipe
        </button>
        <button
          type="button"
          aria-pressed={s.compare === 'side'}
          onClick={() => app.set({ compare: s.compare === 'side' ? 'off' : 'side' })}
        >
          Side by side
        </button>
      </div>
      <Choice label="Compare with" value={value} options={options} onChoose={choose} />
      <p className="second small">
        Both sides share camera, exposure, time and eye. Lit windows and garden lights marked existing stay on in Before.
      </p>
    </>
  );
}
