export { applySchemeChange } from './change.ts';
export { judgedSources, judgingNight } from './context.ts';
export { type EyeReport, eyeReport } from './eye.ts';
export { type LetterMemory, letterFor } from './letters.ts';
export { HOT_SPOT_LUMINANCE, type KindLimits, LIMITS, limitsOf } from './limits.ts';
export { type QuestionAnswer, summariseQuestions } from './questions.ts';
export { reviewScheme, reviewSteps } from './review.ts';
export * from './types.ts';
export { findRemedy, remedySteps, trialInput } from './remedies/findRemedy.ts';
