import { wallLengthM } from '../../../editor/index.ts';
import type { PartOf, PartRecord } from '../../../scene/index.ts';
import { choice, type FieldSpec, material, number, place, size, text, toggle } from '../../parts/fields.ts';

type Kind = PartRecord['kind'];

/** Widens a table for one kind of part to all parts; the table is only ever used with its own kind. */
const forParts = <K extends Kind>(fields: FieldSpec<PartOf<K>>[]): FieldSpec<PartRecord>[] =>
  fields as unknown as FieldSpec<PartRecord>[];

const stretched = (wall: PartOf<'wall'>, lengthM: number): PartOf<'wall'> => {
  const k = lengthM / wallLengthM(wall);
  return { ...wall, to: [wall.from[0] + (wall.to[0] - wall.from[0]) * k, wall.from[1] + (wall.to[1] - wall.from[1]) * k] };
};

const bearing = <R>(label = 'Turned by'): FieldSpec<R> => number<R>(label, 'bearingDeg', 'deg', [-360, 360, 1]);

/** Every field of every part a person can change, one table a kind. Openings and courses have lists of their own. */
export const PART_FIELDS: Record<Kind, FieldSpec<PartRecord>[]> = {
  wall: forParts<'wall'>([
    number<PartOf<'wall'>>('Length', 'to', 'm', [0.1, 60, 0.01], { get: wallLengthM, set: stretched }),
    size('Height', 'heightM', 0.1, 15),
    size('Thickness', 'thicknessM', 0.02, 3),
    number('Foot of the wall, level', 'baseM', 'm', [-20, 40, 0.01]),
    ...place<PartOf<'wall'>>('from', 'xz', 'Start'),
    ...place<PartOf<'wall'>>('to', 'xz', 'End'),
    toggle('Free-standing', 'freeStanding'),
    material('Material', 'material'),
  ]),
  roof: forParts<'roof'>([
    choice('Form', 'form', [
      ['hip', 'hip'],
      ['gable', 'gable'],
      ['flat', 'flat'],
    ]),
    number('Size, left to right', 'sizeM.0', 'm', [0.1, 60, 0.01]),
    number('Size, street to garden', 'sizeM.1', 'm', [0.1, 60, 0.01]),
    ...place<PartOf<'roof'>>('centre', 'xz', 'Middle'),
    number('Eaves', 'eavesM', 'm', [-5, 40, 0.01]),
    number('Ridge or top', 'ridgeM', 'm', [-5, 50, 0.01]),
    number<PartOf<'roof'>>('Pitch', 'ridgeM', 'deg', [0, 60, 1], {
      what: 'pitch',
      when: (r) => r.form !== 'flat',
      get: (r) => (Math.atan2(r.ridgeM - r.eavesM, roofRunM(r)) * 180) / Math.PI,
      set: (r, deg) => ({ ...r, ridgeM: Number((r.eavesM + roofRunM(r) * Math.tan((deg * Math.PI) / 180)).toFixed(4)) }),
    }),
    choice<PartOf<'roof'>>(
      'Ridge runs',
      'ridgeAlong',
      [
        ['x', 'left to right'],
        ['z', 'street to garden'],
      ],
      { when: (r) => r.form === 'gable' },
    ),
    number('Overhang', 'overhangM', 'm', [0, 3, 0.01]),
    bearing(),
    material('Covering', 'material'),
    material('Soffit', 'soffitMaterial'),
    material('Gable wall', 'gableMaterial', 'brickOld'),
  ]),
  column: forParts<'column'>([
    size('Height', 'heightM', 0.1, 15),
    size('Width', 'widthM', 0.02, 3),
    choice('Section', 'section', [
      ['square', 'square'],
      ['round', 'round'],
    ]),
    ...place<PartOf<'column'>>('at', 'xyz', 'Foot'),
    material('Material', 'material'),
  ]),
  steps: forParts<'steps'>([
    number('Steps', 'count', '', [1, 60, 1], { decimals: 0, set: (r, n) => ({ ...r, count: Math.round(n) }) }),
    size('Riser', 'riserM', 0.05, 0.3),
    size('Tread', 'treadM', 0.1, 3),
    size('Width', 'widthM', 0.3, 30),
    ...place<PartOf<'steps'>>('at', 'xyz', 'Lowest edge'),
    bearing('Climbs toward'),
    material('Material', 'material'),
  ]),
  box: forParts<'box'>([
    number('Size, left to right', 'sizeM.0', 'm', [0.01, 60, 0.01]),
    number('Size, up', 'sizeM.1', 'm', [0.01, 30, 0.01]),
    number('Size, street to garden', 'sizeM.2', 'm', [0.01, 60, 0.01]),
    ...place<PartOf<'box'>>('centre', 'xyz', 'Middle'),
    bearing(),
    toggle('Seen from inside', 'inward'),
    material('Material', 'material'),
  ]),
  panel: forParts<'panel'>([
    ...place<PartOf<'panel'>>('corner', 'xyz', 'Corner'),
    ...place<PartOf<'panel'>>('u', 'xyz', 'First edge'),
    ...place<PartOf<'panel'>>('v', 'xyz', 'Second edge'),
    toggle('Both sides', 'twoSided'),
    number('Luminance of its own', 'luminanceCdM2', 'cd/m²', [0, 2000, 1]),
    number('Colour of its light', 'cctK', 'K', [1800, 6500, 100]),
    material('Material', 'material'),
  ]),
  sphere: forParts<'sphere'>([
    number('Radius', 'radiusM', 'm', [0.01, 50, 0.01]),
    ...place<PartOf<'sphere'>>('centre', 'xyz', 'Middle'),
    toggle('Seen from inside', 'inward'),
    material('Material', 'material'),
  ]),
  railing: forParts<'railing'>([
    size('Height', 'heightM', 0.1, 4),
    size('Bar spacing', 'barSpacingM', 0.03, 2),
    size('Bar', 'barM', 0.005, 0.2, 0.001),
    size('Post spacing', 'postSpacingM', 0.2, 10),
    size('Post', 'postM', 0.01, 0.5, 0.005),
    number('Foot, level', 'baseM', 'm', [-20, 40, 0.01]),
    ...place<PartOf<'railing'>>('from', 'xz', 'Start'),
    ...place<PartOf<'railing'>>('to', 'xz', 'End'),
    material('Material', 'material'),
  ]),
  hood: forParts<'hood'>([
    size('Width', 'widthM', 0.1, 20),
    size('Depth', 'depthM', 0.1, 10),
    size('Thickness', 'thicknessM', 0.02, 1),
    ...place<PartOf<'hood'>>('at', 'xyz', 'Back edge'),
    bearing('Projects toward'),
    toggle('Brackets', 'brackets'),
    material('Material', 'material'),
  ]),
  tub: forParts<'tub'>([
    size('Height', 'heightM', 0.05, 3),
    size('Width at top', 'topWidthM', 0.05, 5),
    size('Width at foot', 'footWidthM', 0.05, 5),
    ...place<PartOf<'tub'>>('at', 'xyz', 'Foot'),
    material('Material', 'material'),
  ]),
  duct: forParts<'duct'>([
    number('Diameter', 'diameterM', 'm', [0.01, 0.5, 0.005]),
    ...place<PartOf<'duct'>>('from', 'xyz', 'Start'),
    ...place<PartOf<'duct'>>('to', 'xyz', 'End'),
  ]),
  bar: forParts<'bar'>([size('Width', 'widthM', 0.005, 1, 0.005), material('Material', 'material')]),
};

