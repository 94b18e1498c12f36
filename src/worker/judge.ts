import type { LightModel } from '../lights/index.ts';
import { solvePower } from '../power/index.ts';
import type { Finding, Remedy, ReviewInput } from '../review/index.ts';
import { remedySteps, reviewScheme, reviewSteps } from '../review/index.ts';
import type { PropertyDocument } from '../scene/index.ts';
import type { JudgedState } from './types.ts';

/** Draw at which the second figures are listed: lamps often draw more than their mark (our stress value, common practice). */
export const STRESSED_DRAW = 1.75;

export type Judgement = Omit<JudgedState, 'revision'>;

/** Cable solve at the marked and at the stressed draw, and all findings, over one property's light. */
export interface Judge {
  /** Yields between kinds of findings, `undefined` until the last value. Leaves the model in the judging night. */
  run(document: PropertyDocument, schemeId: string): Generator<Judgement | undefined, void, void>;
  /** Looks for a remedy, trying each candidate; yields so that a newer change can overtake. */
  remedySteps(document: PropertyDocument, schemeId: string, finding: Finding): Generator<void, Remedy | undefined, void>;
}

export function createJudge(model: LightModel): Judge {
  let last: { document: PropertyDocument; schemeId: string; findings: Finding[] } | undefined;
  return {
    *run(document, schemeId) {
      const input = reviewInput(model, document, schemeId);
      const steps = reviewSteps(input);
      for (;;) {
        const step = steps.next();
        if (step.done) {
          last = { document, schemeId, findings: step.value };
          yield { findings: step.value, power: input.power, powerAt175: input.powerAt175 };
          return;
        }
        yield undefined;
      }
    },
    remedySteps: (document, schemeId, finding) =>
      remedySteps(
        finding,
        reviewInput(model, document, schemeId),
        last?.document === document && last.schemeId === schemeId ? last.findings : undefined,
      ),
  };
}

/** The whole judgement at once, for the command line and tests. */
export function judgeScheme(model: LightModel, document: PropertyDocument, schemeId: string): Judgement {
  const input = reviewInput(model, document, schemeId);
  return { findings: reviewScheme(input), power: input.power, powerAt175: input.powerAt175 };
}

function reviewInput(model: LightModel, document: PropertyDocument, schemeId: string): ReviewInput {
  return {
    document,
    schemeId,
    model,
    power: solvePower(document, schemeId),
    powerAt175: solvePower(document, schemeId, { drawFactor: STRESSED_DRAW }),
  };
}
