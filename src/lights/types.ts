import type { SkyConditions, Surroundings } from '../exposure/index.ts';
import type { FixtureRecord, LampRecord, Vec3 } from '../scene/index.ts';
import type { SceneModel } from '../scene/index.ts';

export type Rgb = readonly [number, number, number];

/** Samples a tile side; its outer ring is the border shared with its neighbours, so a tile covers 30 cells. */
export const TILE_SAMPLES = 32;
export const TILE_CELLS = 30;

/**
 * One square of samples on a face. Sample (i, j), 0…31, sits at
 * s = s0M + (i − 0.5)·cellM, t = t0M + (j − 0.5)·cellM on its face; i, j = 0 and 31 are the border ring.
 * The tile covers [s0M, s0M + 30·cellM] × [t0M, t0M + 30·cellM].
 */
export interface TileRef {
  /** Stable: `faceId#level/i/j`. */
  id: string;
  /** Place in the atlas; column = slot % atlasColumns. */
  slot: number;
  face: number;
  level: number;
  cellM: number;
  s0M: number;
  t0M: number;
  /** Beams graze it from two sides: it has a second light vector (`LightField.second`). */
  isCrossed?: boolean;
}

/** Light of the sky, the moon and the hour (sun −6° for the opening picture, −12° for judging); the same for before and after. */
export interface Conditions extends SkyConditions {
  /**
   * `bare`: no leaf of any plant, a re-weighting for closed forms and textbook crowns. A property in winter is grown so (its
   * season), where evergreens keep their leaves; command line and page do that.
   */
  leaves: 'on' | 'bare';
  /** Wet paving mirrors and darkens: display only, no light of the field changes. Dry unless said. */
  paving?: 'dry' | 'wet' | undefined;
}

/** A fixture with its lamp resolved and its weights worked out. */
export interface Source {
  id: string;
  fixture: FixtureRecord;
  lamp: LampRecord;
  /** dim × on × dirt (dirt 1 when judged on the first night). */
  weight: number;
  existing: boolean;
}

/** Light at one point, from the field or from rays of its own. */
export interface PointLight {
  /** Illuminance, lux (photopic = luminance-weighted RGB). */
  totalLx: number;
  directLx: number;
  bouncedLx: number;
  skyLx: number;
  windowsLx: number;
  bySource: { id: string; directLx: number; bouncedLx: number }[];
}

/** What an eye receives from one source. */
export interface EyeLight {
  id: string;
  /** Normal to the ray: I·T/(d²+r²), weight included. */
  eyeIlluminanceLx: number;
  angleFromGazeDeg: number;
  transmittance: number;
  luminanceCdM2: number;
}

/** First thing a ray meets. */
export interface Hit {
  distanceM: number;
  at: Vec3;
  normal: Vec3;
  /** −1: a strand or the sky side of something unsampled. */
  face: number;
  s: number;
  t: number;
  /** Index in `scene.materials`. */
  material: number;
  partId: string;
}

/** Summed light of the scheme, in three parts kept apart, plus cards and strand rings. Linear RGB lux. */
export interface LightField {
  tiles: TileRef[];
  /** Slots in use may have gaps; arrays are indexed slot·1024 + j·32 + i, three numbers each. */
  slots: number;
  directRgb: Float32Array;
  /** Σ E⊥·ω of direct light (luminance-weighted lux) in the face frame (along u, along v, along normal). */
  vector: Float32Array;
  /**
   * Of crossed tiles, by slot: the part of `vector` that comes from the second side, 3 × 1024
   * numbers. Relief answers the two parts apart.
   */
  second: Map<number, Float32Array>;
  indirectRgb: Float32Array;
  /** 1 where the sample lies on the face and is not hidden. */
  valid: Uint8Array;
  /** Per card, plants in order: light on the side of its normal and on the other side, lux RGB; 6 numbers each. */
  cards: Float32Array;
  /**
   * Per strand ring vertex, strands in order (ring-major, `sides` per ring): illuminance RGB there; 3 numbers each.
   */
  strandRgb: Float32Array;
}

export interface SolveStats {
  sources: number;
  tiles: number;
  /** Tiles left coarser than their light asks for, because the tile budget was used up where eyes come nearer. */
  tilesLeftCoarse: number;
  samples: number;
  rays: number;
  bytes: number;
  droppedFluxLm: number;
  directMs: number;
  bounceMs: number;
  mixMs: number;
}

