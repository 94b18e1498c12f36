import { BRICK, COURSE_M, englishUnit, FLEMISH_PITCH_M, flemishUnit, runningUnit, stackUnit } from './bonds.ts';
import { type ReliefRecipe, WITHOUT_UNITS } from './recipe.ts';
import { type Laying, laidUnits, laps, roughFace, rubbleWall } from './shapes.ts';

const laidBrick =
  (unit: Laying['unit'], columns: number, recessM: number, wobbleM: number, arrisM = 0.003) =>
  (n: number) =>
    laidUnits(n, 0.675, 0.6, {
      unit,
      columns,
      courses: 8,
      recessM,
      arrisM,
      protrudeM: 0.0008,
      tiltAcross: 0.007,
      tiltAlong: 0.003,
      rough: [
        [0.0004, 0.022],
        [0.00019, 0.006],
        [0.00008, 0.0028],
      ],
      wobbleM,
    });

/** One square slab a repeat, neither proud nor tilted against its neighbours. */
const slab = (sideM: number, jointM: number, arrisM: number, wobbleM: number, rough: Laying['rough']) => (n: number) =>
  laidUnits(n, sideM, sideM, {
    unit: (s, t) => stackUnit(s, t, sideM, sideM, jointM),
    ...{ columns: 1, courses: 1, recessM: 0.003, protrudeM: 0, tiltAcross: 0, tiltAlong: 0 },
    arrisM,
    rough,
    wobbleM,
  });

/** Boards of lap siding, 12 ft. */
const BOARD_M = 3.66;

/** Bays of cast concrete between tooled joints, 5 ft. */
const CAST_M = 1.524;