export const NAME_FIELD = text<PartRecord>('Name', 'name');

/** Level distance from wall to ridge, metres: half the span that the ridge does not run along; pitch = rise ÷ this. */
export function roofRunM(roof: PartOf<'roof'>): number {
  const [x, z] = roof.sizeM;
  const span = roof.form === 'gable' ? (roof.ridgeAlong === 'x' ? z : x) : Math.min(x, z);
  return span / 2;
}

/** Kinds that can be added, by the word on their button. */
export const ADDERS = [
  ['wall', 'wall'],
  ['roof', 'roof'],
  ['gable', 'gable roof'],
  ['column', 'column'],
  ['steps', 'steps'],
  ['railing', 'railing'],
  ['hood', 'hood'],
  ['box', 'box'],
  ['tub', 'tub'],
] as const;
export type Adder = (typeof ADDERS)[number][0];

/**
 * A new part of common size, every dimension marked guessed, to be typed into shape: a door's width, a stair's riser, a
 * man-high wall. It stands at `at` on the ground; a roof covers a rectangle of 8 m × 6 m there.
 */
export function newPart(adder: Adder, id: string, name: string, at: readonly [number, number, number]): PartRecord {
  const [x, y, z] = at;
  const base = { id, name };
  const guessed = (...fields: string[]) => ({
    known: Object.fromEntries(fields.map((f) => [f, { how: 'guessed' as const, plusMinusShare: 0.2 }])),
  });
  switch (adder) {
    case 'wall':
      return {
        ...base,
        ...guessed('heightM', 'thicknessM'),
        kind: 'wall',
        from: [x, z],
        to: [x + 4, z],
        baseM: y,
        heightM: 2,
        thicknessM: 0.22,
        material: 'brickOld',
        freeStanding: true,
        openings: [],
        courses: [],
      };
    case 'roof':
    case 'gable':
      return {
        ...base,
        kind: 'roof',
        form: adder === 'gable' ? 'gable' : 'hip',
        centre: [x, z],
        sizeM: [8, 6],
        bearingDeg: 0,
        eavesM: y + 2.6,
        ridgeM: y + 4.8,
        ridgeAlong: 'x',
        overhangM: 0.3,
        material: 'slate',
        soffitMaterial: 'paintedTimberWhite',
        ...(adder === 'gable' ? { gableMaterial: 'brickOld' } : {}),
      };
    case 'column':
      return {
        ...base,
        ...guessed('heightM', 'widthM'),
        kind: 'column',
        at: [x, y, z],
        heightM: 2.4,
        widthM: 0.3,
        section: 'square',
        material: 'limestone',
      };
    case 'steps':
      return {
        ...base,
        ...guessed('riserM', 'treadM', 'widthM'),
        kind: 'steps',
        at: [x, y, z],
        bearingDeg: 0,
        widthM: 1.4,
        riserM: 0.16,
        treadM: 0.3,
        count: 3,
        material: 'limestone',
      };
    case 'railing':
      return {
        ...base,
        ...guessed('heightM', 'barSpacingM', 'postSpacingM'),
        kind: 'railing',
        from: [x, z],
        to: [x + 3, z],
        baseM: y,
        heightM: 1,
        barSpacingM: 0.12,
        barM: 0.016,
        postSpacingM: 2,
        postM: 0.04,
        material: 'ironBlack',
      };
    case 'hood':
      return {
        ...base,
        ...guessed('widthM', 'depthM', 'thicknessM'),
        kind: 'hood',
        at: [x, y + 2.4, z],
        bearingDeg: 180,
        widthM: 1.6,
        depthM: 0.8,
        thicknessM: 0.12,
        brackets: true,
        material: 'paintedTimberWhite',
      };
    case 'box':
      return {
        ...base,
        kind: 'box',
        centre: [x, y + 0.25, z],
        sizeM: [1, 0.5, 0.5],
        bearingDeg: 0,
        inward: false,
        material: 'limestone',
      };
    case 'tub':
      return {
        ...base,
        ...guessed('heightM', 'topWidthM', 'footWidthM'),
        kind: 'tub',
        at: [x, y, z],
        heightM: 0.45,
        topWidthM: 0.5,
        footWidthM: 0.38,
        material: 'limestone',
      };
  }
}
