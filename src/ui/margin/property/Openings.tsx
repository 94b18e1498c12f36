import type { OpeningRecord, PartOf } from '../../../scene/index.ts';
import { Fold } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { KnownField } from './KnownField.tsx';

type Wall = PartOf<'wall'>;

/** Windows and doors of one wall: place, size, sill, and the luminance of the lit room behind. */
export function Openings({ wall, onPut }: { wall: Wall; onPut(what: string): (next: Wall) => void }) {
  const put = (what: string) => (opening: OpeningRecord) =>
    onPut(`${what} of ${opening.name || opening.kind} in`)({
      ...wall,
      openings: wall.openings.map((o) => (o.id === opening.id ? opening : o)),
    });
  const add = () => {
    let n = wall.openings.length + 1;
    while (wall.openings.some((o) => o.id === `opening-${n}`)) n += 1;
    const last = wall.openings[wall.openings.length - 1];
    const opening: OpeningRecord = {
      ...(last ?? BLANK),
      id: `opening-${n}`,
      name: `${last?.kind ?? 'window'} ${n}`,
      alongM: (last?.alongM ?? 0.5) + (last?.widthM ?? 1) + 0.6,
    };
    onPut('add opening to')({ ...wall, openings: [...wall.openings, opening] });
  };
  return (
    <>
      {wall.openings.map((o) => (
        <Fold key={o.id} title={o.name || o.id} note={o.kind}>
          <div className="fields">
            <KnownField label="Width" record={o} field="widthM" min={0.3} max={8} step={0.01} onTake={put('width')} />
            <KnownField label="Height" record={o} field="heightM" min={0.3} max={4} step={0.01} onTake={put('height')} />
            <KnownField label="Sill" record={o} field="sillM" min={0} max={12} step={0.01} onTake={put('sill')} />
            <KnownField
              label="Middle, along the wall"
              record={o}
              field="alongM"
              min={0}
              max={60}
              step={0.01}
              onTake={put('place')}
            />
            <KnownField label="Reveal" record={o} field="revealM" min={0} max={1} step={0.01} onTake={put('reveal')} />
            <QuantityField
              label="Lit room, luminance"
              value={o.litCdM2}
              unit="cd/m²"
              min={0}
              max={2000}
              step={1}
              hint={o.litCdM2 === 0 ? 'dark' : 'shows and lights'}
              onTake={(litCdM2) => put('lit room')({ ...o, litCdM2 })}
            />
          </div>
          <button
            type="button"
            onClick={() =>
              onPut(`remove ${o.name || o.kind} in`)({ ...wall, openings: wall.openings.filter((x) => x.id !== o.id) })
            }
          >
            Remove
          </button>
        </Fold>
      ))}
      <button type="button" onClick={add}>
        Add opening
      </button>
    </>
  );
}

const BLANK: OpeningRecord = {
  id: '',
  name: '',
  kind: 'window',
  alongM: 0,
  sillM: 0.9,
  widthM: 1,
  heightM: 1.3,
  revealM: 0.1,
  panesAcross: 2,
  panesUp: 2,
  frameMaterial: 'paintedTimberWhite',
  leafMaterial: 'paintedTimberGreen',
  sillProjectionM: 0.05,
  sillHeightM: 0.08,
  lintelHeightM: 0,
  lintelProjectionM: 0.015,
  trimMaterial: 'limestone',
  litCdM2: 0,
  litCctK: 2700,
};