/** Reliefs of walls and bark. Depths and amplitudes are our own, tuned by eye under a graze. */
export const wallReliefs: readonly ReliefRecipe[] = [
  {
    name: 'brick',
    widthM: 0.675,
    heightM: 0.6,
    bond: 'flemish',
    pitchSM: FLEMISH_PITCH_M,
    pitchTM: COURSE_M,
    ratioLimit: 5,
    unitSpread: 1,
    shape: laidBrick(flemishUnit, 4, 0.0038, 0.0006),
  },
  {
    name: 'brickEnglish',
    widthM: 0.675,
    heightM: 0.6,
    bond: 'english',
    pitchSM: BRICK.stretcherM + BRICK.jointM,
    pitchTM: COURSE_M,
    ratioLimit: 5,
    unitSpread: 1,
    shape: laidBrick(englishUnit, 6, 0.004, 0.0008),
  },
  {
    name: 'brickRunning',
    widthM: 0.675,
    heightM: 0.6,
    bond: 'running',
    pitchSM: BRICK.stretcherM + BRICK.jointM,
    pitchTM: COURSE_M,
    ratioLimit: 5,
    unitSpread: 1,
    shape: laidBrick((s, t) => runningUnit(s, t, 0.225, COURSE_M, BRICK.jointM), 3, 0.0042, 0.0009),
  },
  {
    name: 'brickWorn',
    widthM: 0.675,
    heightM: 0.6,
    bond: 'flemish',
    pitchSM: FLEMISH_PITCH_M,
    pitchTM: COURSE_M,
    ratioLimit: 5,
    unitSpread: 1,
    shape: laidBrick(flemishUnit, 4, 0.005, 0.0014, 0.0055),
  },
  {
    name: 'ashlar',
    widthM: 1.2,
    heightM: 1.2,
    bond: 'running',
    pitchSM: 0.6,
    pitchTM: 0.3,
    ratioLimit: 4,
    unitSpread: 0.35,
    shape: (n) =>
      laidUnits(n, 1.2, 1.2, {
        unit: (s, t) => runningUnit(s, t, 0.6, 0.3, 0.007),
        columns: 2,
        courses: 4,
        recessM: 0.004,
        arrisM: 0.005,
        protrudeM: 0.0006,
        tiltAcross: 0.002,
        tiltAlong: 0.001,
        rough: [
          [0.0004, 0.09],
          [0.0003, 0.02],
          [0.00012, 0.007],
        ],
        wobbleM: 0.0008,
      }),
  },
  {
    name: 'rubble',
    widthM: 2.1,
    heightM: 2.1,
    ...WITHOUT_UNITS,
    ratioLimit: 4,
    shape: (n) => rubbleWall(n, 2.1, 2.1, [0.26, 0.15], 0.008),
  },
  {
    name: 'stucco',
    widthM: 0.7,
    heightM: 0.7,
    ...WITHOUT_UNITS,
    ratioLimit: 4,
    shape: (n) =>
      roughFace(n, 0.7, [
        [0.0011, 0.23, 0.23],
        [0.0006, 0.035, 0.03],
        [0.00055, 0.011, 0.011],
        [0.00015, 0.004, 0.004],
      ]),
  },
  {
    name: 'sidingFine',
    widthM: 0.635,
    heightM: 0.635,
    bond: 'boards',
    pitchSM: BOARD_M,
    pitchTM: 0.127,
    unitSpread: 0.15,
    ratioLimit: 7,
    shape: (n) => laps(n, 0.635, 0.635, { pitchS: 0, pitchT: 0.127, depthM: 0.011, roughM: 0.0001 }),
  },
  {
    name: 'boards',
    widthM: 1.2,
    heightM: 1.2,
    bond: 'boards',
    pitchSM: 0.15,
    pitchTM: 3,
    ratioLimit: 4,
    unitSpread: 0.7,
    shape: (n) =>
      laidUnits(n, 1.2, 1.2, {
        unit: (s) => stackUnit(s, 1.5, 0.15, 3, 0.01),
        columns: 8,
        courses: 1,
        recessM: 0.01,
        arrisM: 0.004,
        protrudeM: 0.0008,
        tiltAcross: 0,
        tiltAlong: 0.006,
        rough: [
          [0.0004, 0.03, 0.6],
          [0.00025, 0.008, 0.3],
          [0.00012, 0.004, 0.05],
        ],
        wobbleM: 0.0003,
        grain: [0.45, 0.009, 0.7],
      }),
  },
  {
    name: 'mosaic',
    widthM: 0.6,
    heightM: 0.6,
    bond: 'stack',
    pitchSM: 0.05,
    pitchTM: 0.05,
    ratioLimit: 4,
    unitSpread: 0.4,
    shape: (n) =>
      laidUnits(n, 0.6, 0.6, {
        unit: (s, t) => stackUnit(s, t, 0.05, 0.05, 0.003),
        columns: 12,
        courses: 12,
        recessM: 0.001,
        arrisM: 0.002,
        protrudeM: 0.0002,
        tiltAcross: 0.004,
        tiltAlong: 0.004,
        rough: [[0.00003, 0.02]],
        wobbleM: 0.0002,
      }),
  },
  {
    name: 'dressedStone',
    widthM: 0.5,
    heightM: 0.5,
    ...WITHOUT_UNITS,
    ratioLimit: 4,
    shape: (n) =>
      // Tooled with a broad chisel: strokes side by side.
      roughFace(n, 0.5, [
        [0.0003, 0.08, 0.07],
        [0.00026, 0.011, 0.06],
        [0.00014, 0.007, 0.02],
        [0.00007, 0.005, 0.005],
      ]),
  },
  {
    name: 'coping',
    widthM: 0.75,
    heightM: 0.75,
    bond: 'stack',
    pitchSM: 0.75,
    pitchTM: 0.75,
    ratioLimit: 4,
    unitSpread: 0.45,
    shape: slab(0.75, 0.008, 0.005, 0.0008, [
      [0.0003, 0.09],
      [0.0003, 0.013, 0.05],
      [0.00008, 0.005],
    ]),
  },
  {
    name: 'cast',
    widthM: CAST_M,
    heightM: CAST_M,
    bond: 'stack',
    pitchSM: CAST_M,
    pitchTM: CAST_M,
    ratioLimit: 3,
    unitSpread: 0.4,
    shape: slab(CAST_M, 0.009, 0.006, 0.0006, [
      [0.0004, 0.2],
      [0.00014, 0.025],
      [0.00008, 0.008],
    ]),
  },
  {
    name: 'render',
    widthM: 0.8,
    heightM: 0.8,
    ...WITHOUT_UNITS,
    ratioLimit: 4,
    shape: (n) =>
      roughFace(n, 0.8, [
        [0.0004, 0.2, 0.16],
        [0.00022, 0.03, 0.02],
        [0.00012, 0.006, 0.006],
      ]),
  },
  {
    name: 'siding',
    widthM: 0.6,
    heightM: 0.6,
    bond: 'boards',
    pitchSM: BOARD_M,
    pitchTM: 0.15,
    unitSpread: 0.15,
    ratioLimit: 7,
    shape: (n) => laps(n, 0.6, 0.6, { pitchS: 0, pitchT: 0.15, depthM: 0.012, roughM: 0.00012 }),
  },
  {
    name: 'bark',
    widthM: 0.4,
    heightM: 0.4,
    ...WITHOUT_UNITS,
    ratioLimit: 3,
    shape: (n) =>
      roughFace(n, 0.4, [
        [0.003, 0.03, 0.16],
        [0.0015, 0.012, 0.05],
        [0.0004, 0.006, 0.01],
      ]),
  },
];
