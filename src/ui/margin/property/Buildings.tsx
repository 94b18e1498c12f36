import { wallLengthM } from '../../../editor/index.ts';
import type { PartOf, PartRecord, PropertyDocument } from '../../../scene/index.ts';
import { Fold, TextField } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import type { App } from '../../state/app.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { KnownField } from './KnownField.tsx';
import { MaterialChoice } from './MaterialChoice.tsx';
import { Openings } from './Openings.tsx';

type Wall = PartOf<'wall'>;

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
}

/** Walls with their openings, then the other parts. */
export function Buildings() {
  const app = useApp();
  const buildings = useEditorState((s) => s.document.buildings);
  return (
    <>
      {buildings.map((building) => (
        <div key={building.id}>
          <h3>{building.name}</h3>
          {building.parts.map((part) => (
            <Fold key={part.id} title={part.name || part.id} note={part.kind}>
              {part.kind === 'wall' ? <WallFields wall={part} /> : <PartFields part={part} />}
              <button type="button" onClick={() => removePart(app, part)}>
                Remove
              </button>
            </Fold>
          ))}
        </div>
      ))}
      <button type="button" onClick={() => addWall(app)}>
        Add wall
      </button>
    </>
  );
}

function WallFields({ wall }: { wall: Wall }) {
  const app = useApp();
  const put = (what: string) => (next: Wall) => putPart(app, what, next);
  const lengthM = wallLengthM(wall);
  const stretch = (next: number): Wall => {
    const k = next / lengthM;
    return { ...wall, to: [wall.from[0] + (wall.to[0] - wall.from[0]) * k, wall.from[1] + (wall.to[1] - wall.from[1]) * k] };
  };
  return (
    <>
      <div className="fields">
        <TextField label="Name" value={wall.name} onTake={(name) => put('name')({ ...wall, name: name.slice(0, 200) })} />
        <QuantityField
          label="Length"
          value={lengthM}
          unit="m"
          min={0.1}
          max={60}
          step={0.01}
          onTake={(v) => put('length')(stretch(v))}
        />
        <KnownField label="Height" record={wall} field="heightM" min={0.1} max={15} step={0.01} onTake={put('height')} />
        <KnownField label="Thickness" record={wall} field="thicknessM" min={0.02} max={3} step={0.01} onTake={put('thickness')} />
        <div className="wide">
          <MaterialChoice
            label="Material"
            value={wall.material}
            onChoose={(material) => put('material')({ ...wall, material })}
          />
        </div>
      </div>
      <Openings wall={wall} onPut={put} />
    </>
  );
}

const SIZES: Record<string, string> = {
  heightM: 'Height',
  widthM: 'Width',
  depthM: 'Depth',
  thicknessM: 'Thickness',
  eavesM: 'Eaves',
  ridgeM: 'Ridge or top',
  overhangM: 'Overhang',
  riserM: 'Riser',
  treadM: 'Tread',
  topWidthM: 'Width at top',
  footWidthM: 'Width at foot',
  barSpacingM: 'Bar spacing',
  postSpacingM: 'Post spacing',
  radiusM: 'Radius',
  diameterM: 'Diameter',
};

/** Sizes and material of any other part, by the fields its record has. */
function PartFields({ part }: { part: PartRecord }) {
  const app = useApp();
  const entries = Object.entries(part as Record<string, unknown>);
  return (
    <div className="fields">
      {entries.map(([key, value]) => {
        const label = SIZES[key];
        if (label === undefined || typeof value !== 'number') return null;
        return (
          <QuantityField
            key={key}
            label={label}
            value={value}
            unit="m"
            min={key === 'eavesM' || key === 'ridgeM' || key === 'overhangM' ? 0 : 0.01}
            max={60}
            step={0.01}
            onTake={(next) => putPart(app, label.toLowerCase(), { ...part, [key]: next } as PartRecord)}
          />
        );
      })}
      {'material' in part && (
        <div className="wide">
          <MaterialChoice
            label="Material"
            value={part.material}
            onChoose={(material) => putPart(app, 'material', { ...part, material } as PartRecord)}
          />
        </div>
      )}
    </div>
  );
}

/** A free-standing wall of 4 m × 2 m at the lot's right, marked guessed, to be typed into shape. */
function addWall(app: App): void {
  app.editor.edit('add wall', (d) => {
    const used = d.buildings.flatMap((b) => b.parts.map((p) => p.id));
    let n = 1;
    while (used.includes(`wall-${n}`)) n += 1;
    const x =
      Math.max(0, ...d.buildings.flatMap((b) => b.parts.flatMap((p) => (p.kind === 'wall' ? [p.from[0], p.to[0]] : [])))) + 2;
    const guessed = { how: 'guessed' as const, plusMinusShare: 0.2 };
    const wall: Wall = {
      kind: 'wall',
      id: `wall-${n}`,
      name: `Wall ${n}`,
      from: [x, 0],
      to: [x + 4, 0],
      baseM: 0,
      heightM: 2,
      thicknessM: 0.22,
      material: 'brickOld',
      freeStanding: true,
      openings: [],
      courses: [],
      known: { heightM: guessed },
    };
    const [first, ...rest] = d.buildings;
    if (!first) return { ...d, buildings: [{ id: 'house', name: 'House', parts: [wall] }] };
    return { ...d, buildings: [{ ...first, parts: [...first.parts, wall] }, ...rest] };
  });
}
