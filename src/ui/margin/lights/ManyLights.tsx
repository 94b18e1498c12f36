import { putFixtureInto, withPlaceFields } from '../../../editor/index.ts';
import { Choice } from '../../parts/controls.tsx';
import { GestureRange } from '../../parts/GestureRange.tsx';
import { removeSelected } from '../../state/actions.ts';
import { useApp, useEditorState, useScheme } from '../../state/context.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';

/** Several lights at once: one value for all; locked parts stay as they are. */
export function ManyLights({ ids }: { ids: string[] }) {
  const app = useApp();
  const lamps = useEditorState((s) => s.document.catalogue.lamps);
  const scheme = useScheme();
  const lights = (scheme?.fixtures ?? []).filter((f) => ids.includes(f.id));
  const lampIds = new Set(lights.map((f) => f.lampId));
  const mean = lights.reduce((sum, f) => sum + f.dim, 0) / Math.max(1, lights.length);
  const dims = new Set(lights.map((f) => f.dim));
  return (
    <section className="detail" aria-label={`${ids.length} lights`}>
      <header className="detail-head">
        <h3>{ids.length} lights</h3>
        <button type="button" onClick={() => removeSelected(app)}>
          Delete
        </button>
      </header>
      <Choice
        label="Lamp"
        value={lampIds.size === 1 ? (lights[0]?.lampId ?? '') : ''}
        options={[
          ...(lampIds.size > 1 ? [['', `${lampIds.size} values`] as [string, string]] : []),
          ...lamps.map((l): [string, string] => [l.id, l.name]),
        ]}
        onChoose={(lampId) =>
          lampId !== '' && app.editor.editLights(`lamp of ${ids.length} lights`, ids, (f) => ({ ...f, lampId }))
        }
      />
      <GestureRange
        label="Dim"
        step={`dim ${ids.length} lights`}
        value={Math.round(mean * 100)}
        min={0}
        max={100}
        by={1}
        text={dims.size > 1 ? `${dims.size} values` : `${Math.round(mean * 100)} %`}
        change={(v) => (d) => lights.reduce((all, f) => putFixtureInto(all, scheme?.id ?? '', { ...f, dim: v / 100 }), d)}
      />
      <QuantityField
        label="Set-back of all"
        value={0.38}
        unit="m"
        min={0.05}
        max={10}
        step={0.01}
        hint="typed for all"
        onTake={(setBackM) =>
          app.editor.editLights(`set-back of ${ids.length} lights`, ids, (f, d) => withPlaceFields(d, f, { setBackM }))
        }
      />
    </section>
  );
}
