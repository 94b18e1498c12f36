import type { DazzleArea, Finding, Remedy } from '../review/index.ts';
import type { Vec3 } from '../scene/index.ts';
import type { PlaceReading, ShowRequest, WorkerEvent } from './types.ts';

/** Page → worker. */
export type WorkerRequest =
  | { type: 'show'; request: ShowRequest }
  | { type: 'read'; call: number; at: Vec3; normal: Vec3 }
  | { type: 'readAlong'; call: number; from: Vec3; direction: Vec3 }
  | { type: 'remedy'; call: number; finding: Finding }
  | { type: 'dazzle'; call: number; lightId: string };

/** Worker → page: events, and answers to numbered calls. */
export type WorkerReply =
  | WorkerEvent
  | { type: 'reading'; call: number; reading: PlaceReading | undefined }
  | { type: 'remedy'; call: number; remedy: Remedy | undefined }
  | { type: 'dazzle'; call: number; area: DazzleArea | undefined };
