import type { Conditions, Hit, PointLight, SolveStage, SolveStats, TileRef } from '../lights/index.ts';
import type { PowerResult } from '../power/index.ts';
import type { DazzleArea, Finding, Remedy } from '../review/index.ts';
import type { PropertyDocument, SceneModel, Vec3 } from '../scene/index.ts';

/** What the page asks the property worker to show. Newest wins; stale replies are dropped by revision. */
export interface ShowRequest {
  revision: number;
  document: PropertyDocument;
  schemeId: string;
  /** Off for "before": the scheme's own lamps at zero weight. */
  after: boolean;
  conditions: Conditions;
  /** False: light only, no findings (a picture for the command line). */
  judge?: boolean;
}

/** Samples of some atlas slots as half floats, RGBA a sample (32×32 a slot), ready for texture upload. */
export interface FieldUpdate {
  revision: number;
  stage: SolveStage;
  /** All tiles now in use, when the set changed. */
  tiles?: TileRef[];
  slots: number[];
  /** With a new massing of the same property: slots that are not listed keep what they hold. */
  kept?: boolean;
  /** slots.length × 1024 × 4: direct RGB, A = x of the light vector in the face frame. Its z is the luminance of direct: V·n = E. */
  direct: Uint16Array;
  /** slots.length × 1024 × 4: indirect RGB, A = y of the light vector. */
  indirect: Uint16Array;
  /** slots.length × 32: a row of samples a number, bit i set where sample i lies on the face and is free. */
  valid: Uint32Array;
  /** Slots of crossed tiles among `slots`, and their second light vectors, × 1024 × 4, A unused. */
  crossed?: { slots: number[]; vector: Uint16Array };
  /** Cards: two RGBA half texels each (front, back), when changed. */
  cards?: Uint16Array;
  /** Strand ring vertices: RGBA half each, when changed. */
  strands?: Uint16Array;
}

export interface PlaceReading {
  hit: Hit;
  light: PointLight;
  luminanceCdM2: number;
  materialLabel: string;
  /** Height above the ground below it, metres. */
  aboveGroundM: number;
  clipped: boolean;
}

/** Everything beside the picture, for one revision. */
export interface JudgedState {
  revision: number;
  findings: Finding[];
  power: PowerResult;
  powerAt175: PowerResult;
}

export type WorkerEvent =
  | { type: 'scene'; revision: number; scene: SceneModel }
  | { type: 'field'; update: FieldUpdate }
  | { type: 'progress'; revision: number; text: string }
  | { type: 'settled'; revision: number; stats: SolveStats }
  | { type: 'judged'; state: JudgedState }
  | { type: 'failed'; revision: number; message: string; during: string };

/** The page's handle on the worker; `createLightClient()` in `src/worker/client.ts`. */
export interface LightClient {
  show(request: ShowRequest): void;
  onEvent(listener: (event: WorkerEvent) => void): () => void;
  /** Reading at a point of a surface, exact rays, sources and conditions of the last request. */
  read(at: Vec3, normal: Vec3): Promise<PlaceReading | undefined>;
  /** First surface along a ray, with its reading. */
  readAlong(from: Vec3, direction: Vec3): Promise<PlaceReading | undefined>;
  /** A remedy for a finding of the last judged state, tried before it is offered; undefined where nothing helps. */
  findRemedy(finding: Finding): Promise<Remedy | undefined>;
  /** Ground from which one light of the shown scheme dazzles; undefined where it is off or unknown. */
  findDazzle(lightId: string): Promise<DazzleArea | undefined>;
  close(): void;
}
