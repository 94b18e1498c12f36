import type { Measure } from '../measure.ts';
import type { FindingKind } from '../types.ts';
import { measureClippedPicture } from './clipped.ts';
import { measureDarkGap } from './darkGap.ts';
import { measureDarkSide } from './darkSide.ts';
import { measureSeatGlare, measureVeil } from './eyes.ts';
import { measureHotSpot } from './hotSpot.ts';
import { measureBlockedLens, measureSkyLoss, measureStepDark } from './losses.ts';
import { measureHotNearMulch, measureOpenQuestion, measureWaterZone } from './places.ts';
import {
  measureCableCurrent,
  measureCircuitCurrent,
  measureHighVolts,
  measureLowVolts,
  measureMayNotStart,
  measureNoProtection,
  measureTransformerLoad,
} from './powerKinds.ts';
import { measureStrongOnTarget, measureWeakOnTarget } from './target.ts';
import { measureWindowLight } from './windowLight.ts';

/** With what light a kind is judged: none, lenses clean (the first night), or dirty. */
export type Night = 'none' | 'clean' | 'dirty';

export interface KindEntry {
  kind: FindingKind;
  night: Night;
  measure: Measure;
  /** Measured view by view, since each takes some tenths of a second. */
  byView?: boolean;
}

/** All kinds of the review, in the order they are measured: those that need no light first, one change of weights. */
export const KINDS: readonly KindEntry[] = [
  { kind: 'mayNotStart', night: 'none', measure: measureMayNotStart },
  { kind: 'lowVolts', night: 'none', measure: measureLowVolts },
  { kind: 'highVolts', night: 'none', measure: measureHighVolts },
  { kind: 'transformerLoad', night: 'none', measure: measureTransformerLoad },
  { kind: 'cableCurrent', night: 'none', measure: measureCableCurrent },
  { kind: 'circuitCurrent', night: 'none', measure: measureCircuitCurrent },
  { kind: 'noProtection', night: 'none', measure: measureNoProtection },
  { kind: 'waterZone', night: 'none', measure: measureWaterZone },
  { kind: 'hotNearMulch', night: 'none', measure: measureHotNearMulch },
  { kind: 'openQuestion', night: 'none', measure: measureOpenQuestion },
  { kind: 'hotSpot', night: 'clean', measure: measureHotSpot },
  { kind: 'seatGlare', night: 'clean', measure: measureSeatGlare },
  { kind: 'veil', night: 'clean', measure: measureVeil },
  { kind: 'windowLight', night: 'clean', measure: measureWindowLight },
  { kind: 'skyLoss', night: 'clean', measure: measureSkyLoss },
  { kind: 'blockedLens', night: 'clean', measure: measureBlockedLens },
  { kind: 'clippedPicture', night: 'clean', measure: measureClippedPicture, byView: true },
  { kind: 'weakOnTarget', night: 'dirty', measure: measureWeakOnTarget },
  { kind: 'strongOnTarget', night: 'dirty', measure: measureStrongOnTarget },
  { kind: 'stepDark', night: 'dirty', measure: measureStepDark },
  { kind: 'darkSide', night: 'dirty', measure: measureDarkSide },
  { kind: 'darkGap', night: 'dirty', measure: measureDarkGap, byView: true },
];
