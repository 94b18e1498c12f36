import { findFixture, putFixtureInto } from '../../../editor/index.ts';
import type { FixtureRecord } from '../../../scene/index.ts';
import { Fold, Toggle } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import { choice, type FieldSpec } from '../../parts/fields.ts';
import { GestureRange } from '../../parts/GestureRange.tsx';
import { removeSelected, selectLights, showAfter } from '../../state/actions.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { lampWords } from '../../state/lights.ts';
import { OPTICS_FIELDS, placeFields, RANK_FIELD } from './lightFields.ts';

/** Several lights at once: fields show one value or "3 values"; typing sets all, `+` adds to each; locked parts stay. */
export function ManyLights({ ids }: { ids: string[] }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const lights = ids.flatMap((id) => findFixture(document, schemeId, id) ?? []);
  const lampField: FieldSpec<FixtureRecord> = choice(
    'Lamp',
    'lampId',
    document.catalogue.lamps.map((l): [string, string] => [l.id, `${l.name}: ${lampWords(l)}`]),
  );
  const put = (what: string, next: FixtureRecord[]) => {
    const byId = new Map(next.map((f) => [f.id, f]));
    app.editor.editLights(`${what} of ${lights.length} lights`, ids, (f) => byId.get(f.id) ?? f);
    showAfter(app);
  };
  const mean = lights.reduce((sum, f) => sum + f.dim, 0) / Math.max(1, lights.length);
  const dims = new Set(lights.map((f) => f.dim)).size;
  return (
    <section className="detail" aria-label={`${lights.length} lights`}>
      <header className="detail-head">
        <h3>{lights.length} lights</h3>
        <Toggle
          label="On"
          on={lights.every((f) => f.on)}
          onChange={(on) =>
            put(
              on ? 'switch on' : 'switch off',
              lights.map((f) => ({ ...f, on })),
            )
          }
        />
        <button type="button" onClick={() => removeSelected(app)}>
          Delete
        </button>
        <button type="button" className="plain" aria-label="Let go of these lights" onClick={() => selectLights(app, [])}>
          Close
        </button>
      </header>
      <FieldTable fields={[...placeFields(document, 'point'), lampField, RANK_FIELD]} records={lights} onPut={put} />
      <GestureRange
        label="Dim"
        step={`dim ${lights.length} lights`}
        value={Math.round(mean * 100)}
        min={0}
        max={100}
        by={1}
        text={dims > 1 ? `${dims} values` : `${Math.round(mean * 100)} %`}
        change={(v) => (d) => lights.reduce((all, f) => putFixtureInto(all, schemeId, { ...f, dim: v / 100 }), d)}
      />
      <Fold title="Lens, shield, roll">
        <FieldTable fields={OPTICS_FIELDS} records={lights} onPut={put} />
      </Fold>
      <p className="second small">Locked places, aims and lamps stay as they are.</p>
    </section>
  );
}
