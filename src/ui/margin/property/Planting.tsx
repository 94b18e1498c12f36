import type { Habit, PlantRecord } from '../../../scene/index.ts';
import { Choice, Fold, TextField, Toggle } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { useApp, useEditorState } from '../../state/context.tsx';
import { EMPTY } from '../../state/words.ts';
import { KnownField } from './KnownField.tsx';

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
          <div className="fields">
            <TextField label="Name" value={p.name} onTake={(name) => put('name')({ ...p, name: name.slice(0, 200) || p.name })} />
            <Choice label="Habit" value={p.habit} options={HABITS} onChoose={(habit) => put('habit')({ ...p, habit })} />
            <KnownField label="Height" record={p} field="heightM" min={0.1} max={35} step={0.1} onTake={put('height')} />
            <KnownField label="Spread" record={p} field="spreadM" min={0.1} max={25} step={0.1} onTake={put('spread')} />
            <KnownField label="Crown base" record={p} field="crownBaseM" min={0} max={20} step={0.1} onTake={put('crown base')} />
            <KnownField
              label="Trunk diameter"
              record={p}
              field="trunkDiameterM"
              min={0.02}
              max={1.5}
              step={0.01}
              onTake={put('trunk')}
            />
            <QuantityField
              label="Left to right"
              value={p.at[0]}
              unit="m"
              min={-200}
              max={200}
              step={0.05}
              onTake={(x) => put('place')({ ...p, at: [x, p.at[1]] })}
            />
            <QuantityField
              label="Toward the street"
              value={p.at[1]}
              unit="m"
              min={-200}
              max={200}
              step={0.05}
              onTake={(z) => put('place')({ ...p, at: [p.at[0], z] })}
            />
            <QuantityField
              label="Gap to wall"
              value={p.gapToWallM ?? 0}
              unit="m"
              min={0}
              max={3}
              step={0.01}
              hint={p.gapToWallM === undefined ? 'don’t know' : ''}
              onTake={(gapToWallM) => put('gap to wall')({ ...p, gapToWallM })}
            />
            <QuantityField
              label="Lean"
              value={p.leanDeg}
              unit="deg"
              min={0}
              max={30}
              step={1}
              onTake={(leanDeg) => put('lean')({ ...p, leanDeg })}
            />
            <Choice
              label="Density"
              value={p.density}
              options={[
                ['thin', 'thin'],
                ['medium', 'medium'],
                ['dense', 'dense'],
              ]}
              onChoose={(density) => put('density')({ ...p, density })}
            />
            <Choice
              label="Growth"
              value={p.growth}
              options={[
                ['slow', 'slow'],
                ['medium', 'medium'],
                ['fast', 'fast'],
              ]}
              onChoose={(growth) => put('growth')({ ...p, growth })}
            />
          </div>
          <Toggle label="Evergreen" on={p.evergreen} onChange={(evergreen) => put('leaf')({ ...p, evergreen })} />
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
