import type { Habit, PlantRecord } from '../../../scene/index.ts';
import { Fold } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import { choice, type FieldSpec, number, place, size, text, toggle } from '../../parts/fields.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { EMPTY } from '../../state/words.ts';

const HABITS: [Habit, string][] = [
  ['columnar', 'columnar'],
  ['round', 'round'],
  ['spreading', 'spreading'],
  ['weeping', 'weeping'],
  ['conical', 'conical'],
  ['multiStem', 'multi-stem'],
  ['palm', 'palm'],
  ['clippedBall', 'clipped ball'],
  ['hedge', 'hedge'],
  ['shrub', 'shrub'],
  ['grass', 'grass'],
  ['climber', 'climber'],
];

/** A choice that the record may leave out: `unsaid` takes it out again. */
const optional = (
  label: string,
  path: string,
  words: readonly string[],
  unsaid: string,
  when?: (plant: PlantRecord) => boolean,
): FieldSpec<PlantRecord> =>
  choice(
    label,
    path,
    [['', unsaid], ...words.map((w): [string, string] => [w, w.replace(/[A-Z]/g, (c) => ` ${c.toLowerCase()}`)])],
    {
      otherwise: '',
      parse: (value) => value || undefined,
      ...(when && { when }),
    },
  );

export const PLANT_FIELDS: FieldSpec<PlantRecord>[] = [
  text('Name', 'name'),
  choice('Habit', 'habit', HABITS),
  size('Height', 'heightM', 0.1, 35, 0.1),
  size('Spread', 'spreadM', 0.1, 25, 0.1),
  number<PlantRecord>('Length of the hedge', 'lengthM', 'm', [0.1, 100, 0.1], { when: (p) => p.habit === 'hedge', otherwise: 2 }),
  size('Crown base', 'crownBaseM', 0, 20, 0.1),
  size('Trunk diameter', 'trunkDiameterM', 0.02, 1.5),
  ...place<PlantRecord>('at', 'xz'),
  number('Foot, level', 'baseM', 'm', [-20, 40, 0.05]),
  number<PlantRecord>('Gap to wall', 'gapToWallM', 'm', [0, 3, 0.01], {
    hint: (p) => (p.gapToWallM === undefined ? 'don’t know' : ''),
  }),
  number('Turned by', 'bearingDeg', 'deg', [-360, 360, 5]),
  number('Lean', 'leanDeg', 'deg', [0, 30, 1]),
  number('Leans toward', 'leanBearingDeg', 'deg', [-360, 360, 5]),
  choice('Density', 'density', [
    ['thin', 'thin'],
    ['medium', 'medium'],
    ['dense', 'dense'],
  ]),
  choice('Bark', 'bark', [
    ['brown', 'brown'],
    ['pale', 'pale'],
    ['grey', 'grey'],
  ]),
  choice('Growth', 'growth', [
    ['slow', 'slow'],
    ['medium', 'medium'],
    ['fast', 'fast'],
  ]),
  toggle('Evergreen', 'evergreen'),
  optional('Leaves', 'leaf', ['broad', 'small', 'narrow', 'needle'], 'as usual'),
  optional('Foliage', 'foliage', ['green', 'deepGreen', 'greyGreen', 'copper', 'golden'], 'as usual'),
  optional('Autumn colour', 'autumn', ['yellow', 'orange', 'red', 'russet'], 'by the seed', (p) => !p.evergreen),
];

/** Trees and shrubs by their fields. */
export function Planting() {
  const app = useApp();
  const planting = useEditorState((s) => s.document.planting);
  const plants = planting.filter((p): p is PlantRecord => p.kind === 'plant');
  const put = (what: string) => (plant: PlantRecord) =>
    app.editor.edit(`${what} of ${plant.name}`, (d) => ({
      ...d,
      planting: d.planting.map((p) => (p.id === plant.id ? plant : p)),
    }));
  return (
    <>
      {plants.length === 0 && <p>{EMPTY.planting}</p>}
      {plants.map((p) => (
        <Fold key={p.id} title={p.name} note={`${p.heightM} m`}>
          <FieldTable fields={PLANT_FIELDS} records={[p]} onPut={(what, [next]) => next && put(what)(next)} />
          <button
            type="button"
            onClick={() =>
              app.editor.edit(`remove ${p.name}`, (d) => ({ ...d, planting: d.planting.filter((x) => x.id !== p.id) }))
            }
          >
            Remove
          </button>
        </Fold>
      ))}
      <div className="buttons">
        <button type="button" onClick={() => addPlant(app, 'round', 5, 3.5)}>
          Add tree
        </button>
        <button type="button" onClick={() => addPlant(app, 'shrub', 1, 1)}>
          Add shrub
        </button>
      </div>
    </>
  );
}

function addPlant(app: ReturnType<typeof useApp>, habit: Habit, heightM: number, spreadM: number): void {
  const word = habit === 'shrub' ? 'Shrub' : 'Tree';
  app.editor.edit(`add ${word.toLowerCase()}`, (d) => {
    let n = 1;
    while (d.planting.some((p) => p.id === `plant-${n}`)) n += 1;
    const guessed = { how: 'guessed' as const, plusMinusShare: 0.2 };
    const plant: PlantRecord = {
      kind: 'plant',
      id: `plant-${n}`,
      name: `${word} ${n}`,
      habit,
      at: [0, 3],
      baseM: 0,
      heightM,
      spreadM,
      bearingDeg: 0,
      crownBaseM: habit === 'shrub' ? 0 : heightM * 0.3,
      trunkDiameterM: habit === 'shrub' ? 0.04 : 0.15,
      density: 'medium',
      bark: 'brown',
      leanDeg: 0,
      leanBearingDeg: 0,
      growth: 'medium',
      evergreen: false,
      seed: n,
      known: { heightM: guessed, spreadM: guessed },
    };
    return { ...d, planting: [...d.planting, plant] };
  });
}
