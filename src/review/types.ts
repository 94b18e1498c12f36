import type { LightModel } from '../lights/index.ts';
import type { PowerResult } from '../power/index.ts';
import type { FixtureRecord, PropertyDocument, RunRecord, TransformerRecord, Vec3 } from '../scene/index.ts';

export type Severity = 'note' | 'warn' | 'stop';
export type FindingKind =
  | 'hotSpot'
  | 'clippedPicture'
  | 'darkGap'
  | 'darkSide'
  | 'weakOnTarget'
  | 'strongOnTarget'
  | 'blockedLens'
  | 'seatGlare'
  | 'veil'
  | 'windowLight'
  | 'skyLoss'
  | 'stepDark'
  | 'waterZone'
  | 'hotNearMulch'
  | 'transformerLoad'
  | 'cableCurrent'
  | 'circuitCurrent'
  | 'noProtection'
  | 'lowVolts'
  | 'highVolts'
  | 'mayNotStart'
  | 'openQuestion';

export interface Finding {
  /** kind + subjects, so that letters last. */
  id: string;
  kind: FindingKind;
  /** The table's label, e.g. "Hot spot". */
  label: string;
  severity: Severity;
  /** Ids of what it is about, joined by " × " (e.g. `L4 × front/outer`). */
  subject: string;
  at: Vec3;
  viewpoint?: string;
  value: number;
  limit: number;
  unit: string;
  /** One sentence: what, where, how much, against which figure. */
  message: string;
  why: string;
  remedy?: Remedy;
  basis: string;
  assumptions: string[];
  putOff?: string;
}

/** Tried on the field or the cable solve before it is offered. */
export interface Remedy {
  /** "Move back to 0.60 m" */
  text: string;
  /** Change to the scheme, applied as one undo step. */
  change: SchemeChange;
  before: number;
  after: number;
  unit: string;
  /** Findings (kind × subject) the change brings with it, if any. */
  brings: string[];
}

/** A change to one scheme as data: whole records put in or taken out, by id. */
export interface SchemeChange {
  fixtures?: { put?: FixtureRecord[]; remove?: string[] };
  runs?: { put?: RunRecord[]; remove?: string[] };
  transformers?: { put?: TransformerRecord[]; remove?: string[] };
}

/**
 * What a review needs. `model` is the light of this document's massing; the review sets its sources and conditions
 * (judging night, lenses clean, then dirty) and leaves them so: who shows the field sets its own again afterwards.
 */
export interface ReviewInput {
  document: PropertyDocument;
  schemeId: string;
  model: LightModel;
  power: PowerResult;
  powerAt175: PowerResult;
}
