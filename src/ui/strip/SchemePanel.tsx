import { TextField } from '../parts/controls.tsx';
import { chooseScheme, openList } from '../state/actions.ts';
import { useApp, useEditorState } from '../state/context.tsx';
import { watts } from '../state/format.ts';
import { copyScheme, renameScheme } from '../state/schemes.ts';
import { loadOf } from './load.ts';

/** Alternative designs over the same property. */
export function SchemePanel() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const current = document.schemes.find((s) => s.id === schemeId);
  return (
    <>
      <div className="buttons">
        {document.schemes.map((scheme) => (
          <button
            key={scheme.id}
            type="button"
            aria-pressed={scheme.id === schemeId}
            onClick={() => chooseScheme(app, scheme.id)}
          >
            {scheme.name} · {scheme.fixtures.length} lights · {watts(loadOf(document, scheme, undefined).watts)}
          </button>
        ))}
      </div>
      {current && <TextField label="Rename" value={current.name} onTake={(name) => renameScheme(app, current.id, name)} />}
      <div className="buttons">
        <button type="button" onClick={() => copyScheme(app)}>
          New copy
        </button>
        <button type="button" onClick={() => openList(app, 'compare')}>
          Compare with
        </button>
      </div>
    </>
  );
}
