import type { SchemeRecord } from '../../../scene/index.ts';
import { CompareButtons } from '../../parts/CompareButtons.tsx';
import { chooseScheme } from '../../state/actions.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { percent, voltAmperes, watts } from '../../state/format.ts';
import { countSeverities } from '../../state/letters.ts';
import { copyScheme, PACKAGES, packageShown, showPackage } from '../../state/schemes.ts';
import { loadOf } from '../../strip/load.ts';
import { useSchemeResults } from './useSchemeResults.ts';

/** Schemes side by side: load, VA, findings; then the picture compared by switch, hold or wipe. */
export default function CompareList() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const s = useScreen((x) => ({ against: x.compareWith }));
  const results = useSchemeResults();
  const against = s.against.kind === 'scheme' ? s.against.schemeId : undefined;
  const compareWith = (id: string | undefined) =>
    app.set({ compareWith: id === undefined ? { kind: 'before' } : { kind: 'scheme', schemeId: id } });
  return (
    <>
      <div className="table-frame">
        <table aria-label="Schemes">
          <thead>
            <tr>
              <th>Scheme</th>
              <th className="number">Lights</th>
              <th className="number">W</th>
              <th className="number">VA</th>
              <th className="number">Fullest</th>
              <th>Stop, Warn, Note</th>
            </tr>
          </thead>
          <tbody>
            {document.schemes.map((scheme) => {
              const judged = results.get(scheme.id);
              const load = loadOf(document, scheme, judged?.power);
              const counts = judged && countSeverities(judged.findings);
              return (
                <tr key={scheme.id} data-selected={scheme.id === schemeId}>
                  <td>
                    {scheme.name}
                    {scheme.id === schemeId && <span className="second"> shown</span>}
                  </td>
                  <td className="number">{scheme.fixtures.length}</td>
                  <td className="number">{watts(load.watts)}</td>
                  <td className="number">{judged ? voltAmperes(load.voltAmperes) : 'not judged yet'}</td>
                  <td className="number">{load.fullest ? percent(load.fullest.fraction) : ''}</td>
                  <td>{counts ? `${counts.stop}, ${counts.warn}, ${counts.note}` : 'not judged yet'}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <p className="second small">
        A scheme is judged when it is shown. Figures of the others are those of the last time, while the property stays the same.
      </p>
      <h3>Show</h3>
      <div className="buttons">
        {document.schemes.map((scheme) => (
          <button
            key={scheme.id}
            type="button"
            aria-pressed={scheme.id === schemeId}
            onClick={() => chooseScheme(app, scheme.id)}
          >
            {scheme.name}
          </button>
        ))}
        <button type="button" onClick={() => copyScheme(app)}>
          New copy
        </button>
      </div>
      <Packages />
      <h3>Compare with</h3>
      <div className="buttons">
        <button type="button" aria-pressed={against === undefined} onClick={() => compareWith(undefined)}>
          Before
        </button>
        {document.schemes
          .filter((x) => x.id !== schemeId)
          .map((scheme) => (
            <button key={scheme.id} type="button" aria-pressed={against === scheme.id} onClick={() => compareWith(scheme.id)}>
              {scheme.name}
            </button>
          ))}
      </div>
      <div className="buttons">
        <CompareButtons>
          <button
            type="button"
            onClick={() => {
              if (against === undefined) app.editor.session({ after: !app.editor.store.getState().session.after });
              else {
                compareWith(schemeId);
                chooseScheme(app, against);
              }
            }}
          >
            Switch
          </button>
        </CompareButtons>
      </div>
    </>
  );
}

/** Core, Full front and All round, cut by each light's rank into schemes of their own. */
function Packages() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const { base, rank } = packageShown(document, schemeId);
  if (!base) return null;
  return (
    <>
      <h3>Packages of {base.name}</h3>
      <div className="buttons">
        {PACKAGES.map((one) => {
          const lights = base.fixtures.filter((f) => f.rank <= one.rank);
          const cut: SchemeRecord = { ...base, fixtures: lights };
          return (
            <button key={one.id} type="button" aria-pressed={rank === one.rank} onClick={() => showPackage(app, one)}>
              {one.word}: {lights.length} lights, {watts(loadOf(document, cut, undefined).watts)}
            </button>
          );
        })}
      </div>
      <p className="second small">
        Lights of rank 1, ranks 1 and 2, or all; a light’s rank stands in its own fields. Core and Full front are schemes cut
        afresh from {base.name} when pressed: change lights in {base.name}, not in its cuts. Cable sizes stay as the last phase
        needs them.
      </p>
    </>
  );
}