/** What one lamp sees of the tiles and leaves it can light, worked out elsewhere; two buffers, to be handed over. */
export interface LampSight {
  placeKey: string;
  tiles: Int32Array<ArrayBuffer>;
  groups: Int32Array<ArrayBuffer>;
  numbers: Float32Array<ArrayBuffer>;
  /** Rays it took. */
  rays: number;
}

/** A lamp to look from. */
export interface SightJob {
  source: Source;
  leavesOn: boolean;
}

/** Others that look for the solver, one lamp at a time. Whatever does not come back is worked out by the solver itself. */
export interface LampHelpers {
  /** Hands a lamp over; false when all have enough to do. */
  ask(scene: SceneModel, job: SightJob): boolean;
  /** Sights that came back since asked last; undefined for a lamp that nobody will look from any more. */
  take(): { sourceId: string; sight: LampSight | undefined }[];
}

/** One pause of a solve. */
export interface SolveStep {
  stage: SolveStage;
  done: number;
  of: number;
  /** Nothing to do until a helper answers. */
  waiting?: true;
}

export type SolveStage = 'direct' | 'edges' | 'bounced' | 'settled';

/**
 * The light of one property. Built once per massing; keeps every layer it made, keyed by what it was made from.
 * Pure: runs in Node and in a worker alike.
 */
export interface LightModel {
  readonly scene: SceneModel;
  readonly field: LightField;
  readonly stats: SolveStats;
  /**
   * Takes over an edited massing of the same property: what nothing swept touches is kept, the rest stays as it was in the
   * field until `solve` has made it anew. Traces nothing. `field.tiles` is a new list; slots of kept tiles keep their light.
   * @returns slots of tiles that stand where none stood, dark as yet.
   */
  adoptScene(scene: SceneModel, surroundings?: Surroundings): number[];
  /** Sources and conditions to show from now on; nothing is computed yet. Cheap when only weights changed. */
  setSources(sources: Source[], conditions: Conditions): void;
  /**
   * Computes what is missing, yielding between tiles so that a newer change can overtake. Ends when settled. With helpers,
   * new lamps are looked from elsewhere too: where a step says `waiting`, let messages arrive before the next. Without
   * helpers nothing waits.
   */
  solve(helpers?: LampHelpers): Generator<SolveStep, void, void>;
  /** Runs `solve` to the end. */
  solveAll(): void;
  /** Slots whose samples changed since the last call; also whether cards and strands did. */
  takeDirty(): { slots: number[]; cards: boolean; strands: boolean };

  /** Nearest opaque surface along a ray (direction need not be unit). */
  cast(from: Vec3, direction: Vec3, maxM?: number): Hit | undefined;
  /** Hard visibility × mean leaf transmittance between two points, 0…1. */
  transmittance(from: Vec3, to: Vec3): number;
  /** Field at a place of a face, interpolated from the samples. RGB lux of direct and indirect. */
  sampleField(face: number, s: number, t: number): { directRgb: Rgb; indirectRgb: Rgb; luminanceCdM2: number } | undefined;
  /** One source's own direct lux at a place of the field (its layer × its weight). */
  sampleLayer(sourceId: string, face: number, s: number, t: number): number;
  /** Luminance of what a ray meets: surface, crown on the way, lit pane or sky. */
  luminanceAlong(from: Vec3, direction: Vec3): { luminanceCdM2: number; hit: Hit | undefined };
  /** By rays of its own, never the atlas. `only`: source ids. Sky and windows only when asked. */
  exactAt(at: Vec3, normal: Vec3, options?: { only?: readonly string[]; sky?: boolean }): PointLight;
  /** Light at an eye from each source, exact rays. `gaze` need not be unit. `only`: source ids. */
  eyeLight(at: Vec3, gaze: Vec3, only?: readonly string[]): EyeLight[];
  /** Flux balance of one source: lumens that land on walls, ground, leaves, and leave for the sky. */
  fluxOf(sourceId: string): {
    emittedLm: number;
    surfacesLm: number;
    leavesLm: number;
    skyLm: number;
    nearLostLm: number;
  };
}
