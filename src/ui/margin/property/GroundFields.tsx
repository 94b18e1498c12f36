import type { GroundLevel, GroundPatch, WaterRecord } from '../../../scene/index.ts';
import { Fold } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import { choice, type FieldSpec, material, number, text } from '../../parts/fields.ts';
import { useApp, useEditorState } from '../../state/context.tsx';

export const LEVEL_FIELDS: FieldSpec<GroundLevel>[] = [
  text('Name', 'name'),
  number('Level', 'heightM', 'm', [-20, 40, 0.01]),
  number('Rises to the right, metres a metre', 'slopeX', '', [-2, 2, 0.005]),
  number('Rises toward the street, metres a metre', 'slopeZ', '', [-2, 2, 0.005]),
  material('Material', 'material'),
];

export const PATCH_FIELDS: FieldSpec<GroundPatch>[] = [
  text('Name', 'name'),
  choice('Use', 'use', [
    ['lawn', 'lawn'],
    ['bed', 'bed'],
    ['path', 'path'],
    ['drive', 'drive'],
    ['paving', 'paving'],
    ['gravel', 'gravel'],
    ['road', 'road'],
    ['pavement', 'pavement'],
    ['other', 'other'],
  ]),
  material('Material', 'material'),
];

export const WATER_FIELDS: FieldSpec<WaterRecord>[] = [
  text('Name', 'name'),
  choice('Kind', 'kind', [
    ['pool', 'pool'],
    ['spa', 'spa'],
    ['pond', 'pond'],
    ['fountain', 'fountain'],
  ]),
  number('Level', 'levelM', 'm', [-20, 40, 0.01]),
];

const replaced = <T extends { id: string }>(list: T[], next: T | undefined): T[] =>
  list.map((one) => (next && one.id === next.id ? next : one));

/** Levels, what lies on them, and water, each with its fields; outlines come with the file. */
export function GroundFields() {
  const app = useApp();
  const { ground, water } = useEditorState((s) => s.document);
  return (
    <>
      {ground.levels.map((level) => (
        <Fold key={level.id} title={level.name || level.id} note="level">
          <FieldTable
            fields={LEVEL_FIELDS}
            records={[level]}
            onPut={(what, [next]) =>
              app.editor.edit(`${what} of ${level.name || level.id}`, (d) => ({
                ...d,
                ground: { ...d.ground, levels: replaced(d.ground.levels, next) },
              }))
            }
          />
        </Fold>
      ))}
      {ground.patches.map((patch) => (
        <Fold key={patch.id} title={patch.name || patch.id} note={patch.use}>
          <FieldTable
            fields={PATCH_FIELDS}
            records={[patch]}
            onPut={(what, [next]) =>
              app.editor.edit(`${what} of ${patch.name || patch.id}`, (d) => ({
                ...d,
                ground: { ...d.ground, patches: replaced(d.ground.patches, next) },
              }))
            }
          />
          <button
            type="button"
            onClick={() =>
              app.editor.edit(`remove ${patch.name || patch.id}`, (d) => ({
                ...d,
                ground: { ...d.ground, patches: d.ground.patches.filter((p) => p.id !== patch.id) },
              }))
            }
          >
            Remove
          </button>
        </Fold>
      ))}
      {water.map((one) => (
        <Fold key={one.id} title={one.name || one.id} note={one.kind}>
          <FieldTable
            fields={WATER_FIELDS}
            records={[one]}
            onPut={(what, [next]) => app.editor.edit(`${what} of ${one.name}`, (d) => ({ ...d, water: replaced(d.water, next) }))}
          />
        </Fold>
      ))}
      {water.length === 0 && <p className="second small">No water.</p>}
      <p className="second small">
        Outlines of levels, patches and water come with the file; drawing them is not part of this build.
      </p>
    </>
  );
}
