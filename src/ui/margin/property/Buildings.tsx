import { useState } from 'react';
import type { PartOf, PartRecord, PropertyDocument, Vec3 } from '../../../scene/index.ts';
import { groundHeightAt } from '../../../scene/index.ts';
import { Choice, Fold } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import type { App } from '../../state/app.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { Courses } from './Courses.tsx';
import { Openings } from './Openings.tsx';
import { ADDERS, type Adder, NAME_FIELD, newPart, PART_FIELDS } from './partFields.ts';

/** Puts one part back into its building as a named step. */
export function putPart(app: App, what: string, part: PartRecord): void {
  app.editor.edit(`${what} of ${part.name || part.id}`, (d: PropertyDocument) => ({
    ...d,
    buildings: d.buildings.map((b) => ({ ...b, parts: b.parts.map((p) => (p.id === part.id ? part : p)) })),
  }));
}

function removePart(app: App, part: PartRecord): void {
  app.editor.edit(`remove ${part.name || part.id}`, (d) => ({
    ...d,
    buildings: d.buildings.map((b) => ({ ...b, parts: b.parts.filter((p) => p.id !== part.id) })),
  }));
  app.say(`${part.name || part.id} removed. Undo brings it back.`);
}

/** Every part by the table of its kind; walls with openings and courses. */
export function Buildings() {
  const buildings = useEditorState((s) => s.document.buildings);
  return (
    <>
      <AddPart />
      {buildings.map((building) => (
        <div key={building.id}>
          <h3>{building.name}</h3>
          {building.parts.map((part) => (
            <Fold key={part.id} title={part.name || part.id} note={part.kind}>
              <Part part={part} />
            </Fold>
          ))}
        </div>
      ))}
    </>
  );
}

function Part({ part }: { part: PartRecord }) {
  const app = useApp();
  const putWall = (what: string) => (wall: PartOf<'wall'>) => putPart(app, what, wall);
  return (
    <>
      <FieldTable
        fields={[NAME_FIELD, ...PART_FIELDS[part.kind]]}
        records={[part]}
        onPut={(what, [next]) => next && putPart(app, what, next)}
      />
      {part.kind === 'wall' && (
        <>
          <Openings wall={part} onPut={putWall} />
          <Courses wall={part} onPut={putWall} />
        </>
      )}
      <button type="button" onClick={() => removePart(app, part)}>
        Remove {part.name || part.id}
      </button>
    </>
  );
}

/** Adds a part of common size, marked guessed, where the picture looks. */
function AddPart() {
  const app = useApp();
  const [adder, setAdder] = useState<Adder>('wall');
  return (
    <div className="wire-row">
      <Choice<Adder> label="New part" value={adder} options={ADDERS} onChoose={setAdder} />
      <button type="button" onClick={() => addPart(app, adder)}>
        Add {ADDERS.find(([id]) => id === adder)?.[1]}
      </button>
    </div>
  );
}

export function addPart(app: App, adder: Adder): void {
  const word = ADDERS.find(([id]) => id === adder)?.[1] ?? adder;
  app.editor.edit(`add ${word}`, (d) => {
    const used = new Set(d.buildings.flatMap((b) => b.parts.map((p) => p.id)));
    let n = 1;
    while (used.has(`${adder}-${n}`)) n += 1;
    const name = `${word[0]?.toUpperCase()}${word.slice(1)} ${n}`;
    const part = newPart(adder, `${adder}-${n}`, name, freePlace(d));
    const [first, ...rest] = d.buildings;
    if (!first) return { ...d, buildings: [{ id: 'house', name: 'House', parts: [part] }] };
    return { ...d, buildings: [{ ...first, parts: [...first.parts, part] }, ...rest] };
  });
  app.say(`${word} added beside what is built, of common size and marked guessed. Type its sizes in Buildings.`);
}

/** Two metres to the right of all walls, level with the front: nothing stands there yet. */
function freePlace(d: PropertyDocument): Vec3 {
  const ends = d.buildings.flatMap((b) => b.parts.flatMap((p) => (p.kind === 'wall' ? [p.from[0], p.to[0]] : [])));
  const x = ends.length === 0 ? 0 : Math.max(...ends) + 2;
  return [x, groundHeightAt(d, x, 0), 0];
}
