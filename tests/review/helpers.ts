import { createLightModel, type LightModel } from '../../src/lights/index.ts';
import { solvePower } from '../../src/power/index.ts';
import { createContext } from '../../src/review/context.ts';
import type { Finding, FindingKind, ReviewInput } from '../../src/review/index.ts';
import { KINDS } from '../../src/review/kinds/index.ts';
import { judgeAll, nightSteps, runToEnd } from '../../src/review/review.ts';
import { type PropertyDocument, propertyRecord, type SceneModel, type Vec3 } from '../../src/scene/index.ts';

export interface TestLamp {
  id: string;
  fluxLm?: number;
  beamAngleFullDeg?: number;
  powerW?: number;
  powerFactor?: number;
  electrical?: 'constantPower' | 'resistive';
  lowestV?: number;
  startV?: number;
  highestV?: number;
}

export const lamp = (given: TestLamp) => {
  const { fluxLm = 450, beamAngleFullDeg = 24, ...rest } = given;
  return {
    name: given.id,
    distribution: { kind: 'model', fluxLm, beamAngleFullDeg, spillShare: 0 },
    cctK: 2700,
    powerW: 5.5,
    powerFactor: 1,
    lowestV: 9,
    startV: 10.5,
    highestV: 15,
    lensRadiusM: 0,
    ...rest,
  };
};

/** A textbook property with one scheme `s`; spill 0, dirt 1, no slack. */
export function property(parts: {
  site?: object;
  scheme?: object;
  lamps?: TestLamp[];
  [key: string]: unknown;
}): PropertyDocument {
  const { site = {}, scheme = {}, lamps = [{ id: 'lamp' }], ...rest } = parts;
  return propertyRecord.parse({
    format: 'gloaming-property',
    version: 1,
    name: 'Textbook',
    site,
    catalogue: { lamps: lamps.map(lamp) },
    schemes: [{ id: 's', name: 'S', ...scheme }],
    ...rest,
  });
}

export const light = (id: string, at: Vec3, aim: Vec3, more: object = {}) => ({
  id,
  at,
  aim,
  lampId: 'lamp',
  leadLengthM: 0,
  dirtFactor: 1,
  ...more,
});

/** The solver with a quarter of its bounce rays: what is judged here lives by direct light; the demo properties judge with all. */
export const judgedModel = (scene: SceneModel): LightModel => createLightModel(scene, { bounceRays: 64 });

/** A model of a property with nothing built: every measure on it is empty. For kinds that need no light. */
export const noLight: LightModel = {
  scene: {
    faces: [],
    occluders: { count: 0, positionsM: new Float32Array(), face: new Int32Array(), part: new Int32Array(), partIds: [] },
    blocks: [],
    strands: [],
    plants: [],
    ellipsoids: [],
    panes: [],
    materials: [],
    boundsMin: [0, 0, 0],
    boundsMax: [0, 0, 0],
  },
  field: {
    tiles: [],
    slots: 0,
    directRgb: new Float32Array(),
    vector: new Float32Array(),
    second: new Map(),
    indirectRgb: new Float32Array(),
    valid: new Uint8Array(),
    cards: new Float32Array(),
    strandRgb: new Float32Array(),
  },
  stats: {
    sources: 0,
    tiles: 0,
    tilesLeftCoarse: 0,
    samples: 0,
    rays: 0,
    bytes: 0,
    droppedFluxLm: 0,
    directMs: 0,
    bounceMs: 0,
    mixMs: 0,
  },
  adoptScene: () => [],
  setSources: () => {},
  *solve() {},
  solveAll: () => {},
  takeDirty: () => ({ slots: [], cards: false, strands: false }),
  cast: () => undefined,
  transmittance: () => 1,
  sampleField: () => undefined,
  sampleLayer: () => 0,
  luminanceAlong: () => ({ luminanceCdM2: 0, hit: undefined }),
  exactAt: () => ({ totalLx: 0, directLx: 0, bouncedLx: 0, skyLx: 0, windowsLx: 0, bySource: [] }),
  eyeLight: () => [],
  fluxOf: () => ({ emittedLm: 0, surfacesLm: 0, leavesLm: 0, skyLm: 0, nearLostLm: 0 }),
};

export function input(document: PropertyDocument, model: LightModel = noLight): ReviewInput {
  return {
    document,
    schemeId: 's',
    model,
    power: solvePower(document, 's'),
    powerAt175: solvePower(document, 's', { drawFactor: 1.75 }),
  };
}

/** Findings of one kind alone: the same measures the review calls, without the others. */
export function findKind(given: ReviewInput, kind: FindingKind): Finding[] {
  const context = createContext(given);
  const entry = KINDS.find((one) => one.kind === kind)!;
  runToEnd(nightSteps(context, entry.night));
  return judgeAll(entry.measure(context), context);
}
