import { CompareButtons } from '../parts/CompareButtons.tsx';
import { Choice, Toggle } from '../parts/controls.tsx';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { adaptToPicture } from '../picture/maps/adaptation.ts';
import { figure } from '../state/format.ts';
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
      <SeenAs />
      <Marks />
    </>
  );
}

/** Eye or camera: a switch of the look. The eye is used to the mean luminance of the picture it was switched on at. */
function SeenAs() {
  const app = useApp();
  const adapted = useEditorState((s) => s.session.adaptedCdM2);
  const ev = useEditorState((s) => s.session.ev100);
  const eye = adapted !== undefined;
  return (
    <>
      {/* biome-ignore lint/a11y/useSemanticElements: a group of buttons, not of form fields */}
      <div className="buttons" role="group" aria-label="Seen">
        <button type="button" aria-pressed={!eye} onClick={() => app.editor.session({ adaptedCdM2: undefined })}>
          As a camera
        </button>
        <button type="button" aria-pressed={eye} onClick={() => !eye && void adaptToPicture(app)}>
          {eye ? `As an eye used to ${figure(adapted)} cd/m²` : 'As an eye'}
        </button>
        {eye && (
          <button type="button" onClick={() => void adaptToPicture(app)}>
            Adapt to this picture
          </button>
        )}
      </div>
      <p className="second small">
        The eye is used to the mean luminance of this picture, lamp openings left out. Look only: readings, maps, findings and the
        clipped mark stay those of EV {ev.toFixed(1)}.
      </p>
    </>
  );
}

/** Maps and the clipped mark where the toolbar has no room for them. */
function Marks() {
  const app = useApp();
  const map = useEditorState((s) => s.session.falseColour);
  const clipped = useEditorState((s) => s.session.markClipped);
  return (
    <div className="narrow-only">
      <Choice
        label="False colour"
        value={map}
        options={[
          ['off', 'off'],
          ['lux', 'lux'],
          ['luminance', 'luminance'],
        ]}
        onChoose={(falseColour) => app.editor.session({ falseColour })}
      />
      <Toggle label="Mark what is clipped" on={clipped} onChange={(markClipped) => app.editor.session({ markClipped })} />
    </div>
  );
}
