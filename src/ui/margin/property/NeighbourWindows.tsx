import type { NeighbourWindow } from '../../../scene/index.ts';
import { Fold } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import { type FieldSpec, number, place, text } from '../../parts/fields.ts';
import { useApp, useEditorState } from '../../state/context.tsx';

export const WINDOW_FIELDS: FieldSpec<NeighbourWindow>[] = [
  text('Name', 'name'),
  number('Width', 'widthM', 'm', [0.1, 20, 0.01]),
  number('Height', 'heightM', 'm', [0.1, 20, 0.01]),
  ...place<NeighbourWindow>('at', 'xyz', 'Middle'),
  number<NeighbourWindow>('Faces, bearing', 'normal', 'deg', [0, 359, 1], {
    get: (w) => (((Math.atan2(w.normal[0], -w.normal[2]) * 180) / Math.PI + 360) % 360) + 0,
    set: (w, deg) => ({ ...w, normal: [Math.sin((deg * Math.PI) / 180), 0, -Math.cos((deg * Math.PI) / 180)] }),
    hint: () => '0 away from the street, 180 toward it',
  }),
];

/** Windows of neighbours that the scheme must leave dark; the finding *Light at a neighbour's window* reads them. */
export function NeighbourWindows() {
  const app = useApp();
  const windows = useEditorState((s) => s.document.site.neighbourWindows);
  const put = (label: string, next: NeighbourWindow[]) =>
    app.editor.edit(label, (d) => ({ ...d, site: { ...d.site, neighbourWindows: next } }));
  const add = () => {
    let n = windows.length + 1;
    while (windows.some((w) => w.id === `window-${n}`)) n += 1;
    const name = `Neighbour window ${n}`;
    put('add neighbour window', [
      ...windows,
      { id: `window-${n}`, name, at: [0, 4.5, 20], normal: [0, 0, -1], widthM: 1, heightM: 1.2 },
    ]);
  };
  return (
    <Fold title="Neighbour windows" note={String(windows.length)}>
      {windows.length === 0 && <p className="second">No neighbour window yet: light on one is not judged.</p>}
      {windows.map((w) => (
        <Fold key={w.id} title={w.name || w.id}>
          <FieldTable
            fields={WINDOW_FIELDS}
            records={[w]}
            onPut={(what, [next]) =>
              next &&
              put(
                `${what} of ${w.name}`,
                windows.map((x) => (x.id === next.id ? next : x)),
              )
            }
          />
          <button
            type="button"
            onClick={() =>
              put(
                `remove ${w.name}`,
                windows.filter((x) => x.id !== w.id),
              )
            }
          >
            Remove
          </button>
        </Fold>
      ))}
      <button type="button" onClick={add}>
        Add neighbour window
      </button>
    </Fold>
  );
}
