import type { Conditions } from '../lights/index.ts';
import type { SchemeChange } from '../review/index.ts';
import type { CameraPose, FixtureRecord, PropertyDocument, SchemeRecord, Vec3 } from '../scene/index.ts';

export type MarginList = 'property' | 'lights' | 'wiring' | 'review' | 'compare' | 'sheets';
export type Selection =
  | { kind: 'none' }
  | { kind: 'lights'; ids: string[] }
  | { kind: 'finding'; id: string }
  | { kind: 'part'; id: string };

/** How one false-colour map is looked at: its range moved by whole bands, and the only band shown, if one is. */
export interface MapRange {
  shift: number;
  only: number | undefined;
}

/** Session state outside undo: what is looked at, not what is built. */
export interface SessionState {
  schemeId: string;
  /** False shows "before": the scheme's own lamps off. */
  after: boolean;
  viewpointId: string | undefined;
  camera: CameraPose;
  conditions: Conditions;
  /** EV of the picture; starts at the property's own. `held` or set once from a picture. */
  ev100: number;
  evNote: string;
  list: MarginList;
  selection: Selection;
  falseColour: 'off' | 'lux' | 'luminance';
  maps: Record<'lux' | 'luminance', MapRange>;
  markClipped: boolean;
  /** The picture looks as to an eye used to this luminance, cd/m²; undefined: as to a camera. Look only. */
  adaptedCdM2: number | undefined;
  tags: 'off' | 'selected' | 'all';
  lengthSystem: 'metric' | 'feetInches';
  lightUnit: 'lx' | 'fc';
  /** Present while a remedy is on trial: Keep or Take back. */
  trial: { text: string; findingId: string } | undefined;
}

export interface EditorState {
  document: PropertyDocument;
  session: SessionState;
  /** Names of the next undo and redo step, e.g. "move light 3". */
  undoLabel: string | undefined;
  redoLabel: string | undefined;
  /** Counts every change of the document. */
  revision: number;
}

/** Headless editor over a zustand vanilla store; every change is one undo step named in words. */
export interface Editor {
  readonly store: import('zustand/vanilla').StoreApi<EditorState>;
  /** One named step; `change` returns the next document and never mutates. */
  edit(label: string, change: (document: PropertyDocument) => PropertyDocument): void;
  /**
   * Drags: begin, then any number of `preview`, then `commit` (one step) or `cancel` (exactly as before). Each preview's
   * change gets the document as it was when the gesture began.
   */
  beginGesture(label: string): void;
  preview(change: (document: PropertyDocument) => PropertyDocument): void;
  commitGesture(): void;
  cancelGesture(): void;
  undo(): void;
  redo(): void;
  session(patch: Partial<SessionState>): void;
  replaceDocument(document: PropertyDocument, schemeId?: string): void;

  scheme(): SchemeRecord;
  putFixture(label: string, fixture: FixtureRecord): void;
  removeFixtures(ids: readonly string[]): void;
  /** New light at a place aimed at a point; joins the nearest run by a length marked guessed, or stays not wired. */
  addLight(at: Vec3, aim: Vec3, options?: Partial<FixtureRecord>): FixtureRecord;
  /** Copies of a light at other places, tilt and bearing carried along, each joining the nearest run; one step. */
  copyAlong(id: string, places: readonly Vec3[]): FixtureRecord[];
  /** One step over several lights; with more than one, locked places, aims and lamps stay. */
  editLights(
    label: string,
    ids: readonly string[],
    change: (fixture: FixtureRecord, document: PropertyDocument) => FixtureRecord,
  ): void;
  applySchemeChange(label: string, change: SchemeChange): void;
  /** Trial of a remedy: applied, shown, then kept as one step or taken back. */
  beginTrial(text: string, findingId: string, change: SchemeChange): void;
  keepTrial(): void;
  takeBackTrial(): void;
}
