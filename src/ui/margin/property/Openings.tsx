import type { OpeningRecord, PartOf } from '../../../scene/index.ts';
import { Fold } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import { choice, type FieldSpec, material, number, size, text } from '../../parts/fields.ts';

type Wall = PartOf<'wall'>;

export const OPENING_FIELDS: FieldSpec<OpeningRecord>[] = [
  text('Name', 'name'),
  choice('Kind', 'kind', [
    ['window', 'window'],
    ['door', 'door'],
    ['blank', 'blank recess'],
  ]),
  size('Width', 'widthM', 0.3, 8),
  size('Height', 'heightM', 0.3, 4),
  size('Sill', 'sillM', 0, 12),
  size('Middle, along the wall', 'alongM', 0, 60),
  size('Reveal', 'revealM', 0, 1),
  number('Panes across', 'panesAcross', '', [1, 12, 1], { decimals: 0, set: (o, n) => ({ ...o, panesAcross: Math.round(n) }) }),
  number('Panes up', 'panesUp', '', [1, 12, 1], { decimals: 0, set: (o, n) => ({ ...o, panesUp: Math.round(n) }) }),
  number('Sill stands out', 'sillProjectionM', 'm', [0, 0.5, 0.005]),
  number('Sill height', 'sillHeightM', 'm', [0, 0.5, 0.005]),
  number('Lintel height', 'lintelHeightM', 'm', [0, 0.8, 0.01]),
  number('Lintel stands out', 'lintelProjectionM', 'm', [0, 0.5, 0.005]),
  number('Lit room, luminance', 'litCdM2', 'cd/m²', [0, 2000, 1], {
    what: 'lit room',
    hint: (o) => (o.litCdM2 === 0 ? 'dark' : 'shows and lights'),
  }),
  number('Lit room, colour', 'litCctK', 'K', [1800, 6500, 100]),
  material('Frame', 'frameMaterial'),
  material('Leaf or panel', 'leafMaterial'),
  material('Sill and lintel', 'trimMaterial'),
];

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
          <FieldTable fields={OPENING_FIELDS} records={[o]} onPut={(what, [next]) => next && put(what)(next)} />
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
