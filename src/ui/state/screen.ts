import type { Finding } from '../../review/index.ts';
import type { PropertyDocument, SceneModel, Vec3 } from '../../scene/index.ts';
import type { JudgedState } from '../../worker/index.ts';
import type { PhotometryNote } from './photometry.ts';

export type ScreenColours = 'dark' | 'paper' | 'red';
export type StripCell = 'load' | 'picture' | 'time' | 'exposure' | 'scheme';
export type Overlay = 'none' | 'help' | 'find' | 'start' | 'client' | 'history';

/** What the client compares with: the scheme's own lamps off, or another scheme. */
export type CompareWith = { kind: 'before' } | { kind: 'scheme'; schemeId: string };

/** Placing a light: waiting for the stand, then dragging toward the aim, or choosing a host by keys. */
export type PictureMode = 'rest' | 'add' | 'addByList';

export interface SaveState {
  kind: 'saving' | 'saved' | 'failed' | 'forgetful' | 'idle';
  text: string;
}

/** What the screen shows beside the document: preferences, worker replies, open panels. Never undone, never saved in a file. */
export interface ScreenState {
  colours: ScreenColours;
  dimPercent: number;
  textPercent: number;
  singleKeys: boolean;
  lessMotion: boolean;
  leftHand: boolean;
  marginPx: number;
  marginFolded: boolean;
  pane: 'picture' | 'plan' | 'both';
  phonePictureHeight: 180 | 292 | 560;

  scene: SceneModel | undefined;
  judged: JudgedState | undefined;
  /** Last judgement of each scheme that was shown lit, with the document it was made from. */
  results: Record<string, { document: PropertyDocument; judged: JudgedState }>;
  /** Counts what was asked of the worker; `settled` trails it. */
  requested: number;
  settled: number;
  stage: string;
  progress: string | undefined;
  /** Under 200 ms nothing is said. */
  slow: boolean;
  failed: { during: string; message: string } | undefined;
  drawn: number;
  drawnRevision: number;
  clippedShare: number;
  pictureTrouble: string | undefined;

  mode: PictureMode;
  openCell: StripCell | undefined;
  overlay: Overlay;
  tourStep: number | undefined;
  /** `H` held: the other side shows. */
  held: boolean;
  compare: 'off' | 'wipe' | 'side';
  compareWith: CompareWith;
  wipePercent: number;
  crosshair: { xPx: number; yPx: number } | undefined;
  /** Line of sight to the place that *Explain this place* speaks of. */
  explain: { from: Vec3; direction: Vec3 } | undefined;
  photometry: PhotometryNote | undefined;
  /** The one light shown alone while its bar is pointed at. */
  solo: string | undefined;
  /** The light whose dazzled ground is hatched. */
  dazzleLight: string | undefined;
  /** Lamps come on and go off at their zones' hours, as the clock of the picture says; findings wait. */
  byHours: boolean;
  /** Where to return to after *Show me* set the judging night. */
  showMeReturn: (() => void) | undefined;
  free: boolean;

  letters: Record<string, string>;
  /** Findings as they were when a remedy went on trial: both counts are shown until Keep or Take back. */
  beforeTrial: Finding[] | undefined;
  save: SaveState;
  messages: { at: string; text: string }[];
  polite: string;
  assertive: string;
  fileTrouble: { title: string; text: string; fileName: string; bytes: Blob } | undefined;
  hoursPerNight: number;
  pricePerKwh: number | undefined;
  drawFactor: number;
}

export const OPENING_SCREEN: ScreenState = {
  colours: 'dark',
  dimPercent: 100,
  textPercent: 100,
  singleKeys: true,
  lessMotion: false,
  leftHand: false,
  marginPx: 376,
  marginFolded: false,
  pane: 'picture',
  phonePictureHeight: 292,
  scene: undefined,
  judged: undefined,
  results: {},
  requested: 0,
  settled: 0,
  stage: 'starting',
  progress: undefined,
  slow: false,
  failed: undefined,
  drawn: 0,
  drawnRevision: 0,
  clippedShare: 0,
  pictureTrouble: undefined,
  mode: 'rest',
  openCell: undefined,
  overlay: 'none',
  tourStep: undefined,
  held: false,
  compare: 'off',
  compareWith: { kind: 'before' },
  wipePercent: 50,
  crosshair: undefined,
  explain: undefined,
  photometry: undefined,
  solo: undefined,
  byHours: false,
  dazzleLight: undefined,
  showMeReturn: undefined,
  free: false,
  letters: {},
  beforeTrial: undefined,
  save: { kind: 'idle', text: 'Not changed' },
  messages: [],
  polite: '',
  assertive: '',
  fileTrouble: undefined,
  hoursPerNight: 5,
  pricePerKwh: undefined,
  drawFactor: 1.75,
};
