import { useApp, useEditorState } from '../../state/context.tsx';
import { MaterialChoice } from './MaterialChoice.tsx';

/** Materials of levels and patches; their outlines come with the file. */
export function GroundFields() {
  const app = useApp();
  const ground = useEditorState((s) => s.document.ground);
  const water = useEditorState((s) => s.document.water);
  return (
    <>
      {ground.levels.map((level) => (
        <MaterialChoice
          key={level.id}
          label={`Level ${level.name || level.id}`}
          value={level.material}
          onChoose={(material) =>
            app.editor.edit(`material of ${level.name || level.id}`, (d) => ({
              ...d,
              ground: { ...d.ground, levels: d.ground.levels.map((l) => (l.id === level.id ? { ...l, material } : l)) },
            }))
          }
        />
      ))}
      {ground.patches.map((patch) => (
        <MaterialChoice
          key={patch.id}
          label={`${patch.name || patch.id} (${patch.use})`}
          value={patch.material}
          onChoose={(material) =>
            app.editor.edit(`material of ${patch.name || patch.id}`, (d) => ({
              ...d,
              ground: { ...d.ground, patches: d.ground.patches.map((p) => (p.id === patch.id ? { ...p, material } : p)) },
            }))
          }
        />
      ))}
      <p className="second small">{water.length === 0 ? 'No water.' : water.map((w) => `${w.name} (${w.kind})`).join(', ')}</p>
    </>
  );
}
