import type { Surroundings } from '../exposure/index.ts';
import type { Conditions } from '../lights/index.ts';
import type { CameraPose, FixtureRecord, LampRecord, Vec3 } from '../scene/index.ts';
import type { LightClient } from '../worker/index.ts';
import type { MapSettings } from './post/eye.ts';
import type { Survey } from './survey.ts';

export interface NightPictureProps {
  client: LightClient;
  camera: CameraPose;
  ev100: number;
  conditions: Conditions;
  /** How bright the place is at night; suburb unless given. */
  surroundings?: Surroundings;
  /** Lamps shown as openings: true size and luminance. Empty weights are dark. */
  lights: { fixture: FixtureRecord; lamp: LampRecord; weight: number }[];
  falseColour: 'off' | 'lux' | 'luminance';
  markClipped: boolean;
  /** How the map is drawn; plain unless given. */
  map?: MapSettings;
  /** The look is that of an eye used to this luminance, cd/m²; a camera's at `ev100` unless given. */
  adaptedCdM2?: number;
  /** After each drawn frame: picture share at the white limit. */
  onDrawn?: (info: { clippedShare: number; width: number; height: number }) => void;
  /** WebGL missing or lost, with the sentence to show; undefined when back. */
  onTrouble?: (sentence: string | undefined) => void;
}

/** Ref handle of the picture component. */
export interface NightPictureHandle {
  /** World point → CSS pixels from the picture's top left; `inFront` false when behind the eye. */
  project(point: Vec3): { xPx: number; yPx: number; inFront: boolean };
  /** CSS pixels → world ray. */
  ray(xPx: number, yPx: number): { from: Vec3; direction: Vec3 };
  /** Draws the current picture at a size of its own and returns the PNG bytes (no caption). */
  png(width: number, height: number): Promise<Uint8Array>;
  /** Lux or cd/m² (lenses left out) as this camera sees them, on a grid `width` samples wide. */
  survey(output: 'lux' | 'luminance', width: number): Promise<Survey>;
  canvas(): HTMLCanvasElement | null;
  /** Times frames of the picture now shown against stock three.js; blocks the page for a while. */
  benchFrames(): Promise<FrameTimes>;
}

/** Milliseconds of single frames. */
export interface FrameTimes {
  ours: number[];
  stock: number[];
  stockShadowed: number[];
}
